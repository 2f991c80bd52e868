// Ids that stand twice are found among very many without a table of them.
#include <doctest/doctest.h>
#include <lotwort/brew/movement_list.hpp>
#include <map>
#include <random>

using namespace lotwort;

namespace {

std::vector<Movement> movements_of(const std::vector<std::string>& ids) {
    std::vector<Movement> movements;
    for (const std::string& id : ids) {
        movements.emplace_back();
        if (id != "none") movements.back().id = id;
    }
    return movements;
}

std::string doubles_in(const std::vector<std::string>& ids) {
    const auto movements = movements_of(ids);
    std::string told;
    for_each_double_id(HeldMovements(movements), [&](const DoubleId& found) {
        told += std::string(found.id) + " " + std::to_string(found.index) + " " + std::to_string(found.first) + "; ";
        CHECK(found.place == found.index);
    });
    return told;
}

} // namespace

TEST_CASE("ids that stand twice are told with where they stood first") {
    CHECK(doubles_in({}) == "");
    CHECK(doubles_in({"m1", "m2", "m9", "m10", "m11"}) == "");
    CHECK(doubles_in({"m10", "m9", "none", "none"}) == "");
    CHECK(doubles_in({"m1", "m2", "m2"}) == "m2 2 1; ");
    CHECK(doubles_in({"m1", "b", "none", "m1", "b", "m1"}) == "m1 3 0; b 4 1; m1 5 0; ");
}

TEST_CASE("the same is found as by a table of all ids") {
    std::mt19937 random(20'260'310);
    for (int round = 0; round < 200; ++round) {
        std::vector<std::string> ids;
        for (int i = 0; i < 60; ++i) ids.push_back("x" + std::to_string(random() % 400));
        std::map<std::string, std::size_t> first;
        std::string expected;
        for (std::size_t i = 0; i < ids.size(); ++i)
            if (const auto [known, is_new] = first.emplace(ids[i], i); !is_new)
                expected += ids[i] + " " + std::to_string(i) + " " + std::to_string(known->second) + "; ";
        CHECK(doubles_in(ids) == expected);
    }
}
