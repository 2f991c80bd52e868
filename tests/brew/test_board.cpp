// The board: what stands in a brew's way on a day, and the next day on which nothing does.
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/brew/board.hpp>
#include <random>

using namespace lotwort;
using std::chrono::days;

namespace {

const Date first = *parse_iso_date("2026-12-01");

Date day(int number) {
    return first + days(number - 1); // of December
}

Tank tank(const std::string& name, double litres, TankKind kind = TankKind::fermenter) {
    Tank made;
    made.name = name;
    made.kind = kind;
    made.volume = Litres(litres);
    return made;
}

Recipe recipe(const std::string& name, std::optional<int> tank_days = {}, std::optional<int> harvest_days = {}) {
    Recipe made;
    made.name = name;
    made.volume = Litres(1000.0);
    made.tank_days = tank_days;
    made.harvest_days = harvest_days;
    return made;
}

Plan plan(const std::string& code, const std::string& recipe, int on, const std::string& into = "") {
    Plan made;
    made.code = code;
    made.recipe = recipe;
    made.date = day(on);
    made.brewhouse = "copper";
    if (!into.empty()) made.tank = into;
    return made;
}

// A 10 hL house: FV1 takes two brews, FV2 one.
BoardInput house() {
    BoardInput input;
    input.today = first;
    Brewhouse copper;
    copper.name = "copper";
    copper.volume = Litres(1000.0);
    input.book.brewhouses = {copper};
    input.book.tanks = {tank("FV1", 2000.0), tank("FV2", 1000.0), tank("BT1", 2000.0, TankKind::bright)};
    input.book.recipes = {recipe("pale"), recipe("lager", 35, 10)};
    return input;
}

std::vector<std::string> says(const std::vector<Clash>& clashes) {
    std::vector<std::string> all;
    for (const Clash& clash : clashes) all.push_back(clash.says);
    return all;
}

using Said = std::vector<std::string>;

} // namespace

TEST_CASE("a tank is full for the recipe's days, else for fourteen, and may be filled on the day that it is free") {
    BoardInput input = house();
    input.book.plans = {plan("P1", "pale", 3, "FV2"), plan("P2", "lager", 20, "FV2")};
    const Board board(input);
    const Plan next = plan("P3", "pale", 10, "FV2");
    CHECK(says(board.clashes(next, day(10))) == Said{"FV2 is for P1 from 2026-12-03 till 2026-12-17"});
    CHECK(says(board.clashes(next, day(17))) == Said{"FV2 is for P2 from 2026-12-20 till 2027-01-24"});
    CHECK(board.next_day(next, day(10)) == day(20 + 35));
    CHECK_FALSE(board.use_of(next)->is_stated);
    Plan brief = next; // out after three days, it goes between
    brief.tank_till = day(13);
    CHECK(board.next_day(brief, day(10)) == day(17));
    CHECK(board.clashes(plan("P4", "pale", 10), day(10)).empty()); // names no tank
}

TEST_CASE("two brews of one beer fill one tank, as far as it takes them, within two days") {
    BoardInput input = house();
    input.book.plans = {plan("P1", "pale", 3, "FV1"), plan("P2", "pale", 3, "FV2")};
    const Board board(input);
    CHECK(board.clashes(plan("P3", "pale", 3, "FV1"), day(3)).empty());
    CHECK(board.clashes(plan("P3", "pale", 5, "FV1"), day(5)).empty());
    CHECK(says(board.clashes(plan("P3", "pale", 6, "FV1"), day(6))) ==
          Said{"FV1 is for P1 from 2026-12-03 till 2026-12-17"});
    CHECK(says(board.clashes(plan("P3", "lager", 3, "FV1"), day(3))) ==
          Said{"FV1 is for P1 from 2026-12-03 till 2026-12-17"});
    CHECK(says(board.clashes(plan("P3", "pale", 4, "FV2"), day(4))) ==
          Said{"FV2 takes 1000 L, and with P2 it would be 2000 L"});
}

TEST_CASE("what no day cures is said, and no day is named for it") {
    const Board board(house());
    Plan large = plan("P1", "pale", 3, "FV2");
    large.volume = Litres(1500.0);
    CHECK(says(board.clashes(large, day(3))) == Said{"FV2 takes 1000 L, and 1500 L would go in"});
    CHECK(says(board.clashes(plan("P2", "pale", 3, "BT1"), day(3))) == Said{"BT1 is a bright tank"});
    CHECK(board.next_day(large, day(3)) == std::nullopt);
    CHECK(board.other_tank(large) == "FV1");
}

TEST_CASE("a kettle does so many brews a day, and one that states nothing any number") {
    BoardInput input = house();
    input.book.plans = {plan("P1", "pale", 3), plan("P2", "pale", 4), plan("P3", "pale", 4)};
    CHECK(Board(input).clashes(plan("P4", "pale", 3), day(3)).empty());
    input.book.brewhouses.front().brews_per_day = 1;
    const Board one(input);
    CHECK(says(one.clashes(plan("P4", "pale", 3), day(3))) ==
          Said{"copper does 1 brew a day, and brews P1 on 2026-12-03"});
    CHECK(one.next_day(plan("P4", "pale", 3), day(3)) == day(5));
    CHECK(one.clashes(input.book.plans.front(), day(3)).empty()); // it is not in its own way
    REQUIRE(one.troubles().size() == 1);                          // the second has the trouble, not the first
    CHECK(one.troubles().front().plan.code == "P3");
    input.brews = {{"B9", first, "copper", {}, {}, {}, {}, 0, {}}};
    CHECK(Board(input).next_day(plan("P4", "pale", 1), first) == day(2));
}

TEST_CASE("a tank holds its brew till the day that is stated or usual, and longer where nobody packaged it") {
    BoardInput input = house();
    Tank& fv2 = input.book.tanks[1];
    fv2.holds = "B7";
    fv2.since = day(-12); // 18 November
    BrewMade b7{"B7", day(-12), "copper", "pale", {}, Litres(1000.0), {}, 0, {}};
    input.brews = {b7};
    const Plan next = plan("P1", "pale", 1, "FV2");
    CHECK(says(Board(input).clashes(next, first)) == Said{"FV2 is in use by B7 till 2026-12-02"});
    CHECK(Board(input).next_day(next, first) == day(2));
    fv2.till = day(9);
    CHECK(Board(input).next_day(next, first) == day(9));
    fv2.till = day(0); // gone by, and still there
    CHECK(says(Board(input).clashes(next, first)) == Said{"FV2 is in use by B7 still"});
    CHECK(Board(input).next_day(next, first) == day(2));
    input.brews.front().gone = day(0);
    const Board packaged(input);
    CHECK(packaged.clashes(next, first).empty());
    const TankState state = packaged.tanks().back();
    CHECK(state.tank.name == "FV2");
    CHECK(state.emptied == day(0));
    CHECK(state.is_to_be_cleaned);
    input.book.tanks[1].cleaned = day(0);
    CHECK_FALSE(Board(input).tanks().back().is_to_be_cleaned);
}

TEST_CASE("a tank in use for something else is free on its day, or never") {
    BoardInput input = house();
    Tank& fv1 = input.book.tanks.front();
    fv1.used_for = "repair";
    fv1.since = day(-5);
    fv1.till = day(8);
    const Plan next = plan("P1", "pale", 3, "FV1");
    CHECK(says(Board(input).clashes(next, day(3))) == Said{"FV1 is in use by repair till 2026-12-08"});
    CHECK(Board(input).next_day(next, day(3)) == day(8));
    CHECK(Board(input).other_tank(next) == "FV2");
    input.book.tanks.front().till.reset();
    CHECK(Board(input).next_day(next, day(3)) == std::nullopt);
}

TEST_CASE("yeast of another brew is there after its days, is good for a fortnight, and is one generation on") {
    BoardInput input = house();
    input.book.plans = {plan("P1", "pale", 3), plan("P2", "pale", 12), plan("P3", "lager", 20)};
    input.book.plans[1].yeast_of_plan = "P1";
    input.book.plans[2].yeast_of_plan = "P2";
    const Board board(input);
    CHECK(board.crop(input.book.plans[0]) == std::nullopt);
    const Crop crop = *board.crop(input.book.plans[1]);
    CHECK(crop.from == day(10));
    CHECK(crop.till == day(24));
    CHECK(crop.generation == 1);
    CHECK_FALSE(crop.is_stated);
    CHECK(board.crop(input.book.plans[2])->generation == 2);
    CHECK(board.clashes(input.book.plans[1], day(10)).empty());
    CHECK(board.clashes(input.book.plans[1], day(24)).empty());
    CHECK(says(board.clashes(input.book.plans[1], day(9))) == Said{"the yeast of P1 is there on 2026-12-10"});
    CHECK(says(board.clashes(input.book.plans[1], day(25))) ==
          Said{"the yeast of P1 is there on 2026-12-10, and good for 14 days"});
    CHECK(board.next_day(input.book.plans[1], day(5)) == day(10));
    CHECK(board.next_day(input.book.plans[1], day(25)) == std::nullopt);
    Plan orphan = plan("P9", "pale", 12);
    orphan.yeast_of_plan = "P8";
    CHECK(says(board.clashes(orphan, day(12))) == Said{"P8, whose yeast it was to pitch, is no more"});
    input.brews = {{"B7", day(-5), "copper", "lager", {}, {}, {}, 3, {}}};
    orphan.yeast_of_plan.reset();
    orphan.yeast_of_brew = "B7";
    CHECK(Board(input).crop(orphan)->generation == 4);
    CHECK(Board(input).crop(orphan)->from == day(5)); // a lager's ten days
    input.brews.front().harvested = day(1);
    CHECK(Board(input).crop(orphan)->from == day(1));
}

namespace {

// The rule day by day, as a brewer would go through a wall calendar; written anew.
class WallCalendar {
public:
    explicit WallCalendar(const BoardInput& input) : input_(input) {}

    [[nodiscard]] bool fits(const Plan& wish, Date on) const {
        return kettle_has_a_turn(wish, on) && tank_is_ready(wish, on) && yeast_is_good(wish, on);
    }

private:
    [[nodiscard]] int stay(const Plan& plan) const {
        if (plan.tank_till) return static_cast<int>((*plan.tank_till - plan.date).count());
        for (const Recipe& recipe : input_.book.recipes)
            if (recipe.name == plan.recipe && recipe.tank_days) return *recipe.tank_days;
        return 14;
    }
    [[nodiscard]] bool kettle_has_a_turn(const Plan& wish, Date on) const {
        const auto limit = input_.book.brewhouses.front().brews_per_day;
        if (!limit) return true;
        int turns = 1;
        for (const Plan& other : input_.book.plans) turns += other.code != wish.code && other.date == on ? 1 : 0;
        for (const BrewMade& made : input_.brews) turns += made.date == on ? 1 : 0;
        return turns <= *limit;
    }
    [[nodiscard]] bool tank_is_ready(const Plan& wish, Date on) const {
        double room = 0.0;
        for (const Tank& known : input_.book.tanks)
            if (known.name == *wish.tank) room = known.volume.value();
        double litres = wish.volume->value();
        for (const Plan& other : input_.book.plans) {
            if (other.code == wish.code || other.tank != wish.tank) continue;
            bool meet = false;
            for (int i = 0; i < stay(wish) && !meet; ++i)
                for (int k = 0; k < stay(other) && !meet; ++k) meet = on + days(i) == other.date + days(k);
            if (!meet) continue;
            const bool same = other.recipe == wish.recipe && std::abs((on - other.date).count()) <= 2;
            if (!same) return false;
            litres += other.volume->value();
        }
        for (const Tank& known : input_.book.tanks) {
            if (known.name != *wish.tank || !known.used_for) continue;
            for (int i = 0; i < stay(wish); ++i)
                if (!known.till || on + days(i) < *known.till) return false;
        }
        return litres <= room;
    }
    [[nodiscard]] bool yeast_is_good(const Plan& wish, Date on) const {
        if (!wish.yeast_of_plan) return true;
        for (const Plan& source : input_.book.plans) {
            if (source.code != *wish.yeast_of_plan) continue;
            int ready = 7;
            for (const Recipe& recipe : input_.book.recipes)
                if (recipe.name == source.recipe && recipe.harvest_days) ready = *recipe.harvest_days;
            for (int age = 0; age <= 14; ++age)
                if (on == source.date + days(ready + age)) return true;
        }
        return false;
    }

    const BoardInput& input_;
};

} // namespace

TEST_CASE("the next day that is named is the first that a wall calendar gives") {
    std::mt19937 dice(20261130);
    const auto roll = [&](int most) { return static_cast<int>(dice() % static_cast<unsigned>(most + 1)); };
    int clashed = 0, none = 0;
    for (int round = 0; round < 600; ++round) {
        BoardInput input = house();
        if (roll(3) > 0) input.book.brewhouses.front().brews_per_day = 1 + roll(1);
        if (roll(4) == 0) {
            input.book.tanks.front().used_for = "repair";
            input.book.tanks.front().since = first;
            if (roll(2) > 0) input.book.tanks.front().till = day(1 + roll(20));
        }
        const auto made = [&](const std::string& code) {
            Plan one = plan(code, roll(2) == 0 ? "lager" : "pale", 1 + roll(40), roll(1) == 0 ? "FV1" : "FV2");
            one.volume = Litres(roll(3) == 0 ? 500.0 : 1000.0);
            if (roll(3) == 0) one.tank_till = one.date + days(1 + roll(20));
            return one;
        };
        for (int i = 0, n = roll(8); i < n; ++i) input.book.plans.push_back(made("P" + std::to_string(i + 1)));
        Plan wish = made("P0");
        if (!input.book.plans.empty() && roll(2) == 0) wish.yeast_of_plan = input.book.plans.front().code;
        std::optional<Date> found;
        const WallCalendar wall(input); // 120 days: by then all that is planned is gone
        for (int ahead = 0; ahead <= 120 && !found; ++ahead)
            if (wall.fits(wish, wish.date + days(ahead))) found = wish.date + days(ahead);
        const Board board(input);
        REQUIRE(board.next_day(wish, wish.date) == found);
        REQUIRE(board.clashes(wish, wish.date).empty() == (found == wish.date));
        clashed += found != wish.date ? 1 : 0;
        none += found ? 0 : 1;
    }
    CHECK(clashed > 120);
    CHECK(none > 5);
}

TEST_CASE("a beer that is due out today and still there is overdue today") {
    BoardInput input = house();
    Tank& fv2 = input.book.tanks[1];
    fv2.holds = "B7";
    fv2.since = day(-12);
    fv2.till = first;
    input.brews = {BrewMade{"B7", day(-12), "copper", "pale", {}, Litres(1000.0), {}, 0, {}}};
    CHECK(says(Board(input).clashes(plan("P1", "pale", 1, "FV2"), first)) == Said{"FV2 is in use by B7 still"});
}
