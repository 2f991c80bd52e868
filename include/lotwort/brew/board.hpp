// The board: which kettle, tank and yeast a brew finds on a day, and the next day on which it finds all three.
//
// A brewer asks three things of a day. Has the kettle a turn left? Is the tank empty, or being filled with this very
// beer? Is the yeast there that is to be pitched, and still good? What stands in the way is said of each by itself; no
// booking is refused for it.
#pragma once

#include <lotwort/brew/book.hpp>
#include <lotwort/stock/lot.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// Common practice, where nothing is stated: 14 days from the brew until its fermenter is free again, 7 in a bright
// tank; the crop after 7 days, pitched within 14 of that. A tank may be filled with one beer on the day of its first
// brew and the two that follow.
inline constexpr int usual_tank_days = 14, usual_bright_days = 7, usual_harvest_days = 7, crop_keeps_days = 14,
                     days_to_fill = 2;

// A brew that was made, as far as the board asks: what a tank holds, what gives yeast, what the kettle did today.
struct BrewMade {
    std::string code;
    Date date;
    std::string brewhouse;
    std::optional<std::string> recipe;
    std::optional<std::string> into; // the brew whose fermenter it was run into
    std::optional<Litres> volume;    // in the fermenter
    std::optional<Date> gone;        // the day its beer was packaged, or poured away
    int generation = 0;              // of the yeast that it pitched; 0 as bought
    std::optional<Date> harvested;   // the day its yeast was, where it was
};

struct BoardInput {
    Book book; // definitions, with tanks and open plans
    std::vector<BrewMade> brews;
    std::vector<LotState> lots; // for the generation of the yeast that plans reserve
    Date today;
};

// A tank in use from a day, by a brew, a plan or something else, and the day it is free again; none: nobody knows.
struct TankUse {
    std::string by;
    std::optional<std::string> recipe;
    Litres volume{0.0};
    Date from;
    std::optional<Date> till = std::nullopt;
    bool is_stated = true;   // the day it is free: else it is common practice
    bool is_overdue = false; // it was to be free by today, and is not
    bool is_planned = false;
};

// One beer: the same recipe, begun within days_to_fill of each other.
[[nodiscard]] bool is_one_beer(const TankUse& a, const TankUse& b);

struct TankState {
    Tank tank;
    std::vector<TankUse> uses;                  // today's and later ones, by day; brews of one beer each by itself
    std::optional<Date> emptied = std::nullopt; // the last day, as far as it is known
    bool is_in_use = false;                     // today
    bool is_to_be_cleaned = false;              // it was not since it was emptied
};

struct Clash {
    enum class Of { kettle, tank, yeast };
    Of of = Of::kettle;
    std::string says;          // "FV1 is in use by B12 till 2026-12-17"
    bool is_of_the_day = true; // another day may do; else none does
};

// A crop that a plan is to pitch: when it is there, till when it is good, and the generation that it is then of.
struct Crop {
    std::string of;                 // the plan or the brew
    std::optional<Date> from, till; // none: what it was to come of is gone
    int generation = 1;
    bool is_stated = true; // the day it is there: else it is common practice
    bool is_there = false; // it was harvested
};

class Board {
public:
    explicit Board(BoardInput input);

    [[nodiscard]] std::vector<TankState> tanks() const; // by name

    // What stands in the plan's way on a day. The plan need not be one of the book's, and is not in its own way. Of two
    // plans that want one tank or one turn of the kettle the earlier has it: `before` asks what stands in the way of a
    // plan where it is, and leaves out those that come after it.
    enum class Of { all, before };
    [[nodiscard]] std::vector<Clash> clashes(const Plan& plan, Date on, Of which = Of::all) const;

    // The first day from then on, within two years, on which nothing stands in its way; none where there is no such
    // day.
    [[nodiscard]] std::optional<Date> next_day(const Plan& plan, Date from) const;

    // A fermenter in which nothing would stand in its way on its day: of those that take it, the smallest.
    [[nodiscard]] std::optional<std::string> other_tank(const Plan& plan) const;

    [[nodiscard]] std::optional<Crop> crop(const Plan& plan) const;      // none: it pitches yeast of the store
    [[nodiscard]] std::optional<TankUse> use_of(const Plan& plan) const; // of the tank that it names

    struct Trouble {
        Plan plan;
        std::vector<Clash> clashes;
    };
    [[nodiscard]] std::vector<Trouble> troubles() const; // open plans that something stands in the way of, by day

private:
    [[nodiscard]] const Recipe* recipe(const std::optional<std::string>& name) const;
    [[nodiscard]] const BrewMade* brew(const std::string& code) const;
    [[nodiscard]] const Plan* plan(const std::string& code) const;
    [[nodiscard]] const Tank* tank(const std::string& name) const;
    [[nodiscard]] TankUse use_on(const Plan& plan, Date on) const;
    [[nodiscard]] std::vector<TankUse> held(const Tank& tank) const;
    [[nodiscard]] std::optional<Date> gone_from(const Tank& tank) const;
    [[nodiscard]] int generation_of(const Plan& plan, int depth) const;
    [[nodiscard]] bool comes_after(const std::string& other, Date from, const Plan& plan, Date on) const;
    void add_kettle(const Plan& plan, Date on, Of which, std::vector<Clash>& clashes) const;
    void add_tank(const Plan& plan, Date on, Of which, std::vector<Clash>& clashes) const;
    void add_yeast(const Plan& plan, Date on, std::vector<Clash>& clashes) const;

    BoardInput input_;
    std::map<std::string, std::vector<TankUse>> uses_; // by tank, then by day
};

} // namespace lotwort
