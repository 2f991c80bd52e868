// Beer in packages: a run of bottles, kegs, cans or casks out of a brew, and where they went.
//
// What a run was primed with is an addition of its brew that names the run (brew/brew.hpp): it leaves stock as all else
// that goes into beer, and a supplier's lot of sugar is followed by it into the package.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// So many of a run to somebody on a day; a negative count came back.
struct Sent {
    Date on;
    std::string to;
    int count = 0;
    friend bool operator==(const Sent&, const Sent&) = default;
};

template <>
struct FieldsOf<Sent> {
    static constexpr auto list = Fields{
        field("sent_on", &Sent::on),
        field("to_whom", &Sent::to),
        field("count", &Sent::count, {-1e6, 1e6}),
    };
};

struct Package {
    std::string code; // of the run, as it stands on the label
    std::string brew; // or one of several that share a fermenter
    Date on;
    std::optional<std::string> container; // bottles, kegs, cans
    int count = 0;
    Litres each{0.0};
    std::optional<Litres> lost;           // beer that was spilt or left in the lines
    std::optional<double> carbon_dioxide; // g/L that is meant
    std::optional<Celsius> warmest;       // since it fermented: by that the gas that stayed in the beer
    std::optional<Date> best_before;
    std::vector<Sent> sent; // in the order it was booked
    friend bool operator==(const Package&, const Package&) = default;
};

template <>
struct FieldsOf<Package> {
    static constexpr auto list = Fields{
        field("code", &Package::code),
        field("brew", &Package::brew),
        field("packaged", &Package::on),
        field("container", &Package::container),
        field("count", &Package::count, {1.0, 1e6}),
        field("each_l", &Package::each, {0.01, 1e5}),
        field("lost_l", &Package::lost, {0.0, 1e6}),
        field("carbon_dioxide_g_per_l", &Package::carbon_dioxide, {0.0, 20.0}),
        field("warmest_c", &Package::warmest, {-2.0, 40.0}),
        field("best_before", &Package::best_before),
        field("sent", &Package::sent),
    };
};

inline constexpr double trub_share = 0.1; // of a fermenter, that may be left in it once it is empty

[[nodiscard]] Litres packaged_volume(const Package& package); // without what was lost
[[nodiscard]] int sent_out(const Package& package);           // less what came back
[[nodiscard]] int sent_to(const Package& package, const std::string& whom);

} // namespace lotwort
