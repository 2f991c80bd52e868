#include "booking.hpp"
#include "differences.hpp"
#include "file/columns.hpp"
#include "movement_row.hpp"
#include "names.hpp"
#include "read/snapshot.hpp"
#include <unordered_set>

namespace lotwort::store {

namespace {

void write_status(Connection& connection, std::int64_t entry, std::int64_t reading,
                  const std::optional<std::string>& set_aside, std::string_view whose) {
    if (set_aside && set_aside->empty())
        throw Error(ErrorKind::refused, fmt::format("{}: setting a reading aside needs a reason", whose));
    if (set_aside) check_text(whose, "set_aside", *set_aside);
    Query query(connection, "INSERT INTO reading_status (reading_id, entry_id, set_aside) VALUES (?, ?, ?)");
    query.integer(reading).integer(entry).text_or_null(set_aside).run();
}

// r1, r2, ...: one more than the largest the brew ever had.
std::string next_reading_id(Connection& connection, std::int64_t brew) {
    Query query(connection, "SELECT ifnull(max(CAST(substr(id, 2) AS INTEGER)), 0) + 1 FROM reading "
                            "WHERE brew_id = ? AND id GLOB 'r[0-9]*'");
    query.integer(brew).next();
    return fmt::format("r{}", query.read_integer());
}

void add_reading(Connection& connection, std::int64_t entry, std::int64_t brew, Reading reading,
                 const std::string& brew_called) {
    if (reading.id.empty()) reading.id = next_reading_id(connection, brew);
    const auto whose = fmt::format("{} of {}", called("reading", reading.id), brew_called);
    const auto id = insert(connection, "reading", "brew_id, entry_id", {brew, entry}, reading, whose, {"set_aside"});
    if (reading.set_aside) write_status(connection, entry, id, reading.set_aside, whose);
}

// A reading that is there already may be set aside, or counted again; its figures stay.
void write_reading(Connection& connection, std::int64_t entry, std::int64_t brew, const Reading& reading,
                   const std::string& brew_called) {
    Query there(connection, fmt::format("SELECT reading_id, {} FROM reading_now WHERE brew_id = ? AND id = ?",
                                        columns_of<Reading>()));
    if (reading.id.empty() || !there.integer(brew).text(reading.id).next()) {
        add_reading(connection, entry, brew, reading, brew_called);
        return;
    }
    const auto id = there.read_integer();
    Reading known;
    read_columns(there, known);
    const auto whose = fmt::format("{} of {}", called("reading", reading.id), brew_called);
    const auto differing = differences(known, reading, {"set_aside"});
    if (!differing.empty() || known.set_aside == reading.set_aside)
        throw Error(
            ErrorKind::refused,
            fmt::format("{} is there already{}{}", whose, differing.empty() ? "" : ", with another ", differing),
            "readings are never changed: set the wrong one aside and book a new one");
    write_status(connection, entry, id, reading.set_aside, whose);
}

// Given up, or going on after all.
void write_end(Connection& connection, std::int64_t entry, std::int64_t brew, const Brew& stated,
               const std::string& whose) {
    if (stated.abandoned) check_text(whose, "abandoned", *stated.abandoned);
    Query query(connection, "INSERT INTO brew_end (brew_id, entry_id, abandoned) VALUES (?, ?, ?)");
    query.integer(brew).integer(entry).text_or_null(stated.abandoned).run();
}

void check_end(const Brew& brew, const std::string& whose) {
    if (brew.abandoned && brew.abandoned->empty())
        throw Error(ErrorKind::refused, fmt::format("{}: a brew is given up for a reason", whose));
    if (!brew.abandoned && !brew.unused.empty())
        throw Error(ErrorKind::refused, fmt::format("{}: nothing comes back from a brew that was not given up", whose));
}

void check_plan(Connection& connection, const Brew& brew, const std::string& whose) {
    if (!brew.plan) return;
    Query off(connection, "SELECT cancelled FROM plan_now WHERE code = ? AND cancelled IS NOT NULL");
    if (off.text(*brew.plan).next())
        throw Error(ErrorKind::refused,
                    fmt::format("{}: {} was called off: {}", whose, called("plan", *brew.plan), off.read_text()),
                    "plan it again, or brew without a plan");
    Query query(connection, "SELECT code FROM brew_now WHERE plan = ?");
    if (query.text(*brew.plan).next())
        throw Error(ErrorKind::refused, fmt::format("{}: {} has been brewed already, as {}", whose,
                                                    called("plan", *brew.plan), query.read_text()));
}

using BrewIds = std::unordered_set<std::int64_t>;

// The brews of which the part takes back what the ledger has, by its ids there (m12).
BrewIds corrected_in(Connection& connection, const Book& part) {
    std::unordered_set<std::string_view> own;
    for (const auto& movement : part.movements)
        if (movement.id) own.insert(*movement.id);
    BrewIds corrected;
    for (const auto& movement : part.movements) {
        if (!movement.reverses || own.contains(*movement.reverses)) continue;
        Query use(connection, "SELECT brew_id FROM movement WHERE movement_id = ? AND kind = 'brew'");
        if (use.integer(movement_number(*movement.reverses)).next()) corrected.insert(use.read_integer());
    }
    return corrected;
}

void write_brew(Connection& connection, std::int64_t entry, const Brew& brew, const BrewIds& corrected) {
    const auto whose = called("brew", brew.code);
    const auto id = identity(connection, "brew", "code", brew.code);
    check_end(brew, whose);
    Query there(connection, fmt::format("SELECT {} FROM brew_now WHERE brew_id = ?", columns_of<Brew>()));
    if (!there.integer(id).next()) {
        check_plan(connection, brew, whose);
        insert(connection, "brew_head", "brew_id, entry_id", {id, entry}, brew, whose, {"code", "abandoned"});
        if (brew.abandoned) write_end(connection, entry, id, brew, whose);
    } else {
        Brew known;
        read_columns(there, known);
        const auto differing = differences(known, brew, {"additions", "readings", "abandoned", "unused"});
        if (!differing.empty())
            throw Error(ErrorKind::refused, fmt::format("{} is there already, with another {}", whose, differing),
                        "give the new brew another code, or take the old one back with `lotwort reverse ENTRY`");
        const bool corrects = corrected.contains(id);
        if (corrects && known.abandoned)
            throw Error(ErrorKind::refused, fmt::format("{} was given up: {}; what went into it is corrected no more",
                                                        whose, *known.abandoned));
        // a correction says that the brew goes on: by that row its entry is known for one of this brew
        if (corrects || known.abandoned != brew.abandoned) write_end(connection, entry, id, brew, whose);
        if (!corrects && brew.additions.empty() && brew.readings.empty() && brew.unused.empty() &&
            known.abandoned == brew.abandoned)
            throw Error(ErrorKind::refused, fmt::format("{} is there already", whose),
                        "give the new brew another code");
    }
    for (const auto& reading : brew.readings) write_reading(connection, entry, id, reading, whose);
}

} // namespace

void write_plans(Connection& connection, std::int64_t entry, const Book& part) {
    // a plan may name one that stands behind it in the book, or a brew that comes with it
    for (const auto& plan : part.plans) (void)identity(connection, "plan", "code", plan.code);
    for (const auto& brew : part.brews) (void)identity(connection, "brew", "code", brew.code);
    for (const auto& plan : part.plans) {
        const auto whose = called("plan", plan.code);
        Query brewed(connection, "SELECT code FROM brew_now WHERE plan = ?");
        if (brewed.text(plan.code).next())
            throw Error(ErrorKind::refused, fmt::format("{} has been brewed already, as {}", whose, brewed.read_text()),
                        "a plan that was brewed stays as it was");
        const auto id = identity(connection, "plan", "code", plan.code);
        const auto version =
            insert(connection, "plan_version", "plan_id, entry_id", {id, entry}, plan, whose, {"code"});
        insert_lines(connection, "reservation", "plan_version_id", version, plan.reserved, whose);
        insert_lines(connection, "awaited", "plan_version_id", version, plan.awaited, whose);
        Query other(connection,
                    "SELECT lot FROM reservation JOIN lot ON lot.code = reservation.lot "
                    "WHERE plan_version_id = ? AND measure IS NOT CASE WHEN mass_mg IS NOT NULL THEN 'mass' "
                    "WHEN volume_ul IS NOT NULL THEN 'volume' ELSE 'count' END");
        if (other.integer(version).next())
            throw Error(ErrorKind::refused,
                        fmt::format("{}: {} is kept in another measure", whose, called("lot", other.read_text())));
    }
}

void write_brews(Connection& connection, std::int64_t entry, const Book& part) {
    // a brew may name one that stands behind it in the book
    for (const auto& brew : part.brews) (void)identity(connection, "brew", "code", brew.code);
    BrewIds corrected = corrected_in(connection, part);
    for (const auto& brew : part.brews) write_brew(connection, entry, brew, corrected);
    for (const auto& brew : part.brews) corrected.erase(identity(connection, "brew", "code", brew.code));
    if (corrected.empty()) return;
    Query code(connection, "SELECT code FROM brew WHERE brew_id = ?");
    code.integer(*corrected.begin()).next();
    throw Error(ErrorKind::refused, fmt::format("what went into {} is taken back by an entry that does not name it",
                                                called("brew", code.read_text())));
}

} // namespace lotwort::store
