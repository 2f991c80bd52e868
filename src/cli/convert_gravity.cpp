// Gravities of every kind, and what follows from two of them.
#include "convert.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <lotwort/wort/refractometer.hpp>

namespace lotwort::cli {

namespace {

struct GravityWord {
    std::string_view typed;
    std::string_view unit;
    std::string_view shown;
    int decimals;
};

constexpr std::array<GravityWord, 11> gravity_words{{
    {"sg", "sg", "SG", 4},
    {"sg-air", "sg-air", "SG 20/20 as weighed in air", 4},
    {"sg-60f", "sg-60f", "SG 60/60 °F", 4},
    {"sg-15c", "sg-15c", "SG 15/15 °C", 4},
    {"plato", "plato", "°P", 2},
    {"p", "plato", "°P", 2},
    {"°p", "plato", "°P", 2},
    {"brix", "brix", "°Bx", 2},
    {"bx", "brix", "°Bx", 2},
    {"°bx", "brix", "°Bx", 2},
    {"kg/m3", "kg-per-m3", "kg/m³", 2},
}};

double wort_factor_of(const ConvertRequest& request, std::vector<std::string>& remarks) {
    if (request.wort_factor) return *request.wort_factor;
    const double factor = wort::typical_wort_factor;
    remarks.push_back(fmt::format("wort correction taken as {}: 1 °P reads {} °Bx (--wort-factor 1 for sugar solution)",
                                  shortest(factor), shortest(factor)));
    return factor;
}

// A bare number by the base that --from names.
Plato plato_of_number(double gravity, const std::string& from) {
    if (from == "sg") return wort::plato(SpecificGravity(gravity));
    if (from == "sg-air") return wort::plato(ApparentGravity(gravity));
    if (from == "sg-60f") return wort::plato(Gravity60F(gravity));
    if (from == "sg-15c") return wort::plato(Gravity15C(gravity));
    throw Error(ErrorKind::refused, fmt::format("`{}` is no kind of specific gravity", from),
                "write --from with one of: sg, sg-air, sg-60f, sg-15c");
}

double in_words_unit(const ConvertRequest& request, std::string_view unit, Plato extract,
                     std::vector<std::string>& remarks) {
    if (unit == "sg") return wort::specific_gravity(extract).value();
    if (unit == "sg-air") return wort::apparent_gravity(extract).value();
    if (unit == "sg-60f") return wort::gravity_60f(extract).value();
    if (unit == "sg-15c") return wort::gravity_15c(extract).value();
    if (unit == "brix") return extract.value() * wort_factor_of(request, remarks);
    if (unit == "kg-per-m3") return wort::wort_density(extract, request.at.value_or(Celsius(20.0))).value();
    return extract.value();
}

// Of the beer. Two refractometer readings give it too, as an estimate: alcohol bends light.
Plato apparent_extract(const ConvertRequest& request, Plato original, std::vector<std::string>& remarks) {
    const auto* beer = std::get_if<Brix>(&*request.final_gravity);
    if (beer == nullptr) return plato_of(*request.final_gravity, 1.0);
    const double factor = request.wort_factor.value_or(wort::typical_wort_factor);
    const auto estimate = wort::final_gravity_from_refractometer(wort::brix_of_plato(original, factor), *beer, factor);
    remarks.push_back(fmt::format("final gravity {} by two refractometer readings; a hydrometer knows better",
                                  with_sd(estimate.gravity.value(), estimate.sd.value(), {}, 4)));
    return wort::plato(estimate.gravity);
}

bool is_gravity(const TypedValue& value) {
    return std::holds_alternative<SpecificGravity>(value) || std::holds_alternative<Plato>(value) ||
           std::holds_alternative<Brix>(value) || std::holds_alternative<KilogramsPerCubicMetre>(value);
}

} // namespace

Plato plato_of(const TypedGravity& gravity, double wort_factor) {
    if (const auto* sg = std::get_if<SpecificGravity>(&gravity)) return wort::plato(*sg);
    if (const auto* plato = std::get_if<Plato>(&gravity)) return *plato;
    return Plato(std::get<Brix>(gravity).value() / wort_factor);
}

Plato plato_of(const ConvertRequest& request, std::vector<std::string>& remarks) {
    const auto read_at = request.read_at ? request.read_at : request.value.at;
    const auto& value = request.value.value;
    const bool by_glass = std::holds_alternative<SpecificGravity>(value) || std::holds_alternative<Plato>(value);
    if (read_at && !by_glass && !std::holds_alternative<KilogramsPerCubicMetre>(value))
        throw Error(ErrorKind::refused, "--read-at is the temperature of a hydrometer's sample",
                    "a refractometer corrects itself: leave it out");
    const Celsius stem = request.stem.value_or(Celsius(20.0));
    if (const auto* mark = std::get_if<SpecificGravity>(&value)) {
        if (!read_at && !request.stem) return plato_of_number(mark->value(), request.from);
        return wort::plato_from_hydrometer(mark->value(), read_at.value_or(stem), stem);
    }
    if (const auto* mark = std::get_if<Plato>(&value))
        return read_at ? wort::plato_from_hydrometer(*mark, *read_at, stem) : *mark;
    if (const auto* brix = std::get_if<Brix>(&value)) return Plato(brix->value() / wort_factor_of(request, remarks));
    if (const auto* density = std::get_if<KilogramsPerCubicMetre>(&value))
        return wort::plato_of_density(*density, read_at.value_or(Celsius(20.0)));
    refuse_conversion(request);
}

std::optional<report::Converted> convert_gravity(const ConvertRequest& request) {
    const auto word = std::ranges::find(gravity_words, request.to, &GravityWord::typed);
    if (word == gravity_words.end()) return std::nullopt;
    if (!is_gravity(request.value.value)) refuse_conversion(request);
    report::Converted out;
    const Plato extract = plato_of(request, out.remarks);
    out.value = in_words_unit(request, word->unit, extract, out.remarks);
    out.unit = word->unit;
    out.shown = word->shown;
    out.decimals = word->decimals;
    return out;
}

std::optional<report::Converted> convert_alcohol(const ConvertRequest& request) {
    constexpr std::array<std::string_view, 4> words{"abv", "abw", "attenuation", "real-extract"};
    if (std::ranges::find(words, request.to) == words.end()) return std::nullopt;
    if (!request.final_gravity)
        throw Error(ErrorKind::refused, fmt::format("{} follows from two gravities", request.to),
                    "add the final one: lotwort convert 1.048 --final 1.010 --to " + request.to);
    report::Converted out;
    const Plato original = plato_of(request, out.remarks);
    const Plato apparent = apparent_extract(request, original, out.remarks);
    if (apparent > original)
        throw Error(ErrorKind::refused, fmt::format("the final gravity lies above the original, {}", request.given),
                    "the original gravity comes first: lotwort convert 1.048 --final 1.010 --to " + request.to);
    out.unit = request.to;
    out.shown = "%";
    if (request.to == "abv") {
        out.value = wort::alcohol_by_volume(original, apparent).value();
        out.shown = "% by volume";
        out.remarks.emplace_back("by Balling's rule; published rules differ by 2 % of the value");
    } else if (request.to == "abw") {
        out.value = wort::alcohol_by_mass(original, apparent).value();
        out.shown = "% by mass";
        out.remarks.emplace_back("by Balling's rule; published rules differ by 2 % of the value");
    } else if (request.to == "attenuation") {
        out.value = wort::apparent_attenuation(original, apparent).value();
        out.decimals = 1;
        out.shown = "% apparent attenuation";
    } else {
        out.value = wort::real_extract(original, apparent).value();
        out.unit = "plato";
        out.shown = "°P real extract";
    }
    return out;
}

} // namespace lotwort::cli
