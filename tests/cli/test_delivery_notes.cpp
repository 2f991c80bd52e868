// Delivery notes: what is booked of them, once, and how long it takes.
#include "brewery.hpp"
#include <ctime>
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace lotwort::test;

namespace {

int lots_of(const Brewery& b) {
    return static_cast<int>(b.json("stock --lots --all")["lots"].size());
}

const char* const note = "item,amount,supplier-lot\n"
                         "pale ale malt,25kg,2026-7\n"
                         "pale ale malt,25kg,2026-7\n" // two sacks of one lot
                         "Munich malt,25kg,2026-9\n";

} // namespace

TEST_CASE("a note that is read a second time books nothing, and says which lots it was") {
    Brewery b("2026-03-10");
    b.done("init");
    b.write("note.csv", note);
    b.done("receive --delivery FOLDER/note.csv --supplier Hillside");
    CHECK(lots_of(b) == 3);
    b.today("2026-03-12"); // it lay about
    const Said said = b.run("receive --delivery FOLDER/note.csv --supplier Hillside");
    CHECK(said.status == 1);
    CHECK(said.error.find("note.csv was received before\nline 2: 25 kg of pale ale malt as PAM-1 on 2026-03-10\n"
                          "line 3: 25 kg of pale ale malt as PAM-2 on 2026-03-10\n"
                          "line 4: 25 kg of Munich malt as MM-1 on 2026-03-10") != std::string::npos);
    CHECK(said.hint == "nothing was booked: if it came once more, add --again");
    CHECK(lots_of(b) == 3);
    b.done("receive --delivery FOLDER/note.csv --supplier Hillside --again");
    CHECK(lots_of(b) == 6);
}

TEST_CASE("a note that has grown since is told of the rows that are there") {
    const Brewery b;
    b.done("init");
    b.write("note.csv", note);
    b.done("receive --delivery FOLDER/note.csv --supplier Hillside");
    b.write("more.csv", std::string(note) + "pale ale malt,25kg,2026-7\nrye malt,5kg,2026-8\n");
    const Said said = b.run("receive --delivery FOLDER/more.csv --supplier Hillside");
    CHECK(said.error.find("more.csv was received before in 3 of its 5 rows\nline 2: ") != std::string::npos);
    CHECK(lots_of(b) == 3);
}

TEST_CASE("what is another delivery is booked without asking") {
    Brewery b("2026-03-10");
    b.done("init");
    b.write("note.csv", note);
    b.done("receive --delivery FOLDER/note.csv --supplier Hillside");
    b.done("receive --delivery FOLDER/note.csv --supplier \"North maltings\"");
    b.write("next.csv", "item,amount,supplier-lot\npale ale malt,25kg,2026-8\npale ale malt,20kg,2026-7\n");
    b.done("receive --delivery FOLDER/next.csv --supplier Hillside");
    CHECK(lots_of(b) == 8);
    // without the supplier's numbers the day tells
    b.write("plain.csv", "item,amount\nrye malt,25kg\n");
    b.done("receive --delivery FOLDER/plain.csv");
    CHECK(b.run("receive --delivery FOLDER/plain.csv").status == 1);
    b.today("2026-03-17");
    b.done("receive --delivery FOLDER/plain.csv");
    // what was taken back did not come
    b.write("slip.csv", "item,amount,supplier-lot\nwheat malt,25kg,2026-5\n");
    b.done("receive --delivery FOLDER/slip.csv");
    b.done("reverse " + std::to_string(b.json("history --last 1")["entries"][0]["number"].get<int>()));
    b.done("receive --delivery FOLDER/slip.csv");
    // and to say that it came again where it did not is a slip
    CHECK(b.run("receive --delivery FOLDER/next.csv --supplier Nobody --again").status == 1);
    CHECK(b.run("receive \"pale ale malt\" 25kg --again").status == 2);
}

TEST_CASE("items that a note makes are one item, however its rows write them") {
    const Brewery b;
    b.done("init");
    b.write("note.csv", "item,amount\nrye malt,25kg\nRye malt,5kg\n");
    b.done("receive --delivery FOLDER/note.csv");
    CHECK(b.json("item list")["items"].size() == 1);
    b.write("codes.csv", "item,amount,lot\nrye malt,25kg,A-1\nrye malt,25kg,a-1\n");
    CHECK(b.run("receive --delivery FOLDER/codes.csv").error.find("line 3: two lots are called a-1") !=
          std::string::npos);
}

TEST_CASE("fifty faults of a note are told, and the others counted") {
    const Brewery b;
    b.done("init");
    std::string text = "item,amount\n";
    for (int i = 0; i < 60; ++i) text += "rye malt,25\n";
    b.write("note.csv", text);
    const Said said = b.run("receive --delivery FOLDER/note.csv");
    CHECK(said.error.find("60 of its rows cannot be received\nline 2: `25` has no unit\n") != std::string::npos);
    CHECK(said.error.ends_with("line 51: `25` has no unit\nand 10 more"));
}

TEST_CASE("a note of ten times the rows takes some ten times as long, and a screen's lines to tell") {
    const auto seconds = [](int rows) {
        const Brewery b;
        b.done("init");
        std::string text = "item,amount,supplier-lot\n";
        for (int i = 0; i < rows; ++i) text += fmt::format("malt {},25kg,S{}\n", i % 40, i);
        b.write("note.csv", text);
        const std::clock_t begun = std::clock(); // of the processor: others may be at work
        const std::string told = b.done("receive --delivery FOLDER/note.csv");
        const double took = static_cast<double>(std::clock() - begun) / CLOCKS_PER_SEC;
        CHECK(told.find(fmt::format("and {} more\n", rows - 20)) != std::string::npos);
        CHECK(b.run("receive --delivery FOLDER/note.csv").error.find(fmt::format("and {} more", rows - 50)) !=
              std::string::npos);
        return took;
    };
    const double few = seconds(800), many = seconds(8'000);
    MESSAGE(few, " s and ", many, " s");
    CHECK(many < 30.0 * few); // where each row is held against each, it is a hundred times
}
