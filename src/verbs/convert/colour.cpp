// Colour: of beer in EBC and SRM, of malt in EBC and degrees Lovibond, and of the beer that a malt makes.
#include "convert.hpp"
#include <fmt/format.h>
#include <lotwort/wort/colour.hpp>

namespace lotwort::verbs {

namespace {

constexpr Asked believable_colour{Dimension::colour, {0.0, 3000.0}, "colour", "EBC"};

// What was typed on any scale, in EBC. 3L is 3 °L here.
Uncertain in_ebc(const TypedValue& kind, const Uncertain& typed) {
    if (std::holds_alternative<Lovibond>(kind) || std::holds_alternative<Litres>(kind))
        return {wort::ebc_of_lovibond(typed.value),
                (wort::ebc_of_lovibond(1.0) - wort::ebc_of_lovibond(0.0)) * typed.sd};
    const double ebc = std::holds_alternative<Srm>(kind) ? wort::ebc_per_srm : 1.0;
    return {ebc * typed.value, ebc * typed.sd};
}

constexpr std::string_view of_malt = "degrees Lovibond are of malt: EBC = 1.97 (1.3546 L - 0.76)";

Uncertain read_colour(const Input&, const ConvertRequest& request, report::Converted& out) {
    const Uncertain ebc = in_ebc(request.value.value, request.typed());
    demand_believable(request.given, ebc.value, believable_colour);
    if (!is_a<Ebc, Srm>(request)) out.remarks.emplace_back(of_malt);
    return ebc;
}

// A malt's mass with its --colour, in a --volume of beer.
Uncertain units_of_malt(const ConvertRequest& request, report::Converted& out) {
    const auto text = request.text("colour");
    if (!text)
        throw Error(ErrorKind::refused,
                    fmt::format("{} to {}: the malt's colour is not said", request.given, request.to),
                    "add it, such as --colour 7EBC");
    const Uncertain colour = in_ebc(parse_typed(*text, Dimension::colour).value,
                                    *request.figure("colour", {Dimension::colour, {0.0, 3000.0}, "colour", ""}));
    const Uncertain litres = read_plainly(needed("volume", beer_volume, "20L"), request, out);
    return step(carried([](const auto& x) { return wort::malt_colour_units(x[0], wort::lovibond_of_ebc(x[1]), x[2]); },
                        std::array{request.typed(), colour, litres}),
                out.remarks);
}

// Malt colour units: typed, or of a malt.
Uncertain read_units(const Input&, const ConvertRequest& request, report::Converted& out) {
    return request.is<Kilograms>() ? units_of_malt(request, out) : request.typed();
}

bool has_units(const ConvertRequest& request) {
    return request.is<Kilograms>() || (request.from == "mcu" && request.bare());
}

bool is_colour(const ConvertRequest& request) {
    return is_a<Ebc, Srm, Lovibond>(request);
}

bool is_beer_colour(const ConvertRequest& request) {
    return is_colour(request) || request.is<Litres>();
}

void demand_units(const Numbers& x) {
    (void)wort::beer_colour(MaltColourUnits(x[0]));
}

void say_beyond(report::Converted& out, double ebc) {
    if (ebc > wort::morey_limit_srm * wort::ebc_per_srm)
        out.remarks.emplace_back("beyond 50 SRM Morey's curve is only carried on");
}

void say_morey(const Inputs<Uncertain>& units, report::Converted& out) {
    say_beyond(out, wort::morey_ebc(units[0].value));
    out.remarks.emplace_back("of beer, by Morey's curve");
}

constexpr Input ebc{.read = read_colour}, units{.read = read_units},
    absorbance = value_within({0.0, 20.0}, "absorbance", "", "; dark beer is diluted first, and multiplied");
constexpr Shown in_ebc_units{"ebc", "EBC", 1}, in_srm{"srm", "SRM", 1}, in_lovibond{"lovibond", "°L", 1},
    in_mcu{"mcu", "MCU", 1};

constexpr Figure table[] = {
    figure("ebc", is_beer_colour, {ebc}, {}, in_ebc_units, [](const auto& x) { return x[0]; }),
    figure("srm", is_beer_colour, {ebc}, {}, in_srm, [](const auto& x) { return x[0] / wort::ebc_per_srm; }),
    // there and back by the same line is where it was
    figure(
        "lovibond lov °l l", is_a<Lovibond>, {the_value}, {}, in_lovibond, [](const auto& x) { return x[0]; }, of_malt),
    figure("lovibond lov °l l", is_colour, {ebc}, {}, in_lovibond,
           [](const auto& x) { return wort::lovibond_of_ebc(x[0]); }),
    figure("mcu", is_colour, {ebc}, {}, in_mcu, [](const auto& x) { return wort::morey_colour_units(x[0]); }, "",
           {.beside = [](const Inputs<Uncertain>& x, report::Converted& out) { say_beyond(out, x[0].value); }}),
    figure("mcu", has_units, {units}, demand_units, in_mcu, [](const auto& x) { return x[0]; }),
    figure("ebc", has_units, {units}, demand_units, in_ebc_units, [](const auto& x) { return wort::morey_ebc(x[0]); },
           "", {.beside = say_morey}),
    figure("srm", has_units, {units}, demand_units, in_srm,
           [](const auto& x) { return wort::morey_ebc(x[0]) / wort::ebc_per_srm; }, "", {.beside = say_morey}),
    figure("lovibond lov °l l --from mcu", is_bare, {units}, demand_units, in_lovibond,
           [](const auto& x) { return wort::lovibond_of_ebc(wort::morey_ebc(x[0])); }, "", {.beside = say_morey}),
    figure("ebc --from a430", is_bare, {absorbance}, {}, in_ebc_units, [](const auto& x) { return 25.0 * x[0]; }),
    figure("srm --from a430", is_bare, {absorbance}, {}, in_srm, [](const auto& x) { return 12.7 * x[0]; }),
};

} // namespace

std::span<const Figure> colour_figures() {
    return table;
}

} // namespace lotwort::verbs
