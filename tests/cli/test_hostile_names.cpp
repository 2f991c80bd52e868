// A ledger that somebody made with malice: names that steer a terminal, turn a line round, look like another's, begin a
// formula or an element of HTML. No verb hands any of it on.
#include "brewery.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <lotwort/core/utf8.hpp>
#include <lotwort/exchange/csv.hpp>
#include <random>
#include <sqlite3.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// Each kind of name has a letter in it that nothing else has, so that the kinds can be altered apart: W item, J lot,
// Q recipe, brew and plan, X brewhouse and instrument, V supplier and order, and Y what is said in words.
void brewed(const Brewery& b) {
    b.write("aleQ.toml", "name = \"Qale\"\nvolume_l = 20\noriginal_gravity_sg = 1.045\nboil_minutes = 60\n"
                         "grist = [{item = \"Wpale malt\", share_pct = 100}]\n"
                         "hops = [{item = \"Whop\", stage = \"boil\", minutes = 60, mass_g = 20}]\n");
    for (const char* line : {
             "init",
             "brewhouse add Xgarage 23L",
             "brewhouse instrument Xstem --kind hydrometer",
             "receive \"Wpale malt\" 25kg --lot JM-1 --price 30 --supplier Vhill --supplier-lot Ylot --packaging Ysack "
             "--best-before 2026-12-01 --extract 81% --basis fine-dry --moisture 4% --by Yann --note \"Yfirst lot\"",
             "receive \"Wpale malt\" 5kg --lot JM-2 --best-before 2026-11-01",
             "receive \"Wstand-in malt\" 25kg --lot JS-1 --kind malt --class base",
             "receive Whop 200g --lot JH-1 --kind hop --alpha 11% --price 8",
             "item change \"Wpale malt\" --stands-for \"Wstand-in malt=80\" --group Ygroup",
             "recipe add FOLDER/aleQ.toml",
             "offer add Vhill \"Wpale malt\" 25kg 31",
             "offer add Vhill Whop 100g 5",
             "brew --recipe Qale",
             "measure B1 kettle-full 24L@20C 1.040@20C fermenter 20L 1.045",
             "measure B1 --set-aside r1 --reason Yfroth",
             "plan Qale --on 2026-03-20",
             "plan Qale --on 2026-03-31 --volume 150L --sure",
             "discard JM-1 1kg --reason Yweevils",
             "count JS-1 24kg --reason Yspilt",
             "trace JH-1 --hold Ydamp",
             "buy --order",
         }) {
        CAPTURE(line);
        const Said said = b.run(line);
        CAPTURE(said.error);
        CAPTURE(said.hint);
        REQUIRE((said.status == 0 || said.status == 3)); // 3: booked, and short of malt
    }
}

// In every text of the ledger, past all that would refuse it.
void alter(const std::string& path, const std::string& from, const std::string& to) {
    sqlite3* db = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &db) == SQLITE_OK);
    sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
    const auto run = [&](const std::string& sql, auto&& each) {
        sqlite3_stmt* statement = nullptr;
        REQUIRE_MESSAGE(sqlite3_prepare_v2(db, sql.c_str(), -1, &statement, nullptr) == SQLITE_OK, sqlite3_errmsg(db));
        if (sqlite3_bind_parameter_count(statement) == 2) {
            sqlite3_bind_text(statement, 1, from.data(), static_cast<int>(from.size()), SQLITE_TRANSIENT);
            sqlite3_bind_text(statement, 2, to.data(), static_cast<int>(to.size()), SQLITE_TRANSIENT);
        }
        int state = SQLITE_ROW;
        while ((state = sqlite3_step(statement)) == SQLITE_ROW)
            each(reinterpret_cast<const char*>(sqlite3_column_text(statement, 0)),
                 reinterpret_cast<const char*>(sqlite3_column_text(statement, 1)));
        REQUIRE_MESSAGE(state == SQLITE_DONE, sqlite3_errmsg(db));
        sqlite3_finalize(statement);
    };
    const auto nothing = [](const char*, const char*) {};
    run("PRAGMA ignore_check_constraints = ON", nothing);
    std::vector<std::pair<std::string, std::string>> columns;
    run("SELECT m.name, c.name FROM sqlite_schema m JOIN pragma_table_info(m.name) c "
        "WHERE m.type = 'table' AND c.type = 'TEXT' AND m.name NOT LIKE 'sqlite%' AND m.name <> 'migration'",
        [&](const char* table, const char* column) { columns.emplace_back(table, column); });
    REQUIRE(columns.size() > 30);
    for (const auto& [table, column] : columns)
        run("UPDATE \"" + table + "\" SET \"" + column + "\" = replace(\"" + column + "\", ?1, ?2)", nothing);
    sqlite3_close(db);
}

constexpr std::string_view kinds = "WJQXVY";

// What a verb is asked, and the kinds of name that must be typed for it.
struct Asked {
    const char* line;
    const char* typed = "";
};
constexpr Asked asked[] = {
    {""},
    {"stock"},
    {"stock --lots --all"},
    {"stock --ageing"},
    {"history"},
    {"history --full"},
    {"item list"},
    {"item show \"Wpale malt\"", "W"},
    {"recipe list"},
    {"recipe show Qale", "Q"},
    {"brewhouse list"},
    {"brewhouse show Xgarage", "X"},
    {"lot JM-1", "J"},
    {"lot JM-1 --full", "J"},
    {"trace JM-1", "J"},
    {"trace QB1", "Q"},
    {"offer list"},
    {"plan"},
    {"plan QP1", "Q"},
    {"substitute QP2", "Q"},
    {"brew"},
    {"brew QB1", "Q"},
    {"brew QP1 --sheet", "Q"},
    {"measure QB1", "Q"},
    {"reconcile QB1", "Q"},
    {"reconcile --all"},
    {"explain QB1", "Q"},
    {"trend"},
    {"buy"},
    {"buy --list"},
    {"buy --full"},
    {"count --sheet"},
    {"export"},
    {"export --rows lots"},
    {"export --rows items"},
    {"export --rows movements"},
    {"export --rows additions"},
    {"export --rows readings"},
    {"verify"},
    {"receive Wpale 5kg --dry-run"},
    {"receive \"Wpale malt\" 5kg --dry-run", "W"},
    {"discard JM-1 999kg --reason x", "J"},
    {"lot JM-9", "J"},
    {"item show Wpale", "W"},
    {"recipe show Qal", "Q"},
    {"brew QB9", "Q"},
    {"reverse 4"},
    {"reverse 12 --dry-run"},
    {"--complete lot JM", "J"},
    {"--complete item show W"},
    {"--complete stock --item "},
};
constexpr Asked pages[] = {
    {"report"},
    {"report stock"},
    {"report brew QB1", "Q"},
    {"report lot JM-1", "J"},
    {"report brewhouse"},
    {"report statement 2026-03"},
    {"report count-sheet"},
    {"report brew-sheet QP1", "Q"},
    {"report purchase"},
    {"report trend"},
    {"report items"},
};

void check_shown(const std::string& text) {
    std::string in_lines = text;
    for (std::size_t at = 0; (at = in_lines.find("\r\n", at)) != std::string::npos;) in_lines.erase(at, 1);
    std::erase(in_lines, '\n');
    const auto hidden = find_hidden(in_lines);
    CHECK_MESSAGE(!hidden, hidden_words(hidden.value_or(0)), " in ", text);
}

// A spreadsheet takes a cell that begins so for a formula, unless it is a number.
void check_cells(const std::string& csv) {
    std::string guarded;
    for (std::size_t i = 0; i < csv.size(); ++i) { // as the program wrote it: our reader would take the guard off
        const auto begins_at = [&](std::size_t at) { return at == 0 || csv[at - 1] == ',' || csv[at - 1] == '\n'; };
        const bool begins = begins_at(i) || (csv[i - 1] == '"' && begins_at(i - 1)); // a quote within is no cell's
        if (!begins || (csv[i] != '=' && csv[i] != '@' && csv[i] != '+' && csv[i] != '-')) continue;
        const auto end = csv.find_first_of(",\r\"", i);
        CHECK_MESSAGE(csv.substr(i, end - i).find_first_not_of("-0123456789.e") == std::string::npos,
                      csv.substr(i, end - i), " in ", csv);
    }
}

void check_markup(const std::string& page) {
    CHECK(page.find("<i>") == std::string::npos);
    CHECK(page.find("onload=\"x\"") == std::string::npos);
}

std::string hostile(std::mt19937& random) {
    static const std::vector<std::string> pieces{"\x1b[31m", "\x1b]0;x\x07",
                                                 "\u009b2J", "\u0085",
                                                 "\u202e",   "\u2066",
                                                 "\u061c",   "\u200b",
                                                 "\u200f",   "\u2060",
                                                 "\ufeff",   "\u2028",
                                                 "\u2029",   "\n",
                                                 "\r",       "\t",
                                                 "\x7f",     "\x01",
                                                 "=1+1",     "@SUM(A1)",
                                                 "+5",       "-x",
                                                 "<i>",      "\"",
                                                 "'",        "\" onload=\"x\"",
                                                 "&",        "`",
                                                 "{}",       "%s",
                                                 "malt",     "\U000E0041"};
    std::string text;
    for (auto n = 1 + random() % 4; n > 0; --n) text += pieces[random() % pieces.size()];
    return text;
}

} // namespace

TEST_CASE("no verb hands on what is hidden, a formula or an element of HTML, whatever the names in the ledger") {
    const Brewery b("2026-03-14");
    brewed(b);
    for (const char* code : {"B1", "P1", "P2"})
        alter(b.ledger_path(), code, std::string("Q") + code); // given by number
    alter(b.ledger_path(), "O1", "VO1");
    const std::string clean = b.ledger_path() + ".clean";
    std::filesystem::copy_file(b.ledger_path(), clean);
    std::mt19937 random(2026);
    int answers = 0;
    for (int round = 0; round < 6; ++round) {
        std::map<char, std::string> names;
        for (const char kind : kinds) names[kind] = hostile(random) + static_cast<char>(kind - 'A' + 'a');
        for (const std::string typed : {"", "W", "J", "Q", "X"}) {
            std::filesystem::copy_file(clean, b.ledger_path(), std::filesystem::copy_options::overwrite_existing);
            for (const char kind : kinds)
                if (typed.find(kind) == std::string::npos) alter(b.ledger_path(), std::string(1, kind), names[kind]);
            for (const Asked& ask : asked) {
                if (ask.typed != typed) continue;
                for (const char* form : {"", " --csv", " --json"}) {
                    if (*form != '\0' && std::string(ask.line).starts_with("--")) continue;
                    const std::string line = std::string(ask.line) + form;
                    CAPTURE(line);
                    const Said said = b.run(line);
                    check_shown(said.out);
                    check_shown(said.error);
                    check_shown(said.hint);
                    if (line.find("--csv") != line.npos || line.find("--rows") != line.npos) check_cells(said.out);
                    answers += said.out.empty() ? 0 : 1;
                }
            }
            for (const Asked& ask : pages) {
                if (ask.typed != typed) continue;
                CAPTURE(ask.line);
                const Said said = b.run(ask.line);
                check_shown(said.out);
                check_shown(said.error);
                check_markup(said.out);
                answers += said.out.empty() ? 0 : 1;
            }
        }
    }
    CHECK(answers > 500); // of what is asked, most is answered
}

TEST_CASE("a name that shows nothing is refused wherever it comes from") {
    Brewery b;
    b.done("init");
    const Said typed = b.run("receive \"pale\u202e malt\" 25kg");
    CHECK(typed.status == 2);
    CHECK(typed.error == "an argument holds an invisible character (U+202E)");
    b.write("n.csv", "item,amount\npale\u200b malt,25kg\n");
    CHECK(b.run("receive --delivery FOLDER/n.csv")
              .error.ends_with("n.csv: line 2: a cell holds an invisible character (U+200B)"));
    b.write("n.csv", "item,amount\n\"pale\nmalt\",25kg\n");
    CHECK(b.run("receive --delivery FOLDER/n.csv").error.find("a cell holds a line end") != std::string::npos);
    b.write("n.json", R"({"schema": "lotwort/exchange/1", "items": [{"name": "pale\u0085malt", "kind": "malt"}]})");
    CHECK(b.run("import FOLDER/n.json").error.ends_with("items[0].name: holds a control character (U+0085)"));
    b.write("n.toml", "name = \"a\\u2067le\"\nvolume_l = 20\noriginal_gravity_sg = 1.045\n"
                      "grist = [{item = \"malt\", share_pct = 100}]\n");
    CHECK(b.run("recipe add FOLDER/n.toml").error.find("holds an invisible character (U+2067)") != std::string::npos);
    b.surroundings().by = "ann\x1b[31m";
    CHECK(b.run("stock").error == "LOTWORT_BY holds a control character (U+001B)");
}
