// Orders by hand: booked by telephone, altered, taken in by parts, closed.
#include "brewery.hpp"

using namespace lotwort::test;

namespace {

struct Ordering : Brewery {
    Ordering() {
        done("init");
        done("receive \"pale ale malt\" 1kg --lot A");
        done("order add Hillside --line \"pale ale malt=4x25kg@120\" --line \"crystal malt=1x5kg@9.50\" --arrives "
             "2026-03-20");
    }
    [[nodiscard]] Json order() const { return json("order show O1")["orders"][0]; }
};

} // namespace

TEST_CASE("an order by telephone is open until all of it has come, and knows what is awaited") {
    Ordering b;
    const Json order = b.json("order")["orders"][0];
    CHECK(order["order"] == "O1");
    CHECK(order["supplier"] == "Hillside");
    CHECK(order["ordered"] == "2026-03-14");
    CHECK(order["late"] == false);
    CHECK(order["lines"][0]["awaited_kg"] == 100);
    CHECK(order["lines"][0]["cost"] == 120);
    b.done("receive --order O1 \"pale ale malt\" 50kg --lot B");
    CHECK(b.order()["lines"][0]["received_kg"] == 50);
    CHECK(b.json("stock --lots")["lots"][1]["value"] == 60); // at the price agreed
    b.today("2026-03-22");
    CHECK(b.json("order")["orders"][0]["late"] == true);
    CHECK(b.done("order").find("2026-03-20 late") != std::string::npos);
    b.done("receive --order O1");
    CHECK(b.json("order")["orders"].size() == 0);
    CHECK(b.done("order").starts_with("nothing is on order"));
    CHECK(b.json("order --all")["orders"][0]["open"] == false);
    b.done("discard B 10kg --reason \"wrong lot\" --to-supplier"); // it goes back, and is awaited again
    CHECK(b.json("order")["orders"][0]["lines"][0]["awaited_kg"] == 10);
}

TEST_CASE("a line is dropped or altered while nothing of it has come") {
    Ordering b;
    b.done("order change O1 --drop \"crystal malt\" --line \"pale ale malt=2x25kg@62\" --arrives 2026-03-19");
    CHECK(b.order()["lines"].size() == 1);
    CHECK(b.order()["lines"][0]["ordered_kg"] == 50);
    CHECK(b.order()["arrives"] == "2026-03-19");
    b.done("receive --order O1 \"pale ale malt\" 25kg");
    CHECK(b.run("order change O1 --line \"pale ale malt=1x25kg@31\"").error ==
          "25 kg of pale ale malt have come of O1 already");
    b.done("order close o1 --reason \"sold out\"");
    CHECK(b.order()["closed"] == "sold out");
    CHECK(b.order()["lines"][0]["awaited_kg"] == 0);
    CHECK(b.run("order close O1 --reason again").error == "order O1 is closed: sold out");
    b.check_round_trip();
}

TEST_CASE("what is on its way by hand is no shortage of a plan") {
    Ordering b;
    b.done("brewhouse add garage 25L");
    b.done("recipe add pale 20L --malt \"pale ale malt=5kg\"");
    b.done("plan pale --on 2026-03-20");
    CHECK(b.json("plan")["shortages"].size() == 0);
    // who puts an order off is told at once which brew waits for it, and is not where none does
    const std::string lacks = "P1 on 2026-03-20 lacks 4 kg of pale ale malt then\n";
    CHECK(b.done("order change O1 --arrives 2026-03-24 --dry-run").find(lacks) != std::string::npos);
    CHECK(b.done("order change O1 --arrives 2026-03-24").find(lacks) != std::string::npos);
    CHECK(b.done("order change O1 --arrives 2026-03-25").find("lacks") == std::string::npos); // it did already
    b.done("order change O1 --arrives 2026-03-19");
    CHECK(b.done("order close O1 --reason \"sold out\"").find(lacks) != std::string::npos);
    CHECK(b.json("plan")["shortages"][0]["missing_kg"] == 4);
}

TEST_CASE("the page to the supplier says what, in which packs, for which day, and no price unless it is wished") {
    Ordering b;
    CHECK(b.done("order O1 --list") == "Order O1 to Hillside, of 2026-03-14\n"
                                       "please deliver on 2026-03-20\n\n"
                                       "  PACKS   PACK  ITEM           AMOUNT\n"
                                       "      4  25 kg  pale ale malt  100 kg\n"
                                       "      1   5 kg  crystal malt     5 kg\n");
    b.done("order change O1 --freight 18 --discount 3.50");
    const std::string priced = b.done("order O1 --list --prices");
    CHECK(priced.find("30.00  120.00\n") != std::string::npos);
    CHECK(priced.find("  delivery 18.00\n  less 3.50 of discount\n  together 144.00 EUR\n") != std::string::npos);
    const std::string page = b.done("report order O1"), page_priced = b.done("report order O1 --prices");
    CHECK(page.find("please deliver on ") != std::string::npos);
    CHECK(page.find("120.00") == std::string::npos);
    CHECK(page_priced.find("120.00") != std::string::npos);
    CHECK(b.run("order O1 --prices").status == 2);
    CHECK(b.run("report stock --prices").status != 0);
    CHECK(b.run("report order O9").hint == "did you mean `O1`?");
}

TEST_CASE("of an order that has come in part the page asks for the rest, and for nothing that came") {
    Ordering b;
    b.done("receive --order O1 \"pale ale malt\" 60kg");
    b.done("receive --order O1 \"crystal malt\" 5kg");
    const std::string list = b.done("order --list --prices");
    CHECK(list.find("still to come:\n") != std::string::npos);
    CHECK(list.find("rest  25 kg  pale ale malt   40 kg\n") != std::string::npos);
    CHECK(list.find("crystal") == std::string::npos);
    CHECK(list.find("120.00") == std::string::npos); // what was agreed was for all of it
    b.done("receive --order O1");
    CHECK(b.done("order O1 --list") == "Order O1 to Hillside, of 2026-03-14\nall of it has come\n");
    CHECK(b.done("order --list").starts_with("nothing is on order"));
}
