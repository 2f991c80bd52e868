// In whose units people are answered: every verb in each of its ways, asked for pounds and gallons.
//
// What breaks if this breaks: an answer in two systems at once, or a command that books another amount.
#include "every_option.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/stock/kinds.hpp>
#include <regex>

using namespace lotwort;
using namespace lotwort::test;

namespace {

bool answers_in_quantities(const Way& way) {
    const auto command = std::ranges::find(cli::commands(), way.verb(), [](const auto* c) { return c->name; });
    const auto options = cli::all_options(**command);
    return std::ranges::find(options, "units", &cli::Option::name) != options.end();
}

// Without what people called so themselves: names in quotes and backticks, and kinds that are named after a colour.
std::string without_names(std::string text) {
    for (const KindOfItem& kind : kinds())
        for (auto at = text.find(kind.name); at != std::string::npos; at = text.find(kind.name))
            text.erase(at, kind.name.size());
    text = std::regex_replace(text, std::regex("`(?!lotwort )[^`\n]*`"), "");
    for (auto at = text.find("<style>"); at != std::string::npos; at = text.find("<style>"))
        text.erase(at, text.find("</style>", at) - at + 8);
    return std::regex_replace(text, std::regex("ml/100 g|ml per 100 g|caramel malt [0-9]+ EBC"), "");
}

std::vector<std::string> metric_in(const std::string& text) {
    static const std::regex figure("(^|[^A-Za-z0-9_.-])-?[0-9][0-9.]* ?"
                                   "(kg|g|mg|L|l|ml|mL|hl|hL|°C|C|EBC|cm|bar|L/kg|L/h|g/L)(?![A-Za-z0-9°_/])|"
                                   "\\b(LITRES|Litres|litres?|KG|kilograms?|grams?|EBC)\\b|°C");
    const std::string seen = without_names(text);
    std::vector<std::string> found;
    for (auto at = std::sregex_iterator(seen.begin(), seen.end(), figure); at != std::sregex_iterator(); ++at)
        found.push_back(at->str());
    return found;
}

// The reason that a line gives stays in the answer as it was written.
std::string without_reason(std::string text, const std::string& line) {
    std::smatch given;
    if (!std::regex_search(line, given, std::regex("--reason \"([^\"]*)\""))) return text;
    for (auto at = text.find(given[1]); at != std::string::npos; at = text.find(given[1]))
        text.erase(at, static_cast<std::size_t>(given[1].length()));
    return text;
}

std::vector<std::string> commands_in(const std::string& answer) {
    const std::string text = std::regex_replace(answer, std::regex("\n +"), " ");
    std::vector<std::string> commands;
    const std::regex shown("lotwort ([a-z]+ [^\n;`]*)");
    for (auto at = std::sregex_iterator(text.begin(), text.end(), shown); at != std::sregex_iterator(); ++at)
        commands.push_back((*at)[1].str());
    return commands;
}

// A kit's figures that are shown to be stated are typical: three digits of them are what is meant.
std::string without_rates(const std::string& book) {
    return std::regex_replace(book, std::regex("\"[a-z_]+_l_per_[a-z]+\": [0-9.]+"), "");
}

struct Stocked : Brewery {
    Stocked() {
        stock_every_kind(*this);
        kept_ = read("ledger.lotwort");
    }
    Said fresh(const std::string& line) const {
        write("ledger.lotwort", kept_);
        return run(line);
    }
    [[nodiscard]] std::string booked() const { return run("export").out; }

private:
    std::string kept_;
};

} // namespace

TEST_CASE("no answer in US units shows a metric one") {
    const Stocked b;
    for (const Way& way : every_way()) {
        if (!answers_in_quantities(way) || !way.only.empty() || way.verb() == "init") continue;
        const Said said = b.fresh(way.line + " --units us");
        CAPTURE(way.line);
        for (const std::string& found : metric_in(without_reason(said.out + said.error + "\n" + said.hint, way.line)))
            CHECK_MESSAGE(found.empty(), found, " in\n", said.out, said.error, "\n", said.hint);
    }
}

TEST_CASE("a command that an answer shows is taken in either units, and books the same") {
    const Stocked b;
    int shown = 0;
    for (const Way& way : every_way()) {
        if (!answers_in_quantities(way) || !way.only.empty() || way.verb() == "init") continue;
        const auto metric = commands_in(b.fresh(way.line).out);
        const auto us = commands_in(b.fresh(way.line + " --units us").out);
        const std::string state = b.read("ledger.lotwort"); // the answers speak of
        CAPTURE(way.line);
        REQUIRE(metric.size() == us.size());
        for (std::size_t i = 0; i < us.size(); ++i) {
            if (metric[i] == us[i]) continue;
            ++shown;
            CAPTURE(us[i]);
            b.write("ledger.lotwort", state);
            const Said first = b.run(metric[i]);
            const std::string booked = b.booked();
            b.write("ledger.lotwort", state);
            const Said second = b.run(us[i]);
            CHECK_MESSAGE(first.status == second.status, first.error, " / ", second.error);
            CHECK(without_rates(b.booked()) == without_rates(booked));
        }
    }
    CHECK(shown > 5);
}

TEST_CASE("what is booked is the same in whatever units it is told") {
    const Stocked b;
    const std::string line = "receive \"pale ale malt\" 50lb --lot US --price 30";
    (void)b.fresh(line);
    const std::string metric = b.booked(), history = b.run("history --json").out;
    const Said said = b.fresh(line + " --units us");
    CHECK(said.out.find("50 lb") != std::string::npos);
    CHECK(b.booked() == metric);
    CHECK(b.run("history --json").out == history);
    CHECK(b.run("history --units us").out.find("received 50 lb of pale ale malt") != std::string::npos);
}

TEST_CASE("the environment may wish it, the option has the last word, and programs are told in metric") {
    Stocked b;
    b.surroundings().units = "us";
    CHECK(b.run("stock").out.find(" lb") != std::string::npos);
    CHECK(b.run("stock --units metric").out.find(" lb") == std::string::npos);
    CHECK(b.run("stock --csv").out.find(" lb") == std::string::npos);
    CHECK(b.run("stock --units us --json").error.find("--units") != std::string::npos);
    CHECK(b.run("stock --units stone").hint == "write one of: metric, us");
    b.surroundings().units = "stone";
    CHECK(b.run("stock").error == "LOTWORT_UNITS: `stone` is not a system of units");
}

TEST_CASE("an item that is called after an amount keeps its name") {
    const Stocked b;
    b.done("receive \"house sugar 5 kg\" 2kg --kind sugar --lot HS");
    const std::string stock = b.run("stock --units us").out;
    CHECK(stock.find("house sugar 5 kg") != std::string::npos);
    CHECK(stock.find("4.41 lb") != std::string::npos);
}

TEST_CASE("a house that works in pounds and gallons is answered in them, and files stay metric") {
    Brewery b;
    b.done("init");
    const std::string added = b.done("brewhouse add kit 6galUS");
    CHECK(added.find("kit: 6 gal(US) in the fermenter") != std::string::npos);
    CHECK(added.find("--works-in metric") != std::string::npos); // how to have litres
    CHECK(metric_in(added) == std::vector<std::string>{});
    b.done("receive \"pale ale malt\" 50lb");
    CHECK(b.run("stock").out.find("50 lb") != std::string::npos);
    CHECK(b.run("stock --units metric").out.find("kg") != std::string::npos);
    CHECK(b.run("stock --csv").out.find("lb") == std::string::npos);
    CHECK(b.json("brewhouse")["brewhouses"][0]["stated"]["works_in"] == "us");
    CHECK(b.done("brewhouse change kit --works-in metric").find("23 L") == std::string::npos); // 22.7 L
    CHECK(b.run("stock").out.find("kg") != std::string::npos);
    b.done("reverse 4");
    CHECK(b.run("stock").out.find("lb") != std::string::npos); // the preference is an entry like another
    b.surroundings().units = "metric";
    CHECK(b.run("stock").out.find("lb") == std::string::npos); // who asks has the last word
}

TEST_CASE("of houses that work in different units nobody's is taken") {
    Brewery b;
    b.done("init");
    b.done("brewhouse add pilot 6galUS");
    b.done("brewhouse add main 500L");
    CHECK(b.run("brewhouse show main").out.find("gal(US)") != std::string::npos);
    b.done("brewhouse change main --works-in metric");
    CHECK(b.run("brewhouse show main").out.find("500 L") != std::string::npos);
}

TEST_CASE("what people wrote themselves stays, in the answer that books it and afterwards") {
    const Stocked b;
    const std::string words = "5 kg fell on it";
    const std::string lot = b.json("stock --lots")["lots"][0]["lot"];
    for (const std::string& said :
         {b.done("discard " + lot + " 100g --reason \"" + words + "\" --note \"the 25 kg scale\" --units us"),
          b.done("history --units us"), b.done("lot " + lot + " --units us")}) {
        CHECK(said.find(words) != std::string::npos);
        CHECK(said.find("11.02 lb fell") == std::string::npos);
    }
    const double newest = b.json("history --last 1")["entries"][0]["number"];
    CHECK(b.done(fmt::format("history {:.0f} --units us", newest)).find("the 25 kg scale") != std::string::npos);
}
