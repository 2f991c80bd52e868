// An entry keeps the number of the form that sent it: the ledger takes each once, whoever asks.
#include "ledger_support.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

EntryHead sent(const std::string& form) {
    EntryHead as = head(EntryKind::item, "2026-01-02");
    as.form = form;
    return as;
}

Book one(const std::string& name) {
    Book part;
    part.items = {malt(name)};
    return part;
}

const std::string number = "0123456789abcdef", other = "another-form-0001";

} // namespace

TEST_CASE("a form books one entry, which is found by it") {
    Folder folder;
    auto ledger = new_ledger(folder.file("l"));
    CHECK(!ledger.entry_of_form(number));
    const Entry entry = ledger.append(one("pale malt"), sent(number));
    CHECK(entry.head.form == number);
    CHECK(ledger.entry_of_form(number)->number == entry.number);
    CHECK_THROWS_AS((void)ledger.append(one("amber malt"), sent(number)), Error);
    CHECK(ledger.append(one("amber malt"), sent(other)).number == entry.number + 1);
    CHECK(!ledger.append(one("wheat malt"), head(EntryKind::item, "2026-01-02")).head.form);
    CHECK(!ledger.append(one("rye malt"), head(EntryKind::item, "2026-01-02")).head.form);
    CHECK(ledger.verify().empty());
}

TEST_CASE("the database itself refuses a form that is booked, replacing or not, and a number that is none") {
    Folder folder;
    const std::string file = folder.file("l");
    {
        auto ledger = new_ledger(file);
        (void)ledger.append(one("pale malt"), sent(number));
    }
    for (const std::string how : {"INSERT", "INSERT OR REPLACE", "INSERT OR IGNORE"}) {
        const std::string row = " INTO entry (kind, on_date, booked_at, by_name, what, why, form) VALUES ('count', "
                                "'2026-01-03', '2026-01-03T08:00:00Z', '', '', '', '";
        for (const std::string& form :
             {number, std::string("too short"), std::string(65, 'a'), std::string("UPPER-CASE-LETTERS")})
            (void)sql(file, how + row + form + "')");
    }
    CHECK(sql(file, "SELECT group_concat(form) FROM entry WHERE form IS NOT NULL") == number);
    CHECK(Ledger(file, Access::read).verify().empty());
}

TEST_CASE("the form is sealed with its entry") {
    Folder folder;
    const std::string file = folder.file("l");
    {
        auto ledger = new_ledger(file);
        (void)ledger.append(one("pale malt"), sent(number));
    }
    const std::string guard = sql(file, "SELECT sql FROM sqlite_schema WHERE name = 'entry_no_update'");
    (void)sql(file,
              "DROP TRIGGER entry_no_update; UPDATE entry SET form = '" + other + "' WHERE entry_id = 2; " + guard);
    CHECK(Ledger(file, Access::read).verify().size() == 1);
}
