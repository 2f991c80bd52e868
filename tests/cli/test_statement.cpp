// The books of a month: closed by hand beside the program, and read by programs that keep books.
#include "brewery.hpp"
#include "golden.hpp"
#include <algorithm>
#include <array>
#include <cstdio>
#include <fmt/format.h>
#include <map>
#include <random>
#include <regex>
#include <set>
#include <sstream>

using namespace lotwort::test;

namespace {

// March 2025 of the second example brewery, with what moves beside its brews.
void book_the_month(Brewery& b) {
    b.today("2025-05-02");
    b.done("init");
    b.write("brewery.json", project_file("tests/golden/month/brewery.json"));
    b.done("import FOLDER/brewery.json");
    b.done(
        "receive \"bittering hop\" 1kg --lot BH-02 --price 33.33 --supplier \"supplier two\" --on 2025-03-05 --sure");
    b.done("discard BH-02 333g --reason \"torn; and  wet: lost\" --on 2025-03-06");
    b.today("2025-03-07");
    b.done("lot BH-02 --split 300g");
    b.today("2025-05-02");
    b.done("discard BH-02 100g --reason \"too old\" --to-supplier --on 2025-03-28");
    b.done("count PM-02 294.3kg --on 2025-03-15 --reason spilled");
    b.done("count ACM-02 50.35kg --on 2025-03-18 --reason \"the sack was full\"");
    b.done("discard LLM-01 12.345kg --reason mouse --on 2025-03-22");
    b.done("discard PM-02 5kg --reason \"wrong lot\" --on 2025-03-23");
    b.done("reverse 10");
    b.done("brew --recipe \"light lager\" --add LLM-01=82kg --add BH-01=700g@boil,60 --on 2025-03-29 --sure");
    b.done("brew B014 --abandon \"the pump broke\" --used LLM-01=40kg --on 2025-03-29");
    b.done("receive \"ale yeast\" 2L --from-brew B012 --on 2025-03-30 --lot Y1");
    b.done("receive \"pale malt\" 25kg --lot PM-X --on 2025-03-30");
    b.done("package B009 900 bottles 0.5L --lost 10L --on 2025-03-20");
    b.done("package B009 10 kegs 4L --on 2025-04-02");
}

std::set<std::string> lines_of(std::string text) {
    std::erase(text, '\r');
    std::istringstream in(text);
    std::set<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.insert(line);
    return lines;
}

std::string printed_by(const std::string& command) {
    std::FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string out;
    std::array<char, 4096> buffer{};
    for (std::size_t got = 0; (got = std::fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
        out.append(buffer.data(), got);
    return pclose(pipe) == 0 ? out : "";
}

// 12.34 EUR as 1234 EUR, 1.500000 kg as 1500000 kg: what a journal's line moves.
std::pair<std::string, long long> amount_of(const std::string& text) {
    std::istringstream in(text);
    std::string number, unit;
    in >> number >> unit;
    const bool is_whole = number.find('.') == std::string::npos;
    std::erase(number, '.');
    return {unit, std::stoll(number) * (is_whole && unit != "pieces" ? 100 : 1)};
}

// Balances of a journal by account and unit; each entry is held to come to nothing.
std::map<std::string, long long> balances_of(const std::string& journal) {
    std::map<std::string, long long> balances;
    std::istringstream in(journal);
    long long entry = 0;
    for (std::string line; std::getline(in, line);) {
        if (!line.starts_with("    ")) {
            CHECK(entry == 0);
            entry = 0;
            continue;
        }
        const auto gap = line.find("  ", 4);
        std::string account = line.substr(4, gap - 4), amount = line.substr(gap + 2);
        if (const auto assertion = amount.find(" = "); assertion != std::string::npos) {
            const auto [unit, sum] = amount_of(amount.substr(assertion + 3));
            if (account.starts_with("(")) account = account.substr(1, account.size() - 2);
            CHECK_MESSAGE(balances[account + " " + unit] == sum, line);
            continue;
        }
        const bool is_beside = account.starts_with("(");
        if (is_beside) account = account.substr(1, account.size() - 2);
        const auto [unit, moved] = amount_of(amount);
        balances[account + " " + unit] += moved;
        if (!is_beside) entry += moved;
    }
    std::erase_if(balances, [](const auto& balance) { return balance.second == 0; });
    return balances;
}

// What an accounting program prints of `bal --flat`: an amount and an account a line.
std::map<std::string, long long> balances_said(const std::string& printed) {
    std::map<std::string, long long> balances;
    std::istringstream in(printed);
    for (std::string line; std::getline(in, line);) {
        if (line.starts_with("-----")) break;
        const auto start = line.find_first_not_of(' ');
        const auto gap = line.find("  ", start);
        if (start == std::string::npos || gap == std::string::npos) continue;
        const auto [unit, sum] = amount_of(line.substr(start, gap - start));
        balances[line.substr(gap + 2) + " " + unit] = sum;
    }
    return balances;
}

} // namespace

TEST_CASE("a month closed by hand is the month that statement closes, to the cent and the gram") {
    Brewery b;
    book_the_month(b);
    const std::string folder = std::string(LOTWORT_SOURCE_DIR) + "/tests/golden/month/";
    const std::string by_hand = project_file("tests/golden/month/statement.csv");
    CHECK(printed_by("cd '" + folder + "' && awk -F, -v from=2025-03-01 -v to=2025-03-31 -f close.awk daybook.csv") ==
          by_hand);
    std::set<std::string> expected;
    for (const std::string& line : lines_of(by_hand)) expected.insert(line + ",EUR");
    auto said = lines_of(b.done("statement --month 2025-03 --csv"));
    CHECK(
        said.erase("item,kind,unit,opening,received,made,used,returned,lost,found,closing,opening_value,received_value,"
                   "made_value,used_value,returned_value,lost_value,found_value,closing_value,currency") == 1);
    CHECK(said == expected);
    const std::string march = b.done("statement --month 2025-03 --csv");
    CHECK(b.done("statement --from 2025-03-01 --to 2025-03-31 --csv") == march);
    CHECK(b.done("statement 2025-03 --csv") == march);
}

TEST_CASE("the month's page begins with what the books open and close with, as they were closed by hand") {
    Brewery b;
    book_the_month(b);
    double opening = 0.0, closing = 0.0;
    for (const std::string& line : lines_of(project_file("tests/golden/month/statement.csv"))) {
        std::vector<std::string> cells;
        std::istringstream in(line);
        for (std::string cell; std::getline(in, cell, ',');) cells.push_back(cell);
        opening += std::stod(cells[11]);
        closing += std::stod(cells[18]);
    }
    const std::string page =
        std::regex_replace(b.done("report statement 2025-03"), std::regex("<[^>]*>"), ""); // dates stand unbroken
    CHECK(page.find(fmt::format("{:.2f} EUR of stock on 2025-03-01, ", opening)) != std::string::npos);
    CHECK(page.find(fmt::format("; {:.2f} on 2025-03-31. Beer: ", closing)) != std::string::npos);
}

TEST_CASE("the month's short answer fits a terminal with every way of coming and going") {
    Brewery b;
    book_the_month(b);
    const std::string text = b.done("statement --month 2025-03");
    CHECK(std::ranges::count(text, '\n') <= 24);
    const Json all = b.json("statement --month 2025-03");
    CHECK(all["without_price"] == Json::array({"PM-X", "Y1"}));
    CHECK(all["all"]["closing_value"] == b.json("stock --on 2025-03-31")["value"]);
    CHECK(all["all"]["opening_value"] == b.json("stock --on 2025-02-28")["value"]);
}

TEST_CASE("beer of the month: what was brewed, packaged and lost leaves what is in tanks") {
    Brewery b;
    book_the_month(b);
    const Json march = b.json("statement --month 2025-03")["beer"][0];
    CHECK(march["brews"] == 5);
    CHECK(march["brewed_l"] == 510 + 505 + 515 + 510 + 535); // as read in the fermenter at 20 °C
    CHECK(march["packaged_l"] == 450);
    CHECK(march["lost_l"] == 10); // the rest was filled in April, and is trub since then
    CHECK(march["in_tanks_l"] == march["opening_l"].get<double>() + 2575 - 450 - 10);
    const Json two = b.json("statement --from 2025-03-01 --to 2025-04-30")["beer"];
    REQUIRE(two.size() == 2);
    CHECK(two[1]["opening_l"] == march["in_tanks_l"]);
    CHECK(two[1]["packaged_l"] == 40);
    CHECK(two[1]["lost_l"] == 10); // 510 less 450, 10 and 40
    CHECK(march["packaged_abv_pct"] == two[0]["packaged_abv_pct"]);
}

TEST_CASE("the journal's balances are the statement's, and every entry of it balances") {
    Brewery b;
    book_the_month(b);
    const auto balances = balances_of(b.done("statement --month 2025-03 --journal"));
    const Json month = b.json("statement --month 2025-03");
    std::size_t held = 0;
    for (const Json& item : month["items"]) {
        const std::string account =
            fmt::format("stock:{}:{}", item["kind"].get<std::string>(), item["item"].get<std::string>());
        const double value = item["closing_value"].get<double>();
        const auto found = balances.find("assets:" + account + " EUR");
        CHECK((found == balances.end() ? 0.0 : static_cast<double>(found->second) / 100.0) == value);
        held += value != 0.0;
    }
    CHECK(held == 4);
    CHECK(balances.at("expenses:brewing:malt EUR") == 65130);
    CHECK(balances.at("liabilities:suppliers:supplier two EUR") == -3000);
    CHECK(balances.at("amounts:stock:yeast:ale yeast L") == 2000000);
}

TEST_CASE("accounting programs read the journal, and find the same balances") {
    Brewery b;
    book_the_month(b);
    const std::string journal = b.done("statement --month 2025-03 --journal");
    b.write("month.journal", journal);
    const std::string file = b.ledger_path().substr(0, b.ledger_path().rfind('/')) + "/month.journal";
    const auto ours = balances_of(journal);
    for (const std::string program : {"hledger", "ledger"}) {
        if (printed_by("command -v " + program + " || true").empty()) {
            MESSAGE("SKIPPED: there is no " << program << " here to read the journal; apt-get install " << program);
            continue;
        }
        CHECK_MESSAGE(balances_said(printed_by(program + " -f '" + file + "' balance --flat")) == ours, program);
    }
}

TEST_CASE("what came of orders costs what was asked for, with freight and discount, to the cent") {
    Brewery b("2026-03-02");
    b.done("init");
    b.done("order add Hill --line \"pale ale malt=4x25kg@120\" --line \"crystal malt=1x5kg@9.50\" --line "
           "\"bittering hop=2x500g@33.33\" --freight 18.77 --discount 5 --share mass");
    b.done("receive --order O1 \"pale ale malt\" 33.3kg");
    b.done("receive --order O1 \"bittering hop\" 999g");
    b.done("receive --order O1 \"pale ale malt\" 1kg");
    b.done("receive --order O1");
    // 120.00 + 9.50 + 33.33 + 18.77 - 5.00
    CHECK(b.json("statement")["all"]["received_value"] == 176.60);
    CHECK(balances_of(b.done("statement --journal")).at("liabilities:suppliers:Hill EUR") == -17660);
    CHECK(b.done("statement").find("freight") == std::string::npos);
    b.done("order change O1 --freight 24.50"); // the carrier's bill, 5.73 more
    CHECK(b.json("statement")["all"]["received_value"] == 176.60);
    const std::string beside = "beside these figures stand 5.73 EUR of freight";
    CHECK(b.done("statement").find(beside) != std::string::npos);
    CHECK(b.done("statement --journal").find("; " + beside) != std::string::npos);
    // and a delivery that the supplier's terms ask for, of another order
    b.done("offer terms Dale --delivery 12");
    b.done("order add Dale --line \"lager malt=1x25kg@30\"");
    b.done("receive --order O2");
    CHECK(b.done("statement").find("17.73 EUR of freight") != std::string::npos);
    CHECK(b.json("statement")["all"]["received_value"] == 206.60);
}

TEST_CASE("names that a journal would stumble over are written so that it does not") {
    Brewery b;
    b.done("init");
    b.done("item add \"malt; pale: x  y\" --kind malt");
    b.done("receive \"malt; pale: x  y\" 25kg --price 10 --supplier \"A; B: C\"");
    const auto balances = balances_of(b.done("statement --from 2026-03-01 --journal"));
    CHECK(balances.at("assets:stock:malt:malt, pale- x y EUR") == 1000);
    CHECK(balances.at("liabilities:suppliers:A, B- C EUR") == -1000);
}

TEST_CASE("the books of any days open and close with the stock of those days") {
    Brewery b("2026-03-01");
    b.begin_pale(20, 4,
                 {"\"pale ale malt\" 25kg --lot A --price 32.51", "\"bittering hop\" 1kg --lot H --price 14.99"});
    std::mt19937 random(5);
    const auto upto = [&](int n) { return std::uniform_int_distribution<int>(0, n)(random); };
    for (int day = 2; day <= 12; ++day) {
        b.today(fmt::format("2026-03-{:02}", day).c_str());
        for (int i = upto(3); i > 0; --i) {
            const Json lots = b.json("stock --lots")["lots"];
            if (lots.empty()) break;
            const std::string lot = lots[static_cast<std::size_t>(upto(static_cast<int>(lots.size()) - 1))]["lot"];
            const char* lines[] = {
                "receive \"pale ale malt\" 11kg --price 9.99", "discard {} 37g --reason wet", "lot {} --split 100g",
                "count {} 3.333kg --reason counted --sure",    "brew --recipe pale --sure",   "reverse {1}"};
            (void)b.run(fmt::format(fmt::runtime(lines[upto(5)]), lot, 3 + upto(20)));
        }
    }
    for (int from = 2; from <= 12; ++from)
        for (int to = from; to <= 12; to += 3) {
            const Json all = b.json(fmt::format("statement --from 2026-03-{:02} --to 2026-03-{:02}", from, to))["all"];
            CHECK(all["opening_value"] == b.json(fmt::format("stock --on 2026-03-{:02}", from - 1))["value"]);
            CHECK(all["closing_value"] == b.json(fmt::format("stock --on 2026-03-{:02}", to))["value"]);
        }
}

TEST_CASE("a month may be left out: the last that is over, or this one where the books begin with it") {
    Brewery b("2026-03-10");
    b.done("init");
    b.done("receive \"pale ale malt\" 25kg --price 30 --on 2026-03-02");
    CHECK(b.json("statement")["from"] == "2026-03-01");
    CHECK(b.json("statement")["to"] == "2026-03-10");
    CHECK(b.json("statement")["all"]["closing_value"] == 30.0);
    b.today("2026-04-02");
    CHECK(b.json("statement")["from"] == "2026-03-01");
    CHECK(b.json("statement")["to"] == "2026-03-31");
    CHECK(b.json("statement --month")["from"] == "2026-04-01");
}
