#include <doctest/doctest.h>
#include <lotwort/core/nearest.hpp>

using namespace lotwort;

TEST_CASE("the distance of two names counts letters put in, left out, changed and swapped") {
    CHECK(edit_distance("", "") == 0);
    CHECK(edit_distance("", "malt") == 4);
    CHECK(edit_distance("malt", "malt") == 0);
    CHECK(edit_distance("Malt", "mALT") == 0);
    CHECK(edit_distance("malt", "mlat") == 1);      // a swap of neighbours
    CHECK(edit_distance("kitten", "sitting") == 3); // Levenshtein's example
    CHECK(edit_distance("ca", "abc") == 3);         // optimal string alignment; 2 were a letter moved twice
    CHECK(edit_distance("abc", "ca") == 3);
}

TEST_CASE("capitals are letters A to Z, and nothing else is touched") {
    CHECK(lowered("Pale ALE 2-Row") == "pale ale 2-row");
    CHECK(lowered("K\u00d6LSCH") == "k\u00d6lsch");
}

TEST_CASE("a mistyped name is offered its nearest, best first and few of them") {
    const std::vector<std::string> items{"wheat malt", "pale malt", "pale ale malt", "bittering hop", "amber malt"};
    CHECK(nearest("pale mlat", items) == std::vector<std::string>{"pale malt"});
    CHECK(nearest("pale", items) == std::vector<std::string>{"pale malt", "pale ale malt"});
    CHECK(nearest("Whaet Malt", items).front() == "wheat malt");
    CHECK(nearest("oats", items).empty());
    CHECK(nearest("malt", items, 2).size() == 2);
    CHECK(did_you_mean("pale", items) == "did you mean `pale malt` or `pale ale malt`?");
    CHECK(did_you_mean("zinc", items).empty());
}

TEST_CASE("names of one distance come in the order of the alphabet") {
    CHECK(nearest("lot-2", {"lot-9", "lot-1", "lot-5"}) == std::vector<std::string>{"lot-1", "lot-5", "lot-9"});
}

TEST_CASE("a name of two letters is offered too, where one of them is wrong") {
    CHECK(nearest("B7", {"B8", "X9"}) == std::vector<std::string>{"B8"});
}
