// What a recall finds: by hand, and on random breweries against a closure worked out step by step.
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/brew/follow.hpp>
#include <map>
#include <random>
#include <set>

using namespace lotwort;

namespace {

using Links = std::map<std::string, std::vector<std::string>>;

Steps steps(const Links& lots_of_lot, const Links& brews_of_lot, const Links& lots_of_brew, const Links& brews_beside) {
    const auto codes = [](const Links& links) {
        return [links](const std::string& code) {
            const auto found = links.find(code);
            return found != links.end() ? found->second : std::vector<std::string>();
        };
    };
    return {codes(lots_of_lot), codes(brews_of_lot), codes(lots_of_brew), codes(brews_beside)};
}

std::vector<std::string> codes(const std::vector<Followed>& found) {
    std::vector<std::string> all;
    for (const Followed& one : found) all.push_back(one.code);
    return all;
}

} // namespace

TEST_CASE("a sack is followed through a blend, a brew, its yeast and the brew that pitched it") {
    const auto found =
        follow({"A"}, steps({{"A", {"BLEND"}}, {"C", {"BLEND"}}}, {{"A", {"B1"}}, {"BLEND", {"B2"}}, {"Y", {"B3"}}},
                            {{"B2", {"Y"}}}, {{"B3", {"B3", "B4"}}, {"B4", {"B3", "B4"}}}));
    CHECK(codes(found) == std::vector<std::string>{"BLEND", "B1", "B2", "Y", "B3", "B4"});
    CHECK(found[2].by == "BLEND");
    CHECK(found[5].by == "B3");
    CHECK(found[5].came_by_brew);
}

TEST_CASE("what was made of the lot's own makings, in a circle, is named once") {
    const Links circle{{"A", {"B"}}, {"B", {"C"}}, {"C", {"A", "B"}}};
    CHECK(codes(follow({"A"}, steps(circle, {}, {}, {}))) == std::vector<std::string>{"B", "C"});
    CHECK(follow({"A"}, steps({}, {}, {}, {})).empty());
}

TEST_CASE("a lot and a brew of one code are two") {
    const auto found = follow({"A"}, steps({{"A", {"X"}}}, {{"A", {"X"}}}, {{"X", {"Y"}}}, {}));
    CHECK(codes(found) == std::vector<std::string>{"X", "X", "Y"});
}

TEST_CASE("whatever a brewery did, all that the lot reaches is found and nothing else") {
    std::mt19937 random(7);
    const auto upto = [&](int n) { return std::uniform_int_distribution<int>(0, n)(random); };
    for (int trial = 0; trial < 300; ++trial) {
        const int lots = 2 + upto(10), brews = upto(8), links = upto(25);
        Links lots_of_lot, brews_of_lot, lots_of_brew, brews_beside;
        // places: lots first, then brews; reach[i][j]: one step, and then any number of steps
        const int all = lots + brews;
        std::vector<std::vector<bool>> reach(static_cast<std::size_t>(all),
                                             std::vector<bool>(static_cast<std::size_t>(all)));
        const auto name = [&](int i) { return i < lots ? "L" + std::to_string(i) : "B" + std::to_string(i - lots); };
        for (int k = 0; k < links; ++k) {
            const int from = upto(all - 1), to = upto(all - 1);
            const bool brew_from = from >= lots, brew_to = to >= lots;
            (brew_from ? brew_to ? brews_beside : lots_of_brew
             : brew_to ? brews_of_lot
                       : lots_of_lot)[name(from)]
                .push_back(name(to));
            reach[static_cast<std::size_t>(from)][static_cast<std::size_t>(to)] = true;
        }
        for (std::size_t via = 0; via < reach.size(); ++via) // Warshall
            for (std::size_t i = 0; i < reach.size(); ++i)
                for (std::size_t j = 0; j < reach.size(); ++j)
                    if (reach[i][via] && reach[via][j]) reach[i][j] = true;
        std::set<std::string> wanted, found;
        for (int i = 1; i < all; ++i)
            if (reach[0][static_cast<std::size_t>(i)]) wanted.insert(name(i));
        const auto made = follow({"L0"}, steps(lots_of_lot, brews_of_lot, lots_of_brew, brews_beside));
        for (const Followed& one : made) {
            CHECK(found.insert(one.code).second);
            CHECK(one.is_brew == one.code.starts_with("B"));
        }
        CHECK(found == wanted);
    }
}
