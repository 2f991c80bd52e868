#include "by_hand.hpp"
#include <lotwort/brew/typed_figures.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/typed.hpp>

namespace lotwort {

namespace {

Range in(Range range, double per) {
    return {range.least * per, range.most * per};
}

} // namespace

double figure_by_hand(std::string_view text, Kilograms, Range believable) {
    return parse_mass(text, believable).value();
}
double figure_by_hand(std::string_view text, Grams, Range believable) {
    return to_grams(parse_mass(text, in(believable, 0.001))).value();
}
double figure_by_hand(std::string_view text, Litres, Range believable) {
    return parse_volume(text, believable).value();
}
double figure_by_hand(std::string_view text, Percent, Range believable) {
    return parse_percent(text, believable).value();
}
double figure_by_hand(std::string_view text, Minutes, Range believable) {
    return parse_minutes(text, believable).value();
}
double figure_by_hand(std::string_view text, Celsius, Range believable) {
    return parse_temperature(text, believable).value();
}
double figure_by_hand(std::string_view text, Ebc, Range /*of typed colours*/) {
    return malt_ebc(parse_colour(text)).value();
}
double figure_by_hand(std::string_view text, SpecificGravity, Range /*of typed gravities*/) {
    return target_gravity(parse_gravity(text)).value();
}
double figure_by_hand(std::string_view text, BitternessUnits, Range believable) {
    return parse_bitterness(text, believable).value();
}
double figure_by_hand(std::string_view text, LitresPerKilogram, Range believable) {
    return parse_litres_per_kilogram(text, believable).value();
}
double figure_by_hand(std::string_view text, LitresPerHour, Range believable) {
    return parse_litres_per_hour(text, believable).value();
}
double figure_by_hand(std::string_view text, Metres, Range believable) {
    return parse_length(text, in(believable, 100.0)).value() / 100.0;
}

} // namespace lotwort
