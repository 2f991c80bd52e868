// Runs of packages in the ledger: no more goes out than was filled, and no more comes back than went there, whoever
// writes and whatever is taken back.
#include "ledger_support.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// B1 of 2026-02-01, and forty bottles of it, twelve of them at the inn (entries 3 and 4).
Ledger packaged_ledger(const std::string& file) {
    auto ledger = stocked_ledger(file);
    (void)ledger.append(with(brew_of("B1", "2026-02-01", {mash("P-1", 4.5)})), head(EntryKind::brew, "2026-02-01"));
    Package run = run_of("B1-1", "B1", "2026-02-20", 40);
    run.sent.push_back({day("2026-02-20"), "the inn", 12});
    (void)ledger.append(with(run), head(EntryKind::package, "2026-02-20"));
    return ledger;
}

Package sent(Ledger& ledger, const char* to, int count) {
    Package run = *ledger.package("B1-1");
    run.sent = {{day("2026-02-21"), to, count}};
    return run;
}

std::string refused(Ledger& ledger, const Package& run) {
    return refusal([&] { (void)ledger.append(with(run), head(EntryKind::package, "2026-02-21")); });
}

} // namespace

TEST_CASE("a run is kept as it was filled, and where it went in the order it was booked") {
    Folder folder;
    auto ledger = packaged_ledger(folder.file("l"));
    (void)ledger.append(with(sent(ledger, "home", 8)), head(EntryKind::package, "2026-02-21"));
    (void)ledger.append(with(sent(ledger, "the inn", -2)), head(EntryKind::package, "2026-02-22"));
    const auto runs = ledger.packages();
    REQUIRE(runs.size() == 1);
    CHECK(runs.front().container == "bottles");
    CHECK(runs.front().each == Litres(0.5));
    REQUIRE(runs.front().sent.size() == 3);
    CHECK(runs.front().sent[1] == Sent{day("2026-02-21"), "home", 8});
    CHECK(sent_out(runs.front()) == 18);
    CHECK(sent_to(runs.front(), "the inn") == 10);
    CHECK(ledger.packages_of("B1") == runs);
    CHECK(ledger.book().packages == runs);
    CHECK(ledger.verify().empty());
}

TEST_CASE("more than is there goes nowhere, and more than went there does not come back") {
    Folder folder;
    auto ledger = packaged_ledger(folder.file("l"));
    CHECK(refused(ledger, sent(ledger, "home", 29)) == "kind 3: package `B1-1` is short: 29 wanted for home, 28 there "
                                                       "/ lotwort package shows what is left of each run");
    CHECK(refused(ledger, sent(ledger, "home", -1)) ==
          "kind 1: package `B1-1`: 1 cannot come back from home: 0 went there");
    CHECK(refused(ledger, *ledger.package("B1-1")).find("is short") == std::string::npos);
    CHECK(refused(ledger, run_of("B1-1", "B1", "2026-02-20", 41)).find("there already, with another count") !=
          std::string::npos);
    CHECK(refused(ledger, run_of("B1-2", "B9", "2026-02-20", 4)).find("no brew `B9`") != std::string::npos);
    CHECK(refused(ledger, run_of("B1-2", "B1", "2026-01-20", 4)).find("was brewed on 2026-02-01") != std::string::npos);
}

TEST_CASE("the database itself keeps count, with any tool") {
    Folder folder;
    (void)packaged_ledger(folder.file("l"));
    const std::string entry = "INSERT INTO entry (kind, on_date, booked_at, by_name, what, why) VALUES ('package', "
                              "'2026-02-21', '2026-02-21T08:00:00Z', '', 'by hand', '');";
    const auto send = [&](int count) {
        return sql(folder.file("l"), entry +
                                         "INSERT INTO package_sent (package_id, entry_id, sent_on, to_whom, count) "
                                         "SELECT 1, max(entry_id), '2026-02-21', 'home', " +
                                         std::to_string(count) + " FROM entry");
    };
    CHECK(send(29).starts_with("refused"));
    CHECK(send(-1).starts_with("refused"));
    CHECK(sql(folder.file("l"), "DELETE FROM package_sent").starts_with("refused"));
    CHECK(sql(folder.file("l"), "UPDATE package_run SET count = 50").starts_with("refused"));
}

TEST_CASE("a run is taken back whole, and only before it went out; what came back keeps what went there") {
    Folder folder;
    auto ledger = packaged_ledger(folder.file("l"));
    const auto back = head(EntryKind::reverse, "2026-03-01");
    CHECK(refusal([&] { (void)ledger.reverse(3, back); }).find("it needs brew `B1`") != std::string::npos);
    (void)ledger.append(with(sent(ledger, "home", 8)), head(EntryKind::package, "2026-02-21"));  // 5
    (void)ledger.append(with(sent(ledger, "home", -3)), head(EntryKind::package, "2026-02-22")); // 6
    CHECK(refusal([&] { (void)ledger.reverse(4, back); }).find("it needs package `B1-1`") != std::string::npos);
    CHECK(refusal([&] { (void)ledger.reverse(5, back); }).find("entry 6") != std::string::npos);
    (void)ledger.reverse(6, back);
    (void)ledger.reverse(5, back);
    (void)ledger.reverse(4, back);
    CHECK(ledger.packages().empty());
    // its code is free again
    (void)ledger.append(with(run_of("B1-1", "B1", "2026-02-25", 38)), head(EntryKind::package, "2026-02-25"));
    CHECK(ledger.package("B1-1")->count == 38);
    CHECK(ledger.verify().empty());
}

TEST_CASE("what primes a run leaves stock with it, and comes back with it") {
    Folder folder;
    auto ledger = packaged_ledger(folder.file("l"));
    Book part = with(run_of("B1-2", "B1", "2026-02-20", 10));
    Brew brew = *ledger.brew("B1");
    brew.additions = {mash("W-1", 0.05)};
    brew.additions.front().stage = Stage::fermenter;
    brew.additions.front().on = day("2026-02-20");
    brew.additions.front().package = "B1-2";
    part.brews.push_back(brew);
    (void)ledger.append(part, head(EntryKind::package, "2026-02-20")); // 5
    CHECK(ledger.brew("B1")->additions.back() == brew.additions.front());
    CHECK(ledger.lot("W-1")->on_hand == Amount::of(Kilograms(24.95)));
    CHECK(ledger.movements("W-1").back().package == "B1-2");
    (void)ledger.reverse(5, head(EntryKind::reverse, "2026-03-01"));
    CHECK(ledger.lot("W-1")->on_hand == Amount::of(Kilograms(25.0)));
    CHECK(ledger.brew("B1")->additions.size() == 1);
    brew.additions.front().package = "B1-1";
    brew.code = "B2";
    CHECK(refusal([&] {
              (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-20"));
          }).find("`B1-1` is beer of B1") != std::string::npos);
}

TEST_CASE("a brew that was packaged is not given up") {
    Folder folder;
    auto ledger = packaged_ledger(folder.file("l"));
    Brew end = *ledger.brew("B1");
    end.additions.clear();
    end.abandoned = "sour";
    CHECK(refusal([&] { (void)ledger.append(with(end), head(EntryKind::brew, "2026-02-20")); }) ==
          "kind 1: brew `B1` was packaged as B1-1: it cannot be given up");
}
