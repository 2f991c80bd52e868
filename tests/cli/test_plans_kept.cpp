// Open plans keep themselves: whatever is booked, they are reserved anew in the order of their days, and the entry says
// what changed.
#include "brewery.hpp"
#include "golden.hpp"
#include "near.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <random>

using namespace lotwort::test;

namespace {

// Plans take 4 kg of pale ale malt each.
struct Cellar : Brewery {
    Cellar() {
        done("init");
        done("brewhouse add garage 25L");
        write("pale.toml", "name = \"pale\"\nvolume_l = 20\n[[grist]]\nitem = \"pale ale malt\"\nmass_kg = 4\n");
        done("item add \"pale ale malt\" --kind malt");
        done("recipe add FOLDER/pale.toml");
    }
    void plan(int day) const { done(fmt::format("plan pale --on 2026-04-{:02}", day)); }
    // The answer without its line ends.
    [[nodiscard]] std::string told(const std::string& line) const {
        std::string all = done(line);
        for (std::size_t at = 0; (at = all.find("\n", at)) != std::string::npos;) {
            const auto next = std::min(all.find_first_not_of(" \n", at), all.size());
            all.replace(at, next - at, " ");
        }
        return all;
    }
    [[nodiscard]] bool says(const std::string& line, const std::string& words) const {
        return told(line).find(words) != std::string::npos;
    }
    // Grams that each open plan lacks, by its code.
    [[nodiscard]] std::map<std::string, long> lacks() const {
        std::map<std::string, long> lacking;
        for (const Json& one : json("plan")["shortages"])
            lacking[one["plan"].get<std::string>()] += std::lround(one["missing_kg"].get<double>() * 1000);
        return lacking;
    }
    [[nodiscard]] std::string newest() const {
        return std::to_string(json("history --last 1")["entries"][0]["number"].get<int>());
    }
};

// Of all open plans in the order of their days, as if they were made now.
std::map<std::string, long> lacks_of_fresh_plans(const Cellar& b) {
    long there = 0;
    for (const Json& lot : b.json("stock --lots")["lots"])
        if (lot["held"].is_null()) there += std::lround(lot["on_hand_kg"].get<double>() * 1000);
    std::map<std::string, std::string> by_day;
    for (const Json& plan : b.json("plan")["plans"])
        by_day[plan["date"].get<std::string>()] = plan["plan"].get<std::string>();
    std::map<std::string, long> lacking;
    for (const auto& [day, code] : by_day) {
        const long taken = std::min(there, 4000L);
        there -= taken;
        if (taken < 4000) lacking[code] = 4000 - taken;
    }
    return lacking;
}

// What there is of each lot, in grams, the open plans with their days, and what they lack.
std::map<std::string, std::string> standing(const Cellar& b) {
    std::map<std::string, std::string> now;
    for (const Json& lot : b.json("stock --lots")["lots"])
        if (const long there = std::lround(lot["on_hand_kg"].get<double>() * 1000); there > 0)
            now["lot " + lot["lot"].get<std::string>()] = std::to_string(there);
    for (const Json& plan : b.json("plan")["plans"])
        now["plan " + plan["plan"].get<std::string>()] = plan["date"].get<std::string>();
    for (const auto& [plan, grams] : b.lacks()) now["lack of " + plan] = std::to_string(grams);
    return now;
}

} // namespace

TEST_CASE("a delivery goes to the plan that lacks it, in one entry, and taking it back takes both back") {
    const Cellar b;
    b.done("receive \"pale ale malt\" 1kg --lot A");
    b.plan(1);
    CHECK(b.lacks().at("P1") == 3000);
    CHECK(b.says("receive \"pale ale malt\" 5kg --lot B --dry-run", "P1 takes 3 kg of B"));
    CHECK(b.lacks().at("P1") == 3000); // it was a rehearsal
    CHECK(b.says("receive \"pale ale malt\" 5kg --lot B", "as B; P1 takes 3 kg of B"));
    CHECK(b.lacks().empty());
    CHECK(b.json("lot B")["promised_kg"] == 3);
    b.done("receive \"crystal malt\" 5kg --lot C"); // nothing to anybody: plans stay as they are
    b.done("reverse " + std::to_string(b.json("history --lot B")["entries"][0]["number"].get<int>()));
    CHECK(b.lacks().at("P1") == 3000);
}

TEST_CASE("a sack that is spilled is made good by another, and no one has to plan again") {
    const Cellar b;
    b.done("receive \"pale ale malt\" 5kg --lot A");
    b.done("receive \"pale ale malt\" 5kg --lot B");
    b.plan(1);
    const std::string told = b.told("discard A all --reason wet");
    CHECK(told.find("P1 takes 4 kg of B in place of 4 kg of A") != std::string::npos);
    CHECK(told.find("loses") == std::string::npos);
    CHECK(b.json("plan P1")["reserved"][0]["lot"] == "B");
    CHECK(b.says("count B 2kg --reason stolen", "P1 on 2026-04-01 loses what it was promised: 2 kg of B"));
    CHECK(b.says("count B 5kg --reason \"behind the door\"", "P1 takes 2 kg of B"));
}

TEST_CASE("the earlier brew is served first: what is lost to it the later one gives up") {
    const Cellar b;
    b.done("receive \"pale ale malt\" 4kg --lot A");
    b.done("receive \"pale ale malt\" 4kg --lot B");
    b.plan(1);
    b.plan(2);
    CHECK(b.says("discard A all --reason wet", "P1 takes 4 kg of B in place of 4 kg of A; P2 is without 4 kg of B"));
    CHECK(b.lacks() == std::map<std::string, long>{{"P2", 4000}});
    b.done("plan P1 --cancel \"no time\"");
    CHECK(b.lacks().empty());
    CHECK(b.json("plan P2")["reserved"][0]["lot"] == "B");
}

TEST_CASE("a lot that was pinned stays, though another would spoil first") {
    const Cellar b;
    b.done("receive \"pale ale malt\" 5kg --lot A --best-before 2027-06-01");
    b.done("receive \"pale ale malt\" 5kg --lot B --best-before 2027-03-01");
    b.done("plan pale --on 2026-04-01 --pin A");
    b.done("receive \"pale ale malt\" 5kg --lot C --best-before 2026-12-01");
    b.done("discard B 1kg --reason wet");
    CHECK(b.json("plan P1")["reserved"][0]["lot"] == "A");
}

TEST_CASE("a brew pitches packs or a harvest, never both: its plan keeps what it has while that is enough") {
    Cellar b;
    b.done("receive \"pale ale malt\" 50kg");
    b.done("receive \"ale yeast\" 5pieces");
    b.write("with.toml", "name = \"with\"\nvolume_l = 20\noriginal_gravity_sg = 1.040\n[[grist]]\nitem = \"pale ale "
                         "malt\"\nmass_kg = 4\n[[others]]\nitem = \"ale yeast\"\nstage = \"fermenter\"\n");
    b.done("recipe add FOLDER/with.toml");
    for (const char* on : {"2026-03-14", "2026-03-16", "2026-03-18"}) b.done(std::string("plan with --on ") + on);
    b.done("brew P1"); // two packs; P2 has two, P3 one of two
    b.done("receive \"ale yeast\" 1L --from-brew B1");
    const auto pitched = [&](std::size_t plan) {
        std::string lots;
        for (const Json& had : b.json("plan")["plans"][plan]["reserved"])
            if (had["line"].get<int>() == 1) lots += had["lot"].get<std::string>() + " ";
        return lots;
    };
    CHECK(pitched(0) == "AY-1 ");
    CHECK(pitched(1) == "AY-2 ");
    CHECK(b.json("plan")["shortages"].empty());
    CHECK_FALSE(b.says("buy", "different measures"));
    b.done("brew P2");
    CHECK(pitched(0) == "AY-2 ");
    CHECK(b.run("plan P3").status == 0);
}

TEST_CASE("a plan that was weighed for its gravity keeps its masses, whatever is booked next and on whatever day") {
    Brewery b;
    b.done("init");
    b.write("golden.json", project_file("tests/golden/first-brewery.json"));
    b.done("import FOLDER/golden.json");
    b.done("receive \"pale malt\" 50kg --lot NEW");
    b.done("recipe add low 23L --malt \"pale malt=4.5kg\" --gravity 1.040");
    CHECK(b.done("plan low --on 2026-05-01 --dry-run").find("than the recipe's 1.0400: --aim weighs for it.") !=
          std::string::npos);
    b.done("plan low --on 2026-05-01 --aim");
    const auto plan = [&] { return b.json("plan")["plans"]; };
    const auto weighed = [&] {
        double kg = 0.0;
        for (const Json& one : plan())
            if (one["recipe"].get<std::string>() == "low")
                for (const Json& had : one["reserved"]) kg += had["mass_kg"].get<double>();
        return kg;
    };
    const double aimed = weighed();
    CHECK(aimed < 4.2); // by the book 4.5 kg make it too strong
    b.done("receive \"pale malt\" 1kg");
    CHECK(weighed() == aimed);
    b.done("discard NEW 1kg --reason mouldy");
    CHECK(weighed() == aimed);
    b.done("plan P002 --move 2026-05-04");
    CHECK(weighed() == near(aimed, 0.02));
    // a substitution has its own measure
    b.done("discard NEW 45kg --reason mouldy");
    b.done("plan \"ordinary pale\" --on 2026-05-02");
    b.done("substitute P003 --take 1");
    CHECK(b.run("plan P003 --aim").error.find("P003 follows a substitution, which --aim would forget") !=
          std::string::npos);
}

TEST_CASE("a reversal that takes stock away is followed by the plans") {
    const Cellar b;
    b.done("receive \"pale ale malt\" 4kg --lot A");
    const std::string delivery = b.newest();
    b.plan(1);
    b.done("receive \"pale ale malt\" 4kg --lot B");
    b.done("discard A all --reason wet");
    const std::string spilled = b.newest();
    CHECK(b.json("plan P1")["reserved"][0]["lot"] == "B");
    b.done("reverse " + spilled);
    CHECK(b.lacks().empty());
    b.done("count A 0kg --reason \"it was gone all the same\"");
    CHECK(b.json("plan P1")["reserved"][0]["lot"] == "B");
    CHECK(b.run("reverse " + delivery).status == 1); // the plan itself stands on it, as ever
    CHECK(b.run("export").status == 0);
    b.check_round_trip();
}

TEST_CASE("whatever is booked, open plans lack what plans made anew in the order of their days would lack") {
    int booked = 0, short_plans = 0;
    for (unsigned seed = 1; seed <= 6; ++seed) {
        const Cellar b;
        std::mt19937 random(seed);
        const auto upto = [&](int n) { return std::uniform_int_distribution<int>(0, n)(random); };
        std::vector<int> days;
        for (int i = 0; i < 18; ++i) {
            const Json lots = b.json("stock --lots")["lots"];
            const std::string lot =
                lots.size() == 0
                    ? "none"
                    : lots[static_cast<std::size_t>(upto(static_cast<int>(lots.size()) - 1))]["lot"].get<std::string>();
            std::string line;
            switch (upto(9)) {
            case 0:
            case 1:
                line = fmt::format("receive \"pale ale malt\" {}kg", 1 + upto(8));
                break;
            case 2:
            case 3: {
                const int day = 1 + upto(28);
                if (std::ranges::find(days, day) != days.end()) continue;
                days.push_back(day);
                line = fmt::format("plan pale --on 2026-04-{:02}", day);
                break;
            }
            case 4:
                line = fmt::format("discard {} {}kg --reason wet", lot, 1 + upto(3));
                break;
            case 5:
                line = fmt::format("count {} {}kg --reason counted --sure", lot, upto(9));
                break;
            case 6:
                line = fmt::format("trace {} --hold weevils", lot);
                break;
            case 7:
                line = fmt::format("plan P{} --cancel \"no time\"", 1 + upto(4));
                break;
            case 8:
                line = fmt::format("lot {} --split 1kg", lot);
                break;
            default:
                line = fmt::format("reverse {}", 4 + upto(12));
            }
            const Said said = b.run(line);
            booked += said.error.empty();
            CAPTURE(seed);
            CAPTURE(line);
            CAPTURE(said.error);
            const auto lacking = b.lacks();
            CHECK(lacking == lacks_of_fresh_plans(b));
            CHECK(b.json("plan")["not_reserved"].is_null()); // nothing by hand
            short_plans += !lacking.empty();
        }
        CHECK(b.json("verify")["faults"].size() == 0);
    }
    CHECK(booked > 50);
    CHECK(short_plans > 10);
}

TEST_CASE(
    "what moved plans, made one or brewed one is taken back whole: stock, plans and what they lack are as before") {
    int moved = 0, made = 0, brewed = 0;
    for (unsigned seed = 1; seed <= 6; ++seed) {
        const Cellar b;
        std::mt19937 random(seed);
        const auto upto = [&](int n) { return std::uniform_int_distribution<int>(1, n)(random); };
        int day = 0;
        b.done("receive \"pale ale malt\" 9kg --lot A");
        b.plan(++day);
        for (int i = 0; i < 16; ++i) {
            const std::string plan = fmt::format("P{}", upto(4));
            const std::string lines[] = {fmt::format("receive \"pale ale malt\" {}kg", upto(8)),
                                         fmt::format("discard A {}g --reason wet", 100 * upto(20)),
                                         fmt::format("count A {}kg --reason counted", upto(9)),
                                         fmt::format("plan pale --on 2026-04-{:02}", 3 * day + 1),
                                         fmt::format("plan {} --move 2026-04-{:02}", plan, 3 * upto(9)),
                                         fmt::format("plan {} --cancel late", plan),
                                         "trace A --hold weevils",
                                         fmt::format("brew {}", plan),
                                         fmt::format("brew P{}", 1 + i / 4),
                                         "lot A --split 1kg"};
            const std::string& line = lines[static_cast<std::size_t>(upto(10) - 1)];
            const auto before = standing(b);
            const Said said = b.run(line + " --json");
            if (said.status == 1 || said.out.empty()) continue;
            const Json booked = Json::parse(said.out);
            if (!booked.contains("entry")) continue;
            const std::string what = booked["entry"]["what"];
            const std::string number = std::to_string(booked["entry"]["number"].get<int>());
            INFO("seed " << seed << ": " << line << ": " << what);
            b.done("reverse " + number);
            CHECK(standing(b) == before);
            CHECK(b.json("plan")["not_reserved"].is_null());
            moved += what.find(" takes ") != std::string::npos || what.find(" is without ") != std::string::npos;
            made += what.starts_with("planned");
            brewed += what.starts_with("brewed");
            b.done(line); // and on from there
            if (line.starts_with("plan pale")) ++day;
        }
        CHECK(b.json("verify")["faults"].size() == 0);
        b.check_round_trip();
    }
    CHECK(moved > 5);
    CHECK(made > 5);
    CHECK(brewed > 3);
}
