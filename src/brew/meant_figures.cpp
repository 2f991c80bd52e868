#include <algorithm>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort {

namespace {

bool is_there_for_colour(const Item& item) {
    return item.malt_class == "caramel" || item.malt_class == "roasted";
}

double ratio(double meant, double there) {
    return meant > 0.0 && there > 0.0 ? meant / there : 1.0;
}

double lovibond(double ebc) {
    return wort::malt_lovibond(Ebc(std::max(0.0, ebc))).value();
}

} // namespace

bool is_bittering(Stage stage, const std::optional<Minutes>& minutes) {
    return (stage == Stage::boil || stage == Stage::kettle) && minutes && minutes->value() >= 30.0;
}

bool is_by_colour(const GristLine& meant, const Item& item) {
    return meant.colour && (!meant.extract || is_there_for_colour(item));
}

double mass_ratio(const GristLine& meant, const Item& item, const MaltFigures& there) {
    if (is_by_colour(meant, item)) return ratio(lovibond(meant.colour->value()), lovibond(there.colour_ebc.value));
    if (meant.extract) return ratio(meant.extract->value(), there.extract_fine_dry_pct.value);
    return 1.0;
}

double mass_ratio(const HopLine& meant, const Figure& alpha_there_pct) {
    if (!meant.alpha || !is_bittering(meant.stage, meant.minutes)) return 1.0;
    return ratio(meant.alpha->value(), alpha_there_pct.value);
}

} // namespace lotwort
