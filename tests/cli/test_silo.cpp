// A silo: filled over what is left in it, traced both ways, weighed, and seen empty.
#include "brewery.hpp"
#include <cmath>
#include <fmt/format.h>

using namespace lotwort::test;

namespace {

struct Silo : Brewery {
    Silo() {
        done("init");
        done("item add \"pale ale malt\" --kind malt");
        fill(600, "A", 80.0, 1.0, 390);
    }
    void fill(int kg, const char* lot, double extract, double sd, int price) const {
        done(
            fmt::format("receive \"pale ale malt\" {}kg --lot {} --silo S1 --extract {}% --basis fine-dry --extract-sd "
                        "{}% --moisture 4% --price {}",
                        kg, lot, extract, sd, price));
    }
    // The lot that lies in it.
    [[nodiscard]] Json in_it() const { return json("lot S1"); }
};

} // namespace

TEST_CASE("filled over a rest it holds one lot made of both, by mass, in money and better known than either") {
    const Silo b;
    b.done("count S1 400kg --reason weighed"); // a silo's name means what lies in it
    b.fill(600, "B", 82.0, 1.0, 420);
    const Json lot = b.in_it()["lot"];
    CHECK(b.in_it()["on_hand_kg"] == 1000);
    CHECK(lot["made_from"].size() == 2);
    CHECK(lot["price"] == 680); // 400/600 of 390, and 420
    const Json papers = lot["certificate"];
    CHECK(std::abs(papers["extract_pct"].get<double>() - 81.2) < 1e-9);
    // by shares of 0.4 and 0.6: four tenths of a point are the malt's own and stay
    const double own = 1.0 - 0.16;
    CHECK(std::abs(papers["extract_sd_pct"].get<double>() - std::sqrt(0.16 + own * (0.16 + 0.36))) < 1e-9);
    CHECK(b.json("lot A")["on_hand_kg"] == 0);
    CHECK(b.json("stock")["items"][0]["on_hand_kg"] == 1000);
    b.check_round_trip();
}

TEST_CASE("shared out and filled in again it is known no better than it was") {
    const Silo b;
    b.done("lot A --split 200kg --as BAG");
    b.done("lot A --merge BAG --as BACK");
    CHECK(std::abs(b.json("lot BACK")["lot"]["certificate"]["extract_sd_pct"].get<double>() - 1.0) < 1e-9);
}

TEST_CASE("what a brew took of a silo is traced to each delivery in it, and each of them to the brew") {
    const Silo b;
    b.fill(300, "B", 82.0, 1.0, 210);
    const std::string code = b.in_it()["lot"]["code"];
    b.done("brewhouse add house 10hL");
    b.done("recipe add pale 10hL --malt \"pale ale malt=180kg\"");
    b.done("brew --recipe pale");
    for (const char* delivery : {"A", "B"})
        CHECK(b.done("trace " + std::string(delivery)).find("B1") != std::string::npos);
    const std::string back = b.done("trace B1");
    CHECK(back.find(code) != std::string::npos);
    for (const char* delivery : {"A", "B"}) CHECK(back.find(delivery) != std::string::npos);
}

TEST_CASE("seen empty, the next delivery lies in it by itself; another malt over a rest is refused") {
    const Silo b;
    const Said other = b.run("receive \"wheat malt\" 500kg --silo S1");
    CHECK(other.status == 1);
    CHECK(other.hint.find("count A 0kg") != std::string::npos);
    b.done("count S1 0kg --reason \"seen empty\"");
    b.done("receive \"wheat malt\" 500kg --lot W --silo S1");
    CHECK(b.in_it()["lot"]["code"] == "W");
    CHECK(b.in_it()["lot"]["made_from"].is_null());
}

TEST_CASE("what is taken back out of the books leaves the silo as it was") {
    const Silo b;
    b.fill(300, "B", 82.0, 1.0, 210);
    b.done("reverse " + std::to_string(b.json("history --last 1")["entries"][0]["number"].get<int>()));
    CHECK(b.in_it()["lot"]["code"] == "A");
    CHECK(b.in_it()["on_hand_kg"] == 600);
}
