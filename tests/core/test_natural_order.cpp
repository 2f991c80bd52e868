#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/core/natural_order.hpp>
#include <string>
#include <utility>
#include <vector>

using lotwort::NaturalOrder;

TEST_CASE("names are ordered as people do: L2 before L10") {
    const std::vector<std::string> ordered{"",
                                           "10",
                                           "B2",
                                           "B10",
                                           "L1",
                                           "L01",
                                           "L002",
                                           "L2-10",
                                           "L2-9000",
                                           "L10",
                                           "L10a",
                                           "L11",
                                           "l1",
                                           "x99999999999999999999998",
                                           "x99999999999999999999999"};
    auto expected = ordered;
    // of names that are one number the one with fewer zeros is greater by its bytes: L01 before L1
    std::swap(expected[4], expected[5]);
    for (std::size_t shift = 1; shift < expected.size(); ++shift) {
        auto names = expected;
        std::ranges::rotate(names, names.begin() + static_cast<std::ptrdiff_t>(shift));
        std::ranges::sort(names, {}, [](const std::string& name) { return NaturalOrder{name}; });
        CHECK(names == expected);
    }
    CHECK(NaturalOrder{"L1"} == NaturalOrder{"L1"});
    CHECK(NaturalOrder{"L1"} != NaturalOrder{"L01"});
}
