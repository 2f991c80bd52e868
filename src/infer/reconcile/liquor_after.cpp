#include "reading_equation.hpp"
#include "reading_figure.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/wort/gravity.hpp>
#include <vector>

namespace lotwort {

namespace {

using namespace infer_detail;

// The volume or the gravity of a reading whose other value was set aside.
bool is_part_of(const Reading& one, const Reading& whole) {
    const bool volume = one.volume || one.depth || one.mass, gravity = one.gravity_sg || one.gravity_plato || one.brix;
    const bool whole_has_volume = whole.volume || whole.depth || whole.mass;
    const bool whole_has_gravity = whole.gravity_sg || whole.gravity_plato || whole.brix;
    const bool same_volume = one.volume == whole.volume && one.depth == whole.depth && one.mass == whole.mass &&
                             one.volume_at == whole.volume_at;
    const bool same_gravity = one.gravity_sg == whole.gravity_sg && one.gravity_plato == whole.gravity_plato &&
                              one.brix == whole.brix && one.gravity_at == whole.gravity_at;
    if (one.point != whole.point || volume == gravity) return false;
    return volume ? same_volume && whole_has_gravity : same_gravity && whole_has_volume;
}

// The reading that one called before-r3, or before-r3-2, was taken before.
std::optional<Reading> taken_before(const Brew& brew, const std::string& id) {
    if (!id.starts_with(before_id)) return std::nullopt;
    for (std::string other = id.substr(before_id.size()); !other.empty();
         other.erase(other.rfind('-') == std::string::npos ? 0 : other.rfind('-'))) {
        const auto found = std::ranges::find(brew.readings, other, &Reading::id);
        if (found != brew.readings.end() && found->id != id) return *found;
    }
    return std::nullopt;
}

// Place among the brew's readings, in steps of two; of one that stands for another, in whole or in part, that one's.
std::ptrdiff_t place_of(const Brew& brew, const Reading& reading) {
    if (const auto later = taken_before(brew, reading.id)) return place_of(brew, *later) - 1;
    const auto& all = brew.readings;
    const auto at = std::ranges::find(all, reading.id, &Reading::id);
    for (auto before = all.begin(); before != at; ++before) {
        if (!before->set_aside || before->point != reading.point) continue;
        if (*before->set_aside == "corrected by " + reading.id || is_part_of(reading, *before))
            return place_of(brew, *before);
    }
    return 2 * (at - all.begin());
}

std::optional<ReadingPoint> liquor_into(ReadingPoint point) {
    if (point == ReadingPoint::kettle_full) return ReadingPoint::kettle_liquor;
    if (point == ReadingPoint::cast_out || point == ReadingPoint::fermenter || is_fermented_point(point))
        return ReadingPoint::top_up;
    return std::nullopt;
}

std::optional<double> litres_of(const ReconcileInput& input, const Reading& reading, double fraction) {
    try {
        const auto e = volume_equation(input, reading, infer_detail::Quantity::top_up);
        return e ? std::optional(litres_behind(*e, fraction).second.value) : std::nullopt;
    } catch (const Error&) { // reconcile says what is wrong with it
        return std::nullopt;
    }
}

struct Liquor {
    double all_l = 0.0, after_l = 0.0;
};

Liquor liquor_of(const ReconcileInput& input, const Reading& reading) {
    Liquor out;
    const auto into = liquor_into(reading.point);
    if (!into) return out;
    for (const Reading& liquor : input.brew.readings) {
        if (liquor.point != *into || liquor.set_aside) continue;
        const double litres = litres_of(input, liquor, 0.0).value_or(0.0);
        out.all_l += litres;
        if (reading.point == ReadingPoint::cast_out || taken_after(input.brew, liquor, reading)) out.after_l += litres;
    }
    return out;
}

// In the full kettle, or in the fermenter, once all liquor is in; the brewhouse's where nobody read it.
double litres_in_all(const ReconcileInput& input, ReadingPoint of, double fraction) {
    const auto points = of == ReadingPoint::kettle_full
                            ? std::vector{ReadingPoint::kettle_full}
                            : std::vector{ReadingPoint::final_beer, ReadingPoint::fermenter};
    std::optional<double> last;
    for (const ReadingPoint point : points)
        for (const Reading& r : input.brew.readings)
            if (r.point == point && !r.set_aside)
                if (const auto litres = litres_of(input, r, fraction)) last = *litres + liquor_after(input, r);
    return last.value_or(input.brewhouse.volume.value());
}

} // namespace

bool taken_after(const Brew& brew, const Reading& one, const Reading& other) {
    const bool by_clock = !is_fermented_point(one.point) && !is_fermented_point(other.point);
    if (by_clock && one.at && other.at && *one.at != *other.at) return *one.at > *other.at;
    return place_of(brew, one) > place_of(brew, other);
}

double liquor_after(const ReconcileInput& input, const Reading& reading) {
    return liquor_of(input, reading).after_l;
}

double share_of_liquor_after(const ReconcileInput& input, const Reading& reading) {
    const Liquor liquor = liquor_of(input, reading);
    return liquor.all_l > 0.0 ? liquor.after_l / liquor.all_l : 0.0;
}

double strength_left(const ReconcileInput& input, const Reading& reading, double original_sg) {
    const double after_l = liquor_after(input, reading);
    if (after_l <= 0.0) return 1.0;
    constexpr double least = 0.05; // of readings that cannot be
    const double litres = litres_in_all(input, reading.point, wort::mass_fraction_of_gravity(original_sg));
    return std::max(least, 1.0 - after_l / (original_sg * litres));
}

Estimate filled_up(const ReconcileInput& input, const Reading& reading, const Estimate& gravity_sg) {
    const Estimate nearly = thinned(gravity_sg, strength_left(input, reading, gravity_sg.value));
    return thinned(gravity_sg, strength_left(input, reading, nearly.value));
}

Estimate thinned(const Estimate& gravity_sg, double strength_left) {
    if (strength_left == 1.0) return gravity_sg;
    const auto was = Dual<1>::parameter(gravity_sg.value, 0);
    const auto is = wort::specific_gravity_of(wort::mass_fraction_of_gravity(was) * strength_left);
    return normal_estimate(is.value, is.slope[0] * gravity_sg.sd);
}

} // namespace lotwort
