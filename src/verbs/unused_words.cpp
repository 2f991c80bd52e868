// What is typed takes effect or is refused: a word that no step of a run has asked for is one that it would drop.
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/error.hpp>
#include <lotwort/verbs/call.hpp>

namespace lotwort::verbs {

void Call::goes(std::string way, std::string instead) {
    way_ = std::move(way);
    instead_ = std::move(instead);
}

void Call::may_book() const {
    if (command().back_dates) (void)args.text("on");
    if (command().doubts) (void)args.all("sure"); // leave to book: it needs no doubt to be taken
    for (const char* of_booking : {"by", "note", "dry-run", "json"}) (void)args.all(of_booking);
}

void Call::demand_bookable() const {
    LOTWORT_CHECK(!only_reads_);
    may_book();
    demand_all_used();
    if (!surroundings.books)
        throw Error(ErrorKind::refused, "these pages are for looking only, and nothing was booked",
                    "book it at the machine itself, or start `lotwort serve` without --read-only");
}

void Call::demand_all_used() const {
    const auto unused = args.unused();
    if (unused.empty()) return;
    if (unused == std::vector<std::string>{"--csv"})
        throw Error(ErrorKind::usage, "--csv has no effect here: this answer is no table",
                    "leave it out; --json answers for a program");
    if (unused == std::vector<std::string>{"--units"})
        throw Error(ErrorKind::usage, "--units has no effect here: what is written for programs is metric",
                    "leave it out; each field says its unit in its name");
    std::string way = way_;
    if (way.empty() && only_reads_) way = "it only shows, and books nothing";
    throw Error(ErrorKind::usage,
                fmt::format("{} {} no effect here{}{}", fmt::join(unused, ", "), unused.size() == 1 ? "has" : "have",
                            way.empty() ? "" : ": ", way),
                !instead_.empty() ? instead_
                                  : fmt::format("leave {} out; lotwort {} --help says which options go together",
                                                unused.size() == 1 ? "it" : "them", command().name));
}

} // namespace lotwort::verbs
