#include "range.hpp"
#include <limits>
#include <lotwort/wort/textbook.hpp>

namespace lotwort::wort::textbook {

namespace {

constexpr double endless = std::numeric_limits<double>::max();

// A divisor: more than nothing.
void require_positive(double value, std::string_view what) {
    require_range(value, std::numeric_limits<double>::min(), endless, what);
}

} // namespace

Kilograms extract(Litres volume, Plato extract, double gravity) {
    return Kilograms(extract_kg(volume.value(), extract.value(), gravity));
}

Percent brewhouse_yield(Litres volume, Plato wort, double gravity, Kilograms grist, double factor) {
    require_positive(grist.value(), "grist in kg");
    return Percent(yield_pct(extract(volume, wort, gravity).value(), grist.value(), factor));
}

Plato first_wort(LitresPerKilogram mash_liquor) {
    require_positive(mash_liquor.value(), "mash liquor in L/kg");
    return Plato(kunze_inverse_proportion(mash_liquor.value()));
}

LitresPerKilogram mash_liquor_for(Plato first_wort) {
    require_positive(first_wort.value(), "first wort in Plato");
    return LitresPerKilogram(kunze_inverse_proportion(first_wort.value()));
}

Plato first_wort(Percent extract_as_is, double liquor_kg_per_100kg, Percent moisture) {
    require_positive(liquor_kg_per_100kg, "mash liquor in kg per 100 kg");
    return Plato(first_wort_plato(extract_as_is.value(), liquor_kg_per_100kg, moisture.value()));
}

Kilograms grist_short_form(Litres volume, Plato wort, Percent efficiency, Percent extract_as_is) {
    require_positive(efficiency.value() * extract_as_is.value(), "efficiency times extract");
    return Kilograms(short_form_grist_kg(volume.value(), wort.value(), efficiency.value(), extract_as_is.value()));
}

Kilograms spent_grain(Kilograms dry, Percent water) {
    require_range(water.value(), 0.0, 99.0, "water of the spent grain in per cent");
    return Kilograms(wet_spent_grain_kg(dry.value(), water.value()));
}

Percent evaporation(Litres before, Litres after) {
    require_positive(before.value(), "volume before the boil in L");
    return Percent(evaporation_pct(before.value(), after.value()));
}

Plato after_boil(Plato before, Kilograms wort, Kilograms evaporated) {
    const double dissolved = before.value() / 100.0 * wort.value();
    require_range(evaporated.value(), -endless, wort.value() - dissolved, "evaporated water in kg");
    require_positive((wort - evaporated).value(), "wort after the boil in kg");
    return Plato(after_boil_plato(before.value(), wort.value(), evaporated.value()));
}

} // namespace lotwort::wort::textbook
