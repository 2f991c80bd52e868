#include "range.hpp"
#include <limits>
#include <lotwort/wort/textbook.hpp>

namespace lotwort::wort::textbook {

namespace {

constexpr double endless = std::numeric_limits<double>::max();

// A divisor: more than nothing.
void require_positive(double value, const std::string &what) {
    require_range(value, std::numeric_limits<double>::min(), endless, what);
}

} // namespace

Kilograms extract(Litres volume, Plato extract, double gravity) {
    return Kilograms(volume.value() * extract.value() / 100.0 * gravity);
}

Percent brewhouse_yield(Litres volume, Plato wort, double gravity, Kilograms grist, double factor) {
    require_positive(grist.value(), "grist in kg");
    return Percent(100.0 * factor * (extract(volume, wort, gravity) / grist));
}

Plato first_wort(LitresPerKilogram mash_liquor) {
    require_positive(mash_liquor.value(), "mash liquor in L/kg");
    return Plato(60.0 / mash_liquor.value());
}

LitresPerKilogram mash_liquor_for(Plato first_wort) {
    require_positive(first_wort.value(), "first wort in Plato");
    return LitresPerKilogram(60.0 / first_wort.value());
}

Plato first_wort(Percent extract_as_is, double liquor_kg_per_100kg, Percent moisture) {
    require_positive(liquor_kg_per_100kg, "mash liquor in kg per 100 kg");
    const double e = extract_as_is.value();
    return Plato(100.0 * e / (e + liquor_kg_per_100kg + moisture.value()));
}

Kilograms grist_short_form(Litres volume, Plato wort, Percent efficiency, Percent extract_as_is) {
    const double yield = efficiency.value() / 100.0 * extract_as_is.value() / 100.0;
    require_positive(yield, "efficiency times extract");
    return Kilograms(extract(volume, wort, 1.0).value() / yield);
}

Kilograms spent_grain(Kilograms dry, Percent water) {
    require_range(water.value(), 0.0, 99.0, "water of the spent grain in per cent");
    return Kilograms(dry.value() / (1.0 - water.value() / 100.0));
}

Percent evaporation(Litres before, Litres after) {
    require_positive(before.value(), "volume before the boil in L");
    return Percent(100.0 * ((before - after) / before));
}

Plato after_boil(Plato before, Kilograms wort, Kilograms evaporated) {
    const double dissolved = before.value() / 100.0 * wort.value();
    require_range(evaporated.value(), -endless, wort.value() - dissolved, "evaporated water in kg");
    require_positive((wort - evaporated).value(), "wort after the boil in kg");
    return Plato(100.0 * dissolved / (wort - evaporated).value());
}

} // namespace lotwort::wort::textbook
