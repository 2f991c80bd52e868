// The verbs of stock, worked as a person works them: what is typed is what is kept, and is shown again.
#include "brewery.hpp"
#include "near.hpp"
#include <doctest/doctest.h>
#include <tuple>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// A ledger with one certified malt (two lots) and a hop.
void stocked(const Brewery& b) {
    b.done("init");
    b.done("receive \"pale ale malt\" 25kg --lot A --on 2026-03-01 --price 30 --best-before 2027-03-01 "
           "--extract 81.5% --basis fine-dry --moisture 4%");
    b.done("receive \"pale ale malt\" 10kg --lot B --on 2026-03-02");
    b.done("receive \"bittering hop\" 500g --lot H --alpha 11.2%");
}

} // namespace

TEST_CASE("every figure of a certificate that is typed is kept, in its own unit") {
    const Brewery b;
    b.done("init --currency GBP");
    b.done(
        "receive \"pale ale malt\" 55lb --lot PA-7 --supplier \"Hill Maltings\" --supplier-lot 4711 --price 32.50GBP "
        "--best-before 2027-03-01 --crop 2025 --storage 50F --packaging \"paper sack\" --extract 300L/kg "
        "--basis coarse-as-is --extract-sd 3L/kg --moisture 4.2% --moisture-sd 0.3% --colour 3L --wk 250 "
        "--protein 10.5% --analysed 2026-01-15");
    const Json lot = b.json("lot PA-7")["lot"];
    CHECK(lot["mass_kg"] == 24.94758); // 55 * 0.45359237 = 24.94758035 kg, kept to the milligram
    CHECK(lot["supplier"] == "Hill Maltings");
    CHECK(lot["supplier_lot"] == "4711");
    CHECK(lot["price"] == 32.5);
    CHECK(lot["best_before"] == "2027-03-01");
    CHECK(lot["crop_year"] == 2025);
    CHECK(lot["storage_c"] == near(10.0));
    CHECK(lot["packaging"] == "paper sack");
    const Json& c = lot["certificate"];
    CHECK(c["extract_pct"] == 300);
    CHECK(c["extract_basis"] == "l-per-kg-coarse-as-is");
    CHECK(c["extract_sd_pct"] == 3);
    CHECK(c["moisture_pct"] == 4.2);
    CHECK(c["moisture_sd_pct"] == 0.3);
    CHECK(c["colour_ebc"].get<double>() == near((1.3546 * 3 - 0.76) * 1.97)); // Morey's line for malts
    CHECK(c["diastatic_power_wk"] == 250);
    CHECK(c["protein_pct"] == 10.5);
    CHECK(c["analysed"] == "2026-01-15");
}

TEST_CASE("a certificate may come as a file, and the options come before it") {
    const Brewery b;
    b.done("init");
    b.write("c.json", R"({"extract_pct": 80.5, "extract_basis": "fine-dry", "moisture_pct": 4.4, "colour_ebc": 7})");
    b.done("receive \"pale ale malt\" 25kg --lot A --certificate FOLDER/c.json --moisture 5%");
    const Json c = b.json("lot A")["lot"]["certificate"];
    CHECK(c["extract_pct"] == 80.5);
    CHECK(c["moisture_pct"] == 5);
    CHECK(c["colour_ebc"] == 7);
    b.write("c.toml", "extract_pct = 82.0\nextract_basis = \"coarse-dry\"\n");
    b.done("receive \"pale ale malt\" 25kg --lot B --certificate FOLDER/c.toml");
    CHECK(b.json("lot B")["lot"]["certificate"]["extract_basis"] == "coarse-dry");
    b.write("bad.json", "{\"extract_pct\": 80.5,\n \"moister_pct\": 4.4}");
    const Said said = b.run("receive \"pale ale malt\" 25kg --lot C --certificate FOLDER/bad.json");
    CHECK(said.status == 1);
    CHECK(said.error.find("bad.json:2:") != std::string::npos);
    CHECK(said.error.find("moister_pct") != std::string::npos);
}

TEST_CASE("a scatter that is stated is that of its figure in use, or is refused") {
    const Brewery b;
    b.done("init");
    for (const char* line : {"receive \"pale ale malt\" 25kg --lot M", "receive \"bittering hop\" 500g --lot H"})
        b.done(line);
    const auto sd = [&](const std::string& lot, const char* figure) {
        return b.json("lot " + lot)["figures"][figure]["sd"].get<double>();
    };
    for (const auto& [lot, scatter, value, figure] :
         {std::tuple("M", "--extract-sd 0.7%", "--extract 81% --basis fine-dry", "extract_fine_dry_pct"),
          std::tuple("M", "--moisture-sd 0.7%", "--moisture 4.2%", "moisture_pct"),
          std::tuple("H", "--alpha-sd 0.7%", "--alpha 11%", "alpha_pct")}) {
        CAPTURE(scatter);
        const std::string retest = "lot " + std::string(lot) + " --retest ";
        CHECK(b.run(retest + scatter).status == 1);
        b.done(retest + scatter + " " + value);
        CHECK(sd(lot, figure) == near(0.7));
    }
}

TEST_CASE("an item that is new is made from its name, or as the options say, and only then") {
    const Brewery b;
    b.done("init");
    const Json made = b.json("receive \"munich malt\" 25kg")["item_made"];
    CHECK(made["kind"] == "malt");
    CHECK(made["class"] == "high-kilned");
    CHECK(!b.json("receive \"Munich Malt\" 25kg").contains("item_made")); // the same but for its capitals
    CHECK(b.json("stock")["items"].size() == 1);
    CHECK(b.json("receive \"house brand\" 1kg --kind hop")["item_made"]["kind"] == "hop");
    CHECK(b.json("receive \"roast barley\" 5kg --class roasted")["item_made"]["class"] == "roasted");
    CHECK(b.run("receive \"munich malt\" 25kg --class base").status == 1);
}

TEST_CASE("lots nobody names are numbered on, through gaps and reversals") {
    const Brewery b;
    b.done("init");
    const auto code = [&] { return b.json("receive \"pale ale malt\" 25kg")["lot"]["code"].get<std::string>(); };
    CHECK(code() == "PAM-1");
    b.done("receive \"pale ale malt\" 25kg --lot PAM-7");
    CHECK(code() == "PAM-8");
}

TEST_CASE("a dry run shows the entry, checks everything and books nothing") {
    const Brewery b;
    stocked(b);
    const std::string before = b.done("export");
    for (const char* line :
         {"receive \"rye malt\" 5kg -n", "count A 24kg --reason spilled -n", "discard A 1kg --reason wet -n",
          "reverse 4 -n", "item change \"pale ale malt\" --colour 6EBC -n", "lot A --retest --moisture 5% -n"}) {
        CAPTURE(line);
        CHECK(b.done(line).find("nothing booked; entry 5 would be: ") != std::string::npos);
    }
    CHECK(b.run("discard A 26kg --reason wet -n").status == 3);
    CHECK(b.done("export") == before);
    CHECK(b.json("history")["entries"].size() == 4);
}

TEST_CASE("a count books the difference, on its own day") {
    const Brewery b;
    stocked(b);
    b.done("discard A 5kg --reason wet --on 2026-03-10");
    // on 5 March all 25 kg were booked; 24.2 kg were found; after the later loss 19.2 kg are left
    b.done("count A 24.2kg --reason \"weighed short\" --on 2026-03-05");
    const Json lot = b.json("lot A");
    CHECK(lot["on_hand_kg"] == 19.2);
    CHECK(lot["movements"][1]["on"] == "2026-03-05");
    CHECK(lot["movements"][1]["change_kg"] == -0.8);
    CHECK(lot["movements"][1]["reason"] == "weighed short");
    // a count that leaves less than what went out later cannot have been
    CHECK(b.run("count A 4kg --reason wrong --on 2026-03-05").status == 3);
    b.done("count A 19.2kg");
    CHECK(b.json("lot A")["movements"].size() == 4); // a count as booked is kept too
}

TEST_CASE("at a terminal the reason is asked for; an empty answer refuses") {
    std::string asked;
    Brewery b;
    stocked(b);
    b.surroundings().ask = [&](const std::string& question) -> std::optional<std::string> {
        asked = question;
        return "spilled";
    };
    b.done("count A 24kg");
    CHECK(asked == "24 kg of A counted where 25 kg is booked; why? ");
    CHECK(b.json("lot A")["movements"][1]["reason"] == "spilled");
    b.surroundings().ask = [](const std::string&) { return std::optional<std::string>(); };
    CHECK(b.run("count A 23kg").status == 1);
}

TEST_CASE("more discarded than there is tells what is free elsewhere; all is all") {
    const Brewery b;
    stocked(b);
    const Said said = b.run("discard A 26kg --reason wet");
    CHECK(said.status == 3);
    CHECK(said.error == "26 kg of A is more than the 25 kg there");
    CHECK(said.hint == "free of pale ale malt: 10 kg in B");
    b.done("discard A all --reason wet");
    CHECK(b.json("lot A")["on_hand_kg"] == 0);
    CHECK(b.json("stock --lots")["lots"].size() == 2);       // A is gone from the list
    CHECK(b.json("stock --lots --all")["lots"].size() == 3); // and can still be seen
    CHECK(b.run("discard A all --reason again").status == 1);
}

TEST_CASE("a retest stands beside the certificate, and only from its day on") {
    const Brewery b;
    stocked(b);
    const double dry = b.json("lot A")["figures"]["extract_as_is_pct"]["value"];
    CHECK(dry == near(81.5 * 0.96)); // fine, dry * (1 - moisture)
    b.done("lot A --retest --moisture 6% --on 2026-03-10");
    const Json lot = b.json("lot A");
    CHECK(lot["lot"]["certificate"]["moisture_pct"] == 4);
    CHECK(lot["lot"]["retests"][0]["moisture_pct"] == 6);
    CHECK(lot["figures"]["moisture_pct"]["origin"] == "retest");
    CHECK(lot["figures"]["extract_as_is_pct"]["value"].get<double>() == near(81.5 * 0.94));
    CHECK(b.run("lot A --moisture 6%").status == 1);
    CHECK(b.run("lot A --retest").status == 1);
    CHECK(b.run("lot A --retest --moisture 6% --on 2026-02-01").status == 1);
}

TEST_CASE("an entry is taken back once; the stock is as it was, the history is longer") {
    const Brewery b;
    stocked(b);
    const Json before = b.json("stock --lots");
    b.done("discard A 5kg --reason wet");
    b.done("reverse 5 --note \"wrong sack\"");
    CHECK(b.json("stock --lots") == before);
    const Json entries = b.json("history")["entries"];
    CHECK(entries.size() == 6);
    CHECK(entries[0]["reverses"] == 5);
    CHECK(entries[0]["why"] == "wrong sack");
    CHECK(entries[1]["reversed_by"] == 6);
    CHECK(b.run("reverse 5").status == 1);
    CHECK(b.run("reverse 99").hint.find("the newest is 6") != std::string::npos);
}

TEST_CASE("the history is filtered by what it touches") {
    const Brewery b;
    stocked(b);
    const auto count = [&](const std::string& options) { return b.json("history " + options)["entries"].size(); };
    CHECK(count("--lot A") == 1);
    CHECK(count("--item \"pale ale malt\"") == 2);
    CHECK(count("--kind receive") == 3);
    CHECK(count("--last 2") == 2);
    CHECK(count("--from 2026-03-02 --to 2026-03-02") == 1);
    CHECK(count("--kind receive --from 2026-03-02") == 2);
    CHECK(b.run("history --from 2026-03-02 --to 2026-03-01").status == 1);
}

TEST_CASE("export, import into a new ledger and export again give the same bytes; importing twice changes nothing") {
    const Brewery b;
    stocked(b);
    b.done("count A 24.2kg --reason spilled");
    b.done("lot A --retest --moisture 6%");
    b.done("export FOLDER/a.json");
    CHECK(b.run("export FOLDER/a.json").status == 1); // never over a file that is there
    b.done("export FOLDER/a.json --force");
    const std::string other = " --ledger FOLDER/other.lotwort";
    b.done("init" + other);
    CHECK(b.done("import FOLDER/a.json -n" + other).find("nothing booked; entry 2 would be") != std::string::npos);
    b.done("import FOLDER/a.json" + other);
    CHECK(b.done("export" + other) == b.done("export"));
    CHECK(b.done("import FOLDER/a.json" + other).find("nothing booked") != std::string::npos);
    CHECK(b.json("history" + other)["entries"].size() == 2);
    CHECK(b.json("verify" + other)["sound"] == true);
}

TEST_CASE("a backup is a whole ledger") {
    const Brewery b;
    stocked(b);
    b.done("backup FOLDER/copy.lotwort");
    CHECK(b.done("export --ledger FOLDER/copy.lotwort") == b.done("export"));
    CHECK(b.json("verify --ledger FOLDER/copy.lotwort")["sound"] == true);
}

TEST_CASE("an export of rows of stock or of trends is what their own verbs list") {
    const Brewery b("2025-06-20");
    b.done("init");
    b.done("import \"" LOTWORT_SOURCE_DIR "/tests/golden/first-brewery.json\"");
    CHECK(b.done("export --rows stock") == b.done("stock --lots --csv"));
    CHECK(b.done("export --rows trends") == b.done("trend --csv"));
    b.done("export FOLDER/trends.csv --rows trends");
    CHECK(b.read("trends.csv") == b.done("trend --csv"));
    CHECK(b.read("trends.csv").find("\nbrewhouse,conversion,B024,2025-06-16,") != std::string::npos);
}

TEST_CASE("a verb that only looks leaves the ledger's bytes as they are") {
    const Brewery b;
    stocked(b);
    const std::string before = b.read("ledger.lotwort");
    for (const char* line : {"stock", "stock --lots --all --json", "lot A", "item list", "item show \"bittering hop\"",
                             "history", "verify", "export"})
        (void)b.done(line);
    CHECK(b.read("ledger.lotwort") == before);
}

TEST_CASE("an item changed gets a new version; what is not named stays") {
    const Brewery b;
    stocked(b);
    b.done("item change \"pale ale malt\" --colour 6EBC --max-share 100%");
    const Json item = b.json(
        "item change \"pale ale malt\" --extract 36ppg --basis fine-dry --stands-for \"bittering hop=2\"")["items"][0];
    CHECK(item["colour_ebc"] == 6);
    CHECK(item["extract_pct"] == 36);
    CHECK(item["extract_basis"] == "ppg-fine-dry");
    CHECK(item["stands_for"][0]["preference"] == 2);
    CHECK(b.run("item change \"pale ale malt\" --colour 6EBC").status == 1); // nothing would change
    CHECK(b.run("item add \"pale ale malt\"").status == 1);
    CHECK(b.run("item add \"aroma hop\" --class base").status == 1);
}
