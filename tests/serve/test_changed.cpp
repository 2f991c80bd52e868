// A form that was filled on an old state: what it is about has changed since, and nothing is booked before it is said.
#include "served.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

namespace {

const std::vector<std::string> small_brewery{
    "init",
    "receive 'pale ale malt' 50kg --lot PAM-1",
    "receive 'bittering hop' 500g --lot BH-1 --alpha 10%",
    "brewhouse add shed 23L",
    "recipe add pale 23L --gravity 1.048 --malt 'pale ale malt=100%' --hop 'bittering hop=30g@boil,60'",
    "plan pale --on 2026-03-14",
};

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::string newest(Served& served) {
    const std::string text = served.run("history --csv");
    const auto line = text.find('\n') + 1;
    return text.substr(line, text.find(',', line) - line);
}

// Of the answer above the page.
std::map<std::string, std::string> all_the_same(const Got& got) {
    return hidden_fields(got.body, "all-the-same");
}

} // namespace

TEST_CASE("a lot that was used since is told with who did it, and booked all the same by a button, once") {
    Served served(small_brewery);
    auto form = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    form["AMOUNT"] = "1kg";
    form["reason"] = "spilled";
    (void)served.run("discard PAM-1 2kg --reason wet --by Ben");
    const Got refused = served.post("/do/discard", encoded(form));
    CHECK(refused.status == 409);
    CHECK(holds(refused.body, "Not booked: it has changed since this page was drawn"));
    CHECK(holds(refused.body, "entry 7 by Ben: discarded 2 kg of "));
    CHECK(holds(refused.body, "Book it all the same"));
    CHECK(newest(served) == "7");
    auto again = all_the_same(refused);
    CHECK(again["form"] == form["form"]);
    CHECK(again["AMOUNT"] == "1kg");
    const Got booked = served.post("/do/discard", encoded(again));
    CHECK(booked.status == 200);
    CHECK(holds(booked.body, "booked as entry 8"));
    CHECK(holds(served.post("/do/discard", encoded(again)).body, "has booked entry 8"));
    CHECK(holds(served.post("/do/discard", encoded(form)).body, "has booked entry 8"));
    CHECK(newest(served) == "8");
}

TEST_CASE("the form below it shows what there is now, and books too; what changes again is told again") {
    Served served(small_brewery);
    auto form = hidden_fields(served.get("/lots/PAM-1").body, "count");
    form["AMOUNT"] = "47kg";
    form["reason"] = "weighed";
    (void)served.run("discard PAM-1 2kg --reason wet");
    const Got refused = served.post("/do/count", encoded(form));
    CHECK(refused.status == 409);
    CHECK(holds(refused.body, "48 kg"));
    auto below = hidden_fields(refused.body, "count");
    below["AMOUNT"] = "47kg";
    below["reason"] = "weighed";
    (void)served.run("discard PAM-1 500g --reason wet");
    const Got again = served.post("/do/count", encoded(below));
    CHECK(again.status == 409);
    CHECK(holds(again.body, "discarded 500 g"));
    CHECK(!holds(again.body.substr(0, again.body.find("id=\"all-the-same\"")), "discarded 2 kg"));
    CHECK(served.post("/do/count", encoded(all_the_same(again))).status == 200);
}

TEST_CASE("entries that do not touch what changed are simply booked") {
    Served served(small_brewery);
    auto hop = hidden_fields(served.get("/lots/BH-1").body, "discard");
    auto malt = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    auto delivery = hidden_fields(served.get("/receive").body, "delivery");
    (void)served.run("discard PAM-1 2kg --reason wet");
    hop["AMOUNT"] = "10g";
    hop["reason"] = "spilled";
    CHECK(served.post("/do/discard", encoded(hop)).status == 200);
    delivery[".row2.item"] = "pale ale malt";
    delivery[".row2.amount"] = "25kg";
    CHECK(served.post("/do/receive", encoded(delivery)).status == 200);
    (void)served.run("reverse 7"); // and what was taken back again has changed nothing
    malt["AMOUNT"] = "1kg";
    malt["reason"] = "spilled";
    CHECK(served.post("/do/discard", encoded(malt)).status == 200);
}

TEST_CASE("a plan that was brewed, or whose lots were used, is not brewed unasked") {
    Served served(small_brewery);
    auto weigh = hidden_fields(served.get("/brew-day/P1").body, "weigh");
    auto off = hidden_fields(served.get("/plans/P1").body, "off");
    (void)served.run("discard PAM-1 2kg --reason wet --by Ben");
    const Got got = served.post("/do/brew", encoded(weigh));
    CHECK(got.status == 409);
    CHECK(holds(got.body, "by Ben: discarded 2 kg of "));
    CHECK(served.post("/do/brew", encoded(all_the_same(got))).status == 200);
    off["cancel"] = "no time";
    const Got late = served.post("/do/plan", encoded(off));
    CHECK((late.status == 409 || late.status == 422));
    CHECK(holds(late.body, "brewed "));
    CHECK(newest(served) == "8");
}

TEST_CASE("two read the same point of a brew: the second is told; another point is simply booked") {
    Served served(small_brewery);
    (void)served.run("brew P1");
    const std::string page = served.get("/brew-day/B1").body;
    const auto reading = [&](const std::string& point, const std::string& litres) {
        auto fields = hidden_fields(page, "read-" + point);
        fields.erase("~READING");
        fields["READING"] = point + "\n" + litres;
        return fields;
    };
    auto one = reading("kettle-full", "28L"), two = one, other = reading("cast-out", "25L");
    CHECK(served.post("/do/measure", encoded(one)).status == 200);
    two["form"] = "0123456789abcdef-other";
    const Got got = served.post("/do/measure", encoded(two));
    CHECK(got.status == 409);
    CHECK(newest(served) == "8");
    CHECK(served.post("/do/measure", encoded(other)).status == 200);
    CHECK(served.post("/do/measure", encoded(all_the_same(got))).status == 200);
    CHECK(newest(served) == "10");
}

TEST_CASE("to try is told too, and a number that no page had is no older state") {
    Served served(small_brewery);
    auto form = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    form["AMOUNT"] = "1kg";
    form["reason"] = "spilled";
    (void)served.run("discard PAM-1 2kg --reason wet");
    form["dry-run!"] = "";
    const Got tried = served.post("/do/discard", encoded(form));
    CHECK(tried.status == 409);
    CHECK(holds(tried.body, "Try it all the same"));
    form.erase("dry-run!");
    form["seen"] = "999999";
    CHECK(served.post("/do/discard", encoded(form)).status == 200);
}

TEST_CASE("what somebody else booked is told beside a refusal of its own") {
    Served served(small_brewery);
    auto form = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    form["AMOUNT"] = "40kg";
    form["reason"] = "wet";
    (void)served.run("discard PAM-1 45kg --reason wet --by Ben");
    const Got got = served.post("/do/discard", encoded(form));
    CHECK((got.status == 409 || got.status == 422));
    CHECK(holds(got.body, "discarded 45 kg of "));
}
