// Hot volumes, colours, temperatures, and units that differ by a factor.
#include "convert.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/wort/colour.hpp>
#include <lotwort/wort/volume.hpp>

namespace lotwort::cli {

namespace {

bool begins_a_number(const std::string& text) {
    return !text.empty() && ((text[0] >= '0' && text[0] <= '9') || text[0] == '-' || text[0] == '.');
}

// Decimals for six figures at most, none beyond the sixth decimal.
int decimals_of(double value) {
    if (value == 0.0 || !std::isfinite(value)) return 2;
    const int leading = static_cast<int>(std::floor(std::log10(std::abs(value))));
    return std::clamp(4 - leading, 0, 6);
}

Ebc ebc_of(const TypedValue& colour) {
    if (const auto* ebc = std::get_if<Ebc>(&colour)) return *ebc;
    if (const auto* srm = std::get_if<Srm>(&colour)) return wort::to_ebc(*srm);
    return wort::malt_ebc(std::get<Lovibond>(colour));
}

std::optional<report::Converted> convert_colour(const ConvertRequest& request, const TypedValue& one) {
    const bool to_ebc = std::holds_alternative<Ebc>(one), to_srm = std::holds_alternative<Srm>(one),
               to_lovibond = std::holds_alternative<Lovibond>(one);
    if (!to_ebc && !to_srm && !to_lovibond) return std::nullopt;
    TypedValue colour = request.value.value;
    if (std::holds_alternative<Litres>(colour)) colour = parse_typed(request.given, Dimension::colour).value;
    if (!std::holds_alternative<Ebc>(colour) && !std::holds_alternative<Srm>(colour) &&
        !std::holds_alternative<Lovibond>(colour))
        refuse_conversion(request);
    const Ebc ebc = ebc_of(colour);
    report::Converted out;
    out.decimals = 1;
    out.unit = to_ebc ? "ebc" : to_srm ? "srm" : "lovibond";
    out.shown = to_ebc ? "EBC" : to_srm ? "SRM" : "°L";
    out.value = to_ebc ? ebc.value() : to_srm ? wort::to_srm(ebc).value() : wort::malt_lovibond(ebc).value();
    if (to_lovibond || std::holds_alternative<Lovibond>(colour))
        out.remarks.emplace_back("degrees Lovibond are of malt: EBC = 1.97 (1.3546 L - 0.76)");
    return out;
}

double number_of(const TypedValue& value) {
    return std::visit([](const auto& quantity) { return quantity.value(); }, value);
}

// "1UNIT" read by the parser of what people type: every unit it knows, and no table beside it.
TypedValue one_of(const ConvertRequest& request) {
    try {
        return parse_typed("1" + request.to).value;
    } catch (const Error&) {
        const std::vector<std::string> known{
            "sg",   "plato", "brix",  "kg/m3", "ebc",      "srm",         "lovibond",    "kg",   "g",
            "lb",   "oz",    "L",     "ml",    "hl",       "galUS",       "galUK",       "qtUS", "qtUK",
            "ptUS", "ptUK",  "C",     "F",     "min",      "h",           "cm",          "in",   "abv",
            "abw",  "ppg",   "bblUS", "bblUK", "l-per-kg", "attenuation", "real-extract"};
        const std::string near = did_you_mean(request.to, known);
        throw Error(ErrorKind::refused, fmt::format("`{}` is nothing to convert to", request.to),
                    near.empty() ? "lotwort convert --help lists the units" : near);
    }
}

} // namespace

void refuse_conversion(const ConvertRequest& request) {
    throw Error(ErrorKind::refused, fmt::format("{} does not turn into {}", request.given, request.to),
                "a gravity goes to sg, plato, brix or kg/m3; an extract (%, L/kg, ppg) with --basis to another basis; "
                "a colour to ebc, srm or lovibond; masses, volumes and temperatures to units of their kind");
}

std::optional<report::Converted> convert_hot_volume(const ConvertRequest& request) {
    if (!begins_a_number(request.to)) return std::nullopt;
    const Celsius to = parse_temperature(request.to, {wort::least_wort_c, wort::most_wort_c});
    const auto* volume = std::get_if<Litres>(&request.value.value);
    if (volume == nullptr) refuse_conversion(request);
    const auto at = request.at ? request.at : request.value.at;
    if (!at)
        throw Error(ErrorKind::refused, fmt::format("at what temperature are the {}?", request.given),
                    fmt::format("write lotwort convert {}@95C --to 20C", request.given));
    report::Converted out;
    const Plato wort = request.wort ? plato_of(*request.wort, 1.0) : Plato(0.0);
    out.value = wort::volume_at(*volume, wort, *at, to).value();
    out.unit = "l";
    out.shown = fmt::format("L at {} °C", shortest(to.value()));
    out.at_c = to.value();
    out.decimals = decimals_of(out.value);
    if (!request.wort) out.remarks.emplace_back("as water; wort differs by less than 0.1 %: --gravity 12P");
    return out;
}

report::Converted convert_unit(const ConvertRequest& request) {
    const TypedValue one = one_of(request);
    if (auto colour = convert_colour(request, one)) return *colour;
    const TypedValue& value = request.value.value;
    // the target `l` may be degrees Lovibond, which the colour's own scale decides
    if (std::holds_alternative<Litres>(one) &&
        (std::holds_alternative<Ebc>(value) || std::holds_alternative<Srm>(value)))
        return *convert_colour(request, TypedValue(Lovibond(1.0)));
    if (one.index() != value.index()) refuse_conversion(request);
    report::Converted out;
    out.unit = request.to;
    out.shown = request.to;
    if (std::holds_alternative<Celsius>(one)) {
        const bool fahrenheit = number_of(one) != 1.0;
        out.value = fahrenheit ? number_of(value) * 9.0 / 5.0 + 32.0 : number_of(value);
        out.shown = fahrenheit ? "°F" : "°C";
        out.decimals = 1;
        return out;
    }
    out.value = number_of(value) / number_of(one);
    out.decimals = decimals_of(out.value);
    if (out.unit == "l") out.shown = "L";
    return out;
}

} // namespace lotwort::cli
