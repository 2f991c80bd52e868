// The schema as it landed, and its agreement with the field lists it is written from.
#include "../../src/store/file/columns.hpp"
#include "../../src/store/file/migrate.hpp"
#include "../../src/store/file/schema.hpp"
#include "../../src/store/file/sha256.hpp"
#include "golden.hpp"
#include "ledger_support.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/store/embedded.hpp>
#include <sstream>
#include <type_traits>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// SQL with one space for each run of white space.
std::string evened(const std::string& text) {
    std::istringstream in(text);
    std::string result;
    for (std::string part; in >> part;) result += (result.empty() ? "" : " ") + part;
    return result;
}

struct Tables {
    Folder folder;
    std::string file = folder.file("l");
    Tables() { (void)new_ledger(file); }
    [[nodiscard]] std::string text(const std::string& table) const {
        return evened(sql(file, "SELECT sql FROM sqlite_schema WHERE name = '" + table + "'"));
    }
};

// kind = 'receipt' OR kind = 'brew' OR ...
template <class Enum>
std::string one_of(const std::string& column) {
    std::string text;
    for (const auto word : WordsOf<Enum>::list)
        text += (text.empty() ? "" : " OR ") + column + " = '" + std::string(word) + "'";
    return text;
}

template <class Enum>
std::string words_of() {
    std::string text;
    for (const auto word : WordsOf<Enum>::list) text += (text.empty() ? "'" : ", '") + std::string(word) + "'";
    return text;
}

// Each field's column has the field's range, in the column's unit, and each worded one its words.
template <class Record>
void check_columns(const Tables& tables, const std::string& table, store::Names but = {}) {
    const auto text = tables.text(table);
    const auto has = [&](const std::string& part) {
        CHECK_MESSAGE(text.find(part) != std::string::npos, table, ": ", part);
    };
    store::for_each_column<Record>(but, [&]<class Value>(const Field<Record, Value>& f) {
        using Inner = typename store::OptionalOf<Value>::Inner;
        constexpr bool optional = store::OptionalOf<Value>::value;
        const bool is_keyword = f.name == "group" || f.name == "on";
        const std::string name = is_keyword ? fmt::format("\"{}\"", f.name) : std::string(f.name);
        const std::string needed = optional ? "" : " NOT NULL";
        if constexpr (std::is_same_v<Inner, Amount>) {
            CHECK(f.range.most == 1e6);
            const auto least = table == "lot_detail" ? 1 : 0; // a lot received is never nothing
            has(fmt::format("mass_mg INTEGER CHECK (mass_mg BETWEEN {} AND 1000000000000)", least));
            has(fmt::format("volume_ul INTEGER CHECK (volume_ul BETWEEN {} AND 1000000000000)", least));
            has(fmt::format("pieces INTEGER CHECK (pieces BETWEEN {} AND 1000000)", least));
        } else if constexpr (store::Worded<Inner>)
            has(fmt::format("{0} TEXT{1} CHECK ({0} IN ({2}))", name, needed, words_of<Inner>()));
        else if constexpr (std::is_same_v<Inner, Money>)
            has(fmt::format("{0}_minor INTEGER{1} CHECK ({0}_minor BETWEEN {2:.0f} AND {3:.0f})", name, needed,
                            f.range.least * 100.0, f.range.most * 100.0));
        else if constexpr (std::is_same_v<Inner, std::string>)
            has(fmt::format("{} TEXT{}", name, needed));
        else if constexpr (std::is_same_v<Inner, Date>) {
            has(fmt::format("{} TEXT{} CHECK (", name, needed));
            has(fmt::format("{0} IS date({0}, '+0 days')", name));
        } else {
            REQUIRE_MESSAGE(f.range.most < 1e300, table, ": ", name, " has no range");
            const auto number = [](double x) {
                return x != 0.0 && std::abs(x) < 1e-5 ? "1e-6" : fmt::format("{:.12g}", x);
            };
            has(fmt::format("{0} {1}{2} CHECK ({0} BETWEEN {3} AND {4})", name,
                            std::is_integral_v<Inner> ? "INTEGER" : "REAL", needed, number(f.range.least),
                            number(f.range.most)));
        }
    });
}

} // namespace

TEST_CASE("the schema is the one that landed: a change of it is a new migration") {
    const Tables tables;
    store::Connection connection(tables.file, store::OpenAs::read, tables.file);
    const auto count = static_cast<std::int64_t>(embedded_migrations().size());
    std::istringstream landed(project_file(fmt::format("tests/golden/schema_{:04}.sql", count)));
    std::string line;
    for (const auto& object : store::schema_of(connection)) {
        std::getline(landed, line);
        CHECK(object == line);
    }
    CHECK(!std::getline(landed, line));
    CHECK(connection.integer("PRAGMA application_id") == 0x4c6f5454);
    CHECK(connection.integer("PRAGMA user_version") == count);
}

TEST_CASE("the digest by which a ledger's schema is known at a glance is that of the migrations") {
    const Tables tables;
    store::Connection connection(tables.file, store::OpenAs::read, tables.file);
    CHECK(store::schema_digest(connection) == store::usual_schema); // another with each migration
}

TEST_CASE("each migration is recorded with its name and the checksum of its text") {
    const Tables tables;
    std::string recorded;
    std::int64_t number = 0;
    for (const auto& migration : embedded_migrations()) {
        const auto text = project_file(fmt::format("migrations/{}.sql", migration.name));
        const bool whole = migration.text == text;
        CHECK_MESSAGE(whole, "the program carries another text of " << migration.name);
        recorded += fmt::format("{}{}|{}|{}", number == 0 ? "" : "\n", number + 1, migration.name, store::sha256(text));
        ++number;
    }
    CHECK(sql(tables.file, "SELECT * FROM migration ORDER BY migration_id") == recorded);
}

TEST_CASE("every table is STRICT, and says of each column that it must be there or may be missing") {
    const Tables tables;
    CHECK(sql(tables.file,
              "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND NOT strict AND "
              "name NOT LIKE 'sqlite%'")
              .empty());
    CHECK(sql(tables.file, "SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND strict") == "53");
}

TEST_CASE("columns have the words and the ranges of the fields they keep") {
    const Tables tables;
    check_columns<Item>(tables, "item_version", {"name"});
    check_columns<StandIn>(tables, "stand_in");
    check_columns<Instrument>(tables, "instrument_version", {"name"});
    check_columns<Brewhouse>(tables, "brewhouse_version", {"name"});
    check_columns<Vessel>(tables, "vessel");
    check_columns<Recipe>(tables, "recipe_version", {"name"});
    check_columns<GristLine>(tables, "recipe_grist");
    check_columns<HopLine>(tables, "recipe_hop");
    check_columns<OtherLine>(tables, "recipe_other");
    check_columns<Supplier>(tables, "supplier_version", {"name"});
    check_columns<Offer>(tables, "offer_version", {"supplier", "item", "pack_kg", "pack_l", "pack_count"});
    check_columns<Offer>(tables, "offer",
                         {"price_steps", "delivery", "minimum_order", "lead_days", "shelf_life_days", "valid_until"});
    check_columns<PriceStep>(tables, "price_step");
    check_columns<Order>(tables, "purchase_order_version", {"code"});
    check_columns<OrderLine>(tables, "order_line");
    check_columns<Lot>(tables, "lot_detail", {"code", "held", "opened"});
    check_columns<Certificate>(tables, "certificate");
    check_columns<Certificate>(tables, "retest");
    check_columns<Plan>(tables, "plan_version", {"code"});
    check_columns<Reservation>(tables, "reservation");
    check_columns<Awaited>(tables, "awaited");
    check_columns<InstrumentCheck>(tables, "instrument_check");
    check_columns<Portion>(tables, "lot_source");
    check_columns<Brew>(tables, "brew_head", {"code", "abandoned"});
    check_columns<Reading>(tables, "reading", {"at", "set_aside"});
    check_columns<Package>(tables, "package_run", {"code"});
    check_columns<Sent>(tables, "package_sent");
    check_columns<Tank>(tables, "tank_version", {"name"});
    check_columns<Addition>(tables, "movement", {"lot", "stage", "mass_kg", "on", "mass_instrument"});
    const auto has = [&](const char* table, const std::string& part) {
        CHECK(tables.text(table).find(part) != std::string::npos);
    };
    has("entry", "kind TEXT NOT NULL CHECK (kind IN (" + words_of<EntryKind>() + "))");
    has("movement", "kind TEXT NOT NULL CHECK (" + one_of<MovementKind>("kind") + ")");
    has("movement", "stage TEXT CHECK (" + one_of<Stage>("stage") + ")");
}

TEST_CASE("each entry's kind is a word that the table takes") {
    Folder folder;
    auto ledger = new_ledger(folder.file("l"));
    for (const auto kind :
         {EntryKind::item, EntryKind::receive, EntryKind::hold, EntryKind::retest, EntryKind::order}) {
        Book part;
        part.items = {malt("pale malt")};
        CHECK(ledger.append(part, head(kind, "2026-01-02")).head.kind == kind);
    }
}
