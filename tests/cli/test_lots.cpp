// What happens to lots besides being weighed: shared out, put together, opened, returned, harvested, traced, held.
#include "brewery.hpp"
#include <cmath>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void stocked(Brewery& b) {
    b.today("2026-03-01");
    b.done("init");
    b.done("receive \"pale ale malt\" 25kg --lot PAM-1 --supplier Hillside --supplier-lot 77 --price 30 --extract 80% "
           "--basis fine-dry --moisture 4% --colour 6EBC --best-before 2027-01-01");
    b.done("receive \"pale ale malt\" 15kg --lot PAM-2 --supplier Hillside --supplier-lot 77 --price 21 --extract 84% "
           "--basis fine-dry --moisture 5% --colour 8EBC --best-before 2026-12-01");
    b.done(
        "receive \"bittering hop\" 500g --lot BH-1 --alpha 10% --analysed 2026-01-01 --storage 4C --packaging vacuum");
    b.done("receive \"ale yeast\" 1L --lot Y-1");
    b.done("brewhouse add garage 25L");
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\n[[grist]]\nitem = \"pale ale malt\"\nmass_kg = 4\n");
    b.done("recipe add FOLDER/pale.toml");
    b.today("2026-03-14");
}

void brewed(Brewery& b) {
    stocked(b);
    b.done("brew --recipe pale --add PAM-1=4kg --add BH-1=20g@boil,60 --add Y-1=0.25L@fermenter");
}

double on_hand(const Brewery& b, const std::string& lot) {
    return b.json("lot " + lot)["on_hand_kg"];
}

} // namespace

TEST_CASE("a lot is traced to the brews it went into, and a brew to its lots, to the last gram") {
    Brewery b;
    brewed(b);
    b.done("discard PAM-1 500g --reason wet");
    b.done("reverse 9");
    const Json forward = b.json("trace PAM-1")["lots"][0];
    CHECK(forward["supplier_lot"] == "77");
    CHECK(forward["received_kg"] == 25);
    CHECK(forward["into_brews_kg"] == 4);
    CHECK(forward["otherwise_kg"] == 0); // taken back, so it never went
    CHECK(forward["on_hand_kg"] == 21);
    REQUIRE(forward["steps"].size() == 1);
    CHECK(forward["steps"][0]["brew"] == "B1");
    CHECK(forward["steps"][0]["change_kg"] == -4);
    const Json back = b.json("trace B1")["brew"];
    REQUIRE(back["parts"].size() == 3);
    CHECK(back["cost"] == 4.8); // 4 kg of 25 kg that cost 30
    CHECK(back["without_price"].size() == 2);
    CHECK(back["parts"][0]["supplier"] == "Hillside");
    CHECK(b.json("trace 77")["lots"].size() == 2); // one lot of the supplier's came as two
    CHECK(b.done("trace PAM-1 --csv").find("PAM-1,pale ale malt,Hillside,77,2026-03-14,brew,B1,pale,mash,kg,-4,") !=
          std::string::npos);
}

TEST_CASE("a lot on hold goes into no brew until it is released") {
    Brewery b;
    stocked(b);
    b.done("trace 77 --hold recalled"); // both lots at once
    CHECK(b.json("lot PAM-2")["lot"]["held"] == "recalled");
    CHECK(b.run("brew --recipe pale --add PAM-1=4kg").status == 1);
    b.done("trace PAM-1 --release");
    b.done("brew --recipe pale --add PAM-1=4kg");
    CHECK(b.json("lot PAM-2")["lot"]["held"] == "recalled");
    b.check_round_trip();
}

TEST_CASE("a lot shared out keeps what is known of it, and its cost goes with it") {
    Brewery b;
    stocked(b);
    b.done("lot PAM-1 --split 5kg --split 2.5kg");
    CHECK(on_hand(b, "PAM-1") == 17.5);
    const Json part = b.json("lot PAM-3")["lot"];
    CHECK(part["mass_kg"] == 5);
    CHECK(part["price"] == 6); // 30 * 5 / 25
    CHECK(part["supplier_lot"] == "77");
    CHECK(part["certificate"]["extract_pct"] == 80);
    CHECK(part["made_from"][0]["lot"] == "PAM-1");
    CHECK(b.run("lot PAM-1 --split 18kg").status == 3);
    CHECK(b.run("reverse 2").status == 1); // what came of it stands on it
    b.check_round_trip();
    b.done("reverse 8");
    CHECK(on_hand(b, "PAM-1") == 25);
    b.done("export FOLDER/back.json");
    b.done("init --ledger FOLDER/back.lotwort");
    b.done("import FOLDER/back.json --ledger FOLDER/back.lotwort");
    CHECK(b.done("export --ledger FOLDER/back.lotwort") == b.done("export"));
}

TEST_CASE("lots put together have the means of their certificates by mass, and the earliest best before") {
    Brewery b;
    stocked(b);
    b.done("lot PAM-1 --merge PAM-2 --as BIN");
    const Json bin = b.json("lot BIN")["lot"];
    CHECK(bin["mass_kg"] == 40);
    CHECK(bin["price"] == 51);
    CHECK(bin["best_before"] == "2026-12-01");
    CHECK(std::abs(bin["certificate"]["extract_pct"].get<double>() - 81.5) < 1e-9);   // (25*80 + 15*84)/40
    CHECK(std::abs(bin["certificate"]["moisture_pct"].get<double>() - 4.375) < 1e-9); // (25*4 + 15*5)/40
    CHECK(std::abs(bin["certificate"]["colour_ebc"].get<double>() - 6.75) < 1e-9);    // (25*6 + 15*8)/40
    CHECK(on_hand(b, "PAM-1") == 0);
    CHECK(b.run("lot BIN --merge BH-1").status == 1);
    b.done("receive \"pale ale malt\" 25kg --lot GIFT");
    b.done("receive \"pale ale malt\" 25kg --lot PAID --price 30");
    CHECK(b.json("lot GIFT --merge PAID --as BOTH -n")["says"][0] ==
          "BOTH has no price, for GIFT has none: 30.00 EUR are left out of what the stock is worth");
    CHECK(b.run("lot BIN --merge BIN").status == 1);
    b.check_round_trip();
}

TEST_CASE("a hop ages faster once its pack is open") {
    Brewery b;
    stocked(b);
    const auto alpha = [&] { return b.json("lot BH-1")["figures"]["alpha_pct"]["value"].get<double>(); };
    b.done("lot BH-1 --open");
    b.today("2026-09-14");
    const double open = alpha();
    b.done("reverse 8");
    const double closed = alpha();
    CHECK(open < closed);
    b.today("2026-03-14");
    b.done("lot BH-1 --open");
    CHECK(std::abs(alpha() - alpha()) < 1e-12);
    CHECK(b.run("lot BH-1 --open").status == 1);
    b.check_round_trip();
}

TEST_CASE("yeast goes from brew to brew, a generation older each time") {
    Brewery b;
    brewed(b);
    b.done("receive \"ale yeast\" 2L --lot Y-2 --from-brew B1");
    b.done("brew --recipe pale --add PAM-1=4kg --add Y-2=0.5L@fermenter");
    b.done("receive \"ale yeast\" 2L --lot Y-3 --from-brew B2");
    CHECK(b.json("lot Y-2")["lot"]["generation"] == 1);
    CHECK(b.json("lot Y-3")["lot"]["generation"] == 2);
    CHECK(b.json("trace B1")["brew"]["harvested"][0] == "Y-2");
    CHECK(b.json("trace Y-2")["lots"][0]["harvested_from"] == "B1");
    CHECK(b.run("receive \"pale ale malt\" 2kg --from-brew B1").status == 1);
    CHECK(b.run("reverse 8").status == 1); // the brew that Y-2 came from
    b.check_round_trip();
}

TEST_CASE("a brew given up returns what was not used, and no more") {
    Brewery b;
    brewed(b);
    CHECK(b.run("brew B1 --abandon burst --used PAM-1=5kg").status == 1);
    b.done("brew B1 --abandon \"the pump burst\" --used PAM-1=4kg --used Y-1=0.1L");
    CHECK(on_hand(b, "PAM-1") == 21);
    CHECK(on_hand(b, "BH-1") == 0.5);
    CHECK(b.json("lot Y-1")["on_hand_l"] == 0.9);
    const Json brew = b.json("brew B1")["brew"];
    CHECK(brew["abandoned"] == "the pump burst");
    CHECK(brew["unused"].size() == 2);
    CHECK(b.json("trace B1")["brew"]["unused"].size() == 2); // what a recall need not look for in that brew
    CHECK(b.done("trace B1").find("g of BH-1 went back into stock") != std::string::npos);
    CHECK(b.run("reconcile B1").status == 1);
    CHECK(b.run("brew B1 --abandon again").status == 1);
    CHECK(b.run("brew B1 --add PAM-1=1kg").status == 1);
    b.check_round_trip();
    b.done("reverse 9"); // it went on after all
    CHECK(on_hand(b, "BH-1") == 0.48);
    CHECK(b.json("brew B1")["brew"].contains("abandoned") == false);
}

TEST_CASE("goods sent back to the supplier are no loss") {
    Brewery b;
    stocked(b);
    b.done("discard PAM-1 10kg --to-supplier --reason \"wet sacks\"");
    CHECK(b.json("history --kind return")["entries"].size() == 1);
    CHECK(b.json("lot PAM-1")["movements"][1]["kind"] == "return");
    CHECK(b.run("discard BH-1 10g --to-supplier --reason old").status == 1); // nobody supplied it
    b.check_round_trip();
}

TEST_CASE("a plan is moved and called off, each in an entry that can be taken back") {
    Brewery b;
    stocked(b);
    b.done("plan pale --on 2026-03-20");
    b.done("plan P1 --move 2026-03-25");
    CHECK(b.json("plan")["plans"][0]["date"] == "2026-03-25");
    CHECK(b.json("lot PAM-2")["promised_kg"] == 4); // the one that expires first, once
    b.done("plan P1 --cancel \"no time\"");
    CHECK(b.json("lot PAM-2")["promised_kg"] == 0);
    CHECK(b.json("plan")["plans"].empty());
    CHECK(b.run("brew P1").status == 1);
    CHECK(b.done("plan pale --on 2026-03-21 --dry-run").find("planned P2") != std::string::npos);
    b.check_round_trip();
    b.done("reverse 10");
    CHECK(b.json("lot PAM-2")["promised_kg"] == 4);
    b.done("reverse 9");
    CHECK(b.json("plan")["plans"][0]["date"] == "2026-03-20");
    CHECK(b.run("plan P1 --move 2026-03-01").status == 1); // has passed
    CHECK(b.run("plan P7 --cancel x").status == 1);
}

TEST_CASE("moisture that malt draws from the air is a reason with its arithmetic") {
    Brewery b;
    stocked(b);
    // 25 kg at 4 % hold 24 kg of dry matter, which at 5 % weigh 24 / 0.95 = 25.263 kg
    b.done("count PAM-1 25.26kg --moisture 5%");
    const Json lot = b.json("lot PAM-1");
    CHECK(lot["on_hand_kg"] == 25.26);
    CHECK(lot["movements"][1]["reason"].get<std::string>().starts_with("moisture 4 % to 5 % in store, 263"));
    CHECK(lot["lot"]["retests"][0]["moisture_pct"] == 5);
    CHECK(b.run("count PAM-2 14kg --moisture 5.5%").status == 1); // what moisture does not explain needs a reason
    CHECK(b.run("count BH-1 400g --moisture 9%").status == 1);
}

TEST_CASE("a count says what it is worth, and is believed within reason") {
    Brewery b;
    stocked(b);
    CHECK(b.json("count PAM-1 24kg --reason spilled")["worth"] == 1.2); // 30 / 25
    CHECK(b.run("count PAM-1 3000kg --reason found").status == 1);
    b.done("count PAM-2 14.95kg --tolerance 0.5%");
    CHECK(b.run("count PAM-2 14kg --tolerance 0.5%").status == 1);
    CHECK(b.done("count --sheet").find("PAM-2") != std::string::npos);
}

TEST_CASE("a delivery note makes a lot of each row, or of none") {
    Brewery b;
    stocked(b);
    b.write("note.csv", "Artikel;Menge;Charge;Preis;MHD\r\n\"pale ale malt\";25,5 kg;78;31,50;2027-02-01\r\n"
                        "\"Munich malt\";5kg;\"9;1\";;\r\n");
    const std::string map = " --columns item=Artikel,amount=Menge,supplier-lot=Charge,price=Preis,best-before=MHD";
    b.done("receive --delivery FOLDER/note.csv" + map + " --supplier Hillside");
    const Json lot = b.json("lot PAM-3")["lot"];
    CHECK(lot["mass_kg"] == 25.5);
    CHECK(lot["price"] == 31.5);
    CHECK(b.json("lot MM-1")["lot"]["supplier_lot"] == "9;1");
    CHECK(b.json("history --last 1")["entries"][0]["number"] == 8); // one entry
    b.write("bad.csv", "item,amount\npale ale malt,25\nMunich malt,5kg\nMunich malt,-3kg\n");
    const Said said = b.run("receive --delivery FOLDER/bad.csv");
    CHECK(said.status == 1);
    CHECK(said.error.find("2 of its rows cannot be received\nline 2: ") != std::string::npos);
    CHECK(said.error.find("\nline 4: ") != std::string::npos);
    CHECK(b.json("history --last 1")["entries"][0]["number"] == 8);
    CHECK(b.run("receive --delivery FOLDER/note.csv").status == 1); // which column is the item?
}

TEST_CASE("one supplier's lot in several packs is a lot for each") {
    Brewery b;
    stocked(b);
    b.done("receive \"pale ale malt\" 25kg --packs 3 --supplier Hillside --supplier-lot 79 --price 100");
    CHECK(b.json("trace 79")["lots"].size() == 3);
    CHECK(b.json("lot PAM-3")["lot"]["price"] == 33.33);
    CHECK(b.json("lot PAM-5")["lot"]["price"] == 33.34); // the three come to 100.00
}

TEST_CASE(
    "a delivery note's figures are per cent where its headings say what they are, and an extract where it can be") {
    const Brewery b;
    b.done("init");
    b.write("note.csv", "item;amount;extract;moisture;protein\npale ale malt;25kg;81,2;4,3;10,5\n");
    b.done("receive --delivery FOLDER/note.csv --basis fine-dry");
    const Json c = b.json("lot PAM-1")["lot"]["certificate"];
    CHECK(c["extract_pct"] == 81.2);
    CHECK(c["moisture_pct"] == 4.3);
    CHECK(c["protein_pct"] == 10.5);
    b.write("points.csv", "item,amount,extract\npale ale malt,25kg,36\n"); // ppg? litre-degrees it is not
    const Said said = b.run("receive --delivery FOLDER/points.csv --basis fine-dry");
    CHECK(said.status == 1);
    CHECK(said.error.find("`36` has no unit") != std::string::npos);
}

TEST_CASE("lots are listed as people order them: L2 before L10") {
    const Brewery b;
    b.begin({"\"pale ale malt\" 5kg --lot L10", "\"pale ale malt\" 5kg --lot L2"});
    const std::string lots = b.done("stock --lots");
    CHECK(lots.find("L2 ") < lots.find("L10"));
}
