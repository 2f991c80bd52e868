#include "booking.hpp"
#include "differences.hpp"
#include "file/columns.hpp"
#include "names.hpp"
#include "read/snapshot.hpp"

namespace lotwort::store {

namespace {

// The day is no earlier than the brew's, and its beer was not poured away.
void check_brew(Connection& connection, const Package& package, std::string_view whose) {
    Query query(connection, "SELECT date, abandoned FROM brew_now WHERE code = ?");
    LOTWORT_CHECK(query.text(package.brew).next());
    const Date brewed = read_date(query);
    if (package.on < brewed)
        throw Error(ErrorKind::refused,
                    fmt::format("{}: {} was brewed on {}, after {}", whose, called("brew", package.brew),
                                to_iso(brewed), to_iso(package.on)),
                    "look at the day, or at the brew");
    if (const auto given_up = query.read_text_or_null())
        throw Error(ErrorKind::refused,
                    fmt::format("{}: {} was given up: {}", whose, called("brew", package.brew), *given_up));
}

// What went out is never more than the run, nor what came back more than went there.
void check_sent(const Package& whole, const Sent& sent, std::string_view whose) {
    if (sent.count == 0) throw Error(ErrorKind::refused, fmt::format("{}: nothing would go to {}", whose, sent.to));
    if (sent.on < whole.on)
        throw Error(ErrorKind::refused, fmt::format("{}: it was filled on {}, and not there on {}", whose,
                                                    to_iso(whole.on), to_iso(sent.on)));
    const int left = whole.count - sent_out(whole), there = sent_to(whole, sent.to);
    if (sent.count > left)
        throw Error(ErrorKind::shortage,
                    fmt::format("{} is short: {} wanted for {}, {} there", whose, sent.count, sent.to, left),
                    "lotwort package shows what is left of each run");
    if (-sent.count > there)
        throw Error(ErrorKind::refused,
                    fmt::format("{}: {} cannot come back from {}: {} went there", whose, -sent.count, sent.to, there));
}

void write_sent(Connection& connection, std::int64_t entry, std::int64_t id, Package whole,
                const std::vector<Sent>& more, std::string_view whose) {
    for (const Sent& sent : more) {
        check_sent(whole, sent, whose);
        insert(connection, "package_sent", "package_id, entry_id", {id, entry}, sent, whose);
        whole.sent.push_back(sent);
    }
}

void write_package(Connection& connection, std::int64_t entry, const Package& package) {
    const auto whose = called("package", package.code);
    const auto id = identity(connection, "package", "code", package.code);
    const auto known = read_packages(connection, PackagesOf::code, package.code);
    Package whole = known.empty() ? package : known.front();
    if (known.empty()) {
        check_brew(connection, package, whose);
        insert(connection, "package_run", "package_id, entry_id", {id, entry}, package, whose, {"code"});
        whole.sent.clear();
    } else {
        const auto differing = differences(known.front(), package, {"sent"});
        if (!differing.empty() || package.sent.empty())
            throw Error(
                ErrorKind::refused,
                fmt::format("{} is there already{}{}", whose, differing.empty() ? "" : ", with another ", differing),
                "give the new run another code, or take the old one back with `lotwort reverse ENTRY`");
    }
    write_sent(connection, entry, id, whole, package.sent, whose);
}

// What primed a run went into the beer that is in it; a brew that was packaged is not given up.
void check_brew(Connection& connection, const Brew& brew) {
    const auto of_it = read_packages(connection, PackagesOf::brew, brew.code);
    if (brew.abandoned && !of_it.empty())
        throw Error(ErrorKind::refused, fmt::format("{} was packaged as {}: it cannot be given up",
                                                    called("brew", brew.code), of_it.front().code));
    for (const Addition& addition : brew.additions) {
        if (!addition.package) continue;
        Query query(connection, "SELECT brew FROM package_now WHERE code = ?");
        LOTWORT_CHECK(query.text(*addition.package).next());
        const auto of_brew = query.read_text();
        if (of_brew != brew.code)
            throw Error(ErrorKind::refused, fmt::format("{}: {} is beer of {}", called("brew", brew.code),
                                                        called("package", *addition.package), of_brew));
    }
}

} // namespace

void write_packages(Connection& connection, std::int64_t entry, const Book& part) {
    for (const auto& package : part.packages) write_package(connection, entry, package);
    for (const auto& brew : part.brews) check_brew(connection, brew);
}

} // namespace lotwort::store
