// All that was made of a lot, one in another: what a recall has to find.
//
// A sack is recalled. Part of it went into two brews, part was put together with another sack into a lot of its own,
// and that went into three more; yeast was harvested from one of them and pitched again. All of it is of the sack.
#pragma once

#include <functional>
#include <string>
#include <vector>

namespace lotwort {

// One step: codes, in an order of their own. Forward as said here; back, from beer to what it was made of, by the same
// four questions the other way.
struct Steps {
    using Codes = std::function<std::vector<std::string>(const std::string& code)>;
    Codes lots_of_lot;  // made of it: shared out, or put together with others
    Codes brews_of_lot; // that took of it
    Codes lots_of_brew; // yeast harvested from it
    Codes brews_beside; // run into the same fermenter: one beer with it
};

struct Followed {
    std::string code;
    bool is_brew = false;
    bool came_by_brew = false;
    std::string by; // the lot or brew it was first reached by
};

// What is reached from the lots, or from brews, these left out: the nearest first. A lot and a brew of one code are
// two.
enum class From { lots, brews };
[[nodiscard]] std::vector<Followed> follow(const std::vector<std::string>& codes, const Steps& steps,
                                           From from = From::lots);

} // namespace lotwort
