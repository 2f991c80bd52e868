// What a plan lacks is one number, whoever is asked: plan, stock, buy and substitute.
#include "brewery.hpp"
#include "near.hpp"
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <random>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void set_up(const Brewery& b) {
    b.done("init");
    b.done("brewhouse add garage 25L");
    b.done("item add \"pale ale malt\" --kind malt --class base");
    b.done("item add \"crystal malt\" --kind malt --class caramel");
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\n[[grist]]\nitem = \"pale ale malt\"\nmass_kg = 10\n"
                         "[[grist]]\nitem = \"crystal malt\"\nmass_kg = 2\n");
    b.done("recipe add FOLDER/pale.toml");
}

std::string order(const std::string& code, const std::string& item, int kg, const std::string& arrives) {
    return fmt::format(
        R"({{"schema": "lotwort/exchange/1", "suppliers": [{{"name": "Hillside"}}], "orders": [{{"code": "{}",
        "supplier": "Hillside", "ordered": "2026-03-01", "arrives": "{}",
        "lines": [{{"item": "{}", "pack_kg": {}, "packs": 1, "cost": 10}}]}}]}})",
        code, arrives, item, kg);
}

using Lacks = std::map<std::string, std::int64_t>; // grams, by what the key says

void add(Lacks& lacks, const std::string& key, const Json& kg) {
    const auto grams = std::llround(kg.get<double>() * 1000.0);
    if (grams != 0) lacks[key] += grams;
}

Lacks of_list(const Json& shortages) {
    Lacks lacks;
    for (const Json& one : shortages)
        add(lacks, one["plan"].get<std::string>() + " " + one["item"].get<std::string>(), one["missing_kg"]);
    return lacks;
}

Lacks of_plans(const Brewery& b, const Json& plans) {
    Lacks lacks;
    for (const Json& plan : plans)
        for (const Json& one : b.json("plan " + plan["plan"].get<std::string>())["shortages"])
            add(lacks, plan["plan"].get<std::string>() + " " + one["item"].get<std::string>(), one["missing_kg"]);
    return lacks;
}

Json answer(const Brewery& b, const std::string& line) { // bad news is an answer too
    const Said said = b.run(line + " --json");
    CHECK_MESSAGE(said.error.empty(), line, ": ", said.error);
    return said.out.empty() ? Json() : Json::parse(said.out);
}

Lacks of_substitute(const Brewery& b) {
    Lacks lacks;
    for (const Json& one : answer(b, "substitute --kind buy")["shortages"])
        add(lacks, one["brew"].get<std::string>() + " " + one["item"].get<std::string>(), one["missing_kg"]);
    return lacks;
}

Lacks by_item(const Lacks& lacks) {
    Lacks sums;
    for (const auto& [key, grams] : lacks) sums[key.substr(key.find(' ') + 1)] += grams;
    return sums;
}

Lacks of_buy(const Brewery& b) { // nobody sells anything: all that lacks is late
    Lacks lacks;
    for (const Json& one : answer(b, "buy --service 50%")["late"]) add(lacks, one["item"], one["short_kg"]);
    return lacks;
}

} // namespace

TEST_CASE("what an order brings by the day of the brew is no shortage, and what it brings a day late is") {
    Brewery b;
    set_up(b);
    b.done("receive \"pale ale malt\" 9kg");
    b.done("receive \"crystal malt\" 2kg");
    b.done("plan pale --on 2026-03-20");
    for (const auto& [arrives, lacks] : {std::pair("2026-03-21", 1000), std::pair("2026-03-20", 0)}) {
        b.write("o.json", order(arrives, "pale ale malt", 5, arrives));
        b.done("import FOLDER/o.json");
        const Lacks wanted = lacks == 0 ? Lacks{} : Lacks{{"P1 pale ale malt", lacks}};
        CHECK(of_list(b.json("stock")["shortages"]) == wanted);
        CHECK(of_list(b.json("plan")["shortages"]) == wanted);
        CHECK(of_substitute(b) == wanted);
        CHECK(of_buy(b) == by_item(wanted));
    }
    const std::string shown = b.done("plan P1"); // what is on its way is not there
    CHECK(shown.find("\nNot reserved yet: 1 kg of 10 kg of pale ale malt.\n") != std::string::npos);
    CHECK(shown.find("not yet    1 kg\n") != std::string::npos);
    CHECK(shown.find("1 kg of pale ale malt is due on order by then") != std::string::npos);
    const std::string substitute = b.run("substitute").out;
    CHECK(substitute.starts_with("Nothing lacks once what is on order has come"));
    CHECK(substitute.find("1 kg of pale ale malt for P1 on 2026-03-20 is due on order by then") != std::string::npos);
}

TEST_CASE("what has come since is the plan's, and no shortage is left") {
    Brewery b;
    set_up(b);
    b.done("receive \"pale ale malt\" 9kg");
    b.done("receive \"crystal malt\" 2kg");
    b.done("plan pale --on 2026-03-20");
    b.done("receive \"pale ale malt\" 9kg");
    CHECK(of_list(b.json("stock")["shortages"]).empty());
    CHECK(b.json("stock")["not_reserved"].is_null());
    CHECK(of_substitute(b).empty());
}

TEST_CASE("a plan says the same shortage when it is booked and when it is looked at") {
    Brewery b;
    set_up(b);
    b.done("recipe add shares 23L --gravity 1.048 --malt \"pale ale malt=100%\"");
    b.done("receive \"pale ale malt\" 3kg --extract 76% --basis fine-dry --moisture 4%");
    b.done("receive \"pale ale malt\" 3kg --extract 83% --basis fine-dry --moisture 4%");
    (void)b.run("plan shares --on 2026-03-19"); // of the rest
    const auto lacking = [](const std::string& text) {
        const auto at = text.find("Lacking: ");
        REQUIRE(at != std::string::npos);
        return text.substr(at, text.find('\n', at) - at);
    };
    const std::string booked = b.run("plan shares --on 2026-03-20").out;
    CHECK(lacking(booked) == lacking(b.run("plan P2").out));
    const std::string moved = b.run("plan P2 --move 2026-03-21").out;
    CHECK(lacking(moved) == lacking(b.run("plan P2").out));
}

TEST_CASE("a smaller batch counts what an order brings by the day, and what is on order is not bought again") {
    Brewery b;
    set_up(b);
    b.done("receive \"pale ale malt\" 4kg");
    b.done("receive \"crystal malt\" 2kg");
    b.done("plan pale --on 2026-03-20");
    b.write("o.json", order("O1", "pale ale malt", 4, "2026-03-19"));
    b.done("import FOLDER/o.json");
    const std::string smaller = b.run("substitute --kind smaller").out; // 8 kg of 10 are there by then
    CHECK(smaller.find("Brew 16 of the 20 L of P1") != std::string::npos);
    b.write("o2.json", order("O2", "pale ale malt", 2, "2026-03-25"));
    b.done("import FOLDER/o2.json");
    b.done("offer add Hillside \"pale ale malt\" 25kg 40 --lead 30days");
    const std::string bought = b.run("substitute --kind buy").out;
    CHECK(bought.find("7 buy: none: what is on order comes as soon as anything that could be bought") !=
          std::string::npos);
    b.done("offer add Valley \"pale ale malt\" 25kg 40 --lead 2days"); // sooner than the order
    CHECK(b.run("substitute --kind buy").out.find("from Valley") != std::string::npos);
}

TEST_CASE("a scaled recipe is what a plan for today would weigh") {
    const Brewery b;
    set_up(b);
    b.done("receive \"pale ale malt\" 3kg --extract 76% --basis fine-dry --moisture 4%");
    b.done("receive \"pale ale malt\" 9kg --extract 83% --basis fine-dry --moisture 4%");
    b.done("receive \"hop A\" 20g --alpha 13.5% --analysed 2025-09-15");
    b.done("recipe add shares 20L --gravity 1.048 --malt \"pale ale malt=100%\" --hop \"hop A=30IBU@boil,60\"");
    const Json scaled = b.json("recipe scale shares 30L")["scaled"];
    const Said planned = b.run("plan shares --volume 30L --sure --json");
    for (const Json& line : scaled["lines"]) {
        double needed = 0.0;
        for (const Json& reserved : Json::parse(planned.out)["reserved"])
            if (reserved["item"] == line["item"]) needed += reserved["mass_kg"].get<double>();
        for (const Json& lack : Json::parse(planned.out)["shortages"])
            if (lack["item"] == line["item"]) needed += lack["missing_kg"].get<double>();
        CHECK(line["needed_kg"].get<double>() == near(needed, 1e-9));
    }
    CHECK(scaled["lacking"][0]["item"] == "hop A");
}

TEST_CASE("what all lines of an item need is what lacks is said of") {
    Brewery b;
    set_up(b);
    b.put_recipe("twice", "{item = \"pale ale malt\", mass_kg = 4}",
                 "{item = \"Goldings\", minutes = 60, mass_g = 20}, {item = \"Goldings\", minutes = 5, mass_g = 30}");
    b.done("receive \"pale ale malt\" 9kg");
    b.done("receive Goldings 20g");
    const std::string booked = b.run("plan twice --on 2026-03-20").out;
    CHECK(booked.find("\nLacking: 30 g of 50 g of Goldings.\n") != std::string::npos);
    CHECK(b.run("substitute").out.starts_with("P1 on 2026-03-20 lacks 30 g of its 50 g of Goldings\n"));
}

TEST_CASE("on whatever ledger, the four shortages are one") {
    for (unsigned seed = 1; seed <= 6; ++seed) {
        Brewery b;
        set_up(b);
        std::mt19937 random(seed);
        const auto upto = [&](int n) { return std::uniform_int_distribution<int>(0, n)(random); };
        for (int i = 0; i < 12; ++i) {
            const char* item = upto(2) == 0 ? "crystal malt" : "pale ale malt";
            const int what = upto(6), day = 15 + upto(9);
            const Json lots = b.json("stock --lots")["lots"];
            std::string lot;
            if (!lots.empty())
                lot = lots[static_cast<std::size_t>(upto(static_cast<int>(lots.size()) - 1))]["lot"].get<std::string>();
            if (what <= 1)
                (void)b.run(fmt::format("receive \"{}\" {}kg", item, 1 + upto(12)));
            else if (what <= 3)
                (void)b.run(fmt::format("plan pale --on 2026-03-{} --volume {}L", day, 10 + upto(20)));
            else if (what == 4) {
                b.write("o.json", order(fmt::format("O{}", i), item, 1 + upto(8), fmt::format("2026-03-{}", day)));
                b.done("import FOLDER/o.json");
            } else if (what == 5)
                (void)b.run(fmt::format("discard {} {}kg --reason wet", lot, 1 + upto(3)));
            else
                (void)b.run(fmt::format("trace {} --hold weevils", lot));
        }
        const Json plans = b.json("plan")["plans"];
        const Lacks stock = of_list(b.json("stock")["shortages"]);
        CHECK(of_list(b.json("plan")["shortages"]) == stock);
        CHECK(of_plans(b, plans) == stock);
        if (!plans.empty()) CHECK(of_substitute(b) == stock);
        CHECK_MESSAGE(of_buy(b) == by_item(stock), seed, b.done("stock"), b.run("buy --service 50%").out,
                      b.done("export"));
    }
}
