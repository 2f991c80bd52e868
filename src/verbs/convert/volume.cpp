// Litres: hot and cold, off a dip stick, and the extract they hold; water by its warmth, and where it boils.
#include "brewhouse/dip.hpp"
#include "convert.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/verbs/call.hpp>
#include <lotwort/wort/blend.hpp>
#include <lotwort/wort/boiling_point.hpp>
#include <lotwort/wort/refractometer.hpp>
#include <lotwort/wort/volume.hpp>
#include <lotwort/wort/water.hpp>

namespace lotwort::verbs {

namespace {

bool begins_a_number(const std::string& text) {
    return !text.empty() && ((text[0] >= '0' && text[0] <= '9') || text[0] == '-' || text[0] == '.');
}

// Of a volume: --at, or behind its @.
std::optional<Uncertain> volume_at(const ConvertRequest& request) {
    if (const auto at = request.temperature("at")) return at;
    if (!request.value.at) return std::nullopt;
    return Uncertain{request.value.at->value(), 0.0};
}

Uncertain fraction(const Uncertain& plato) {
    return {plato.value / 100.0, plato.sd / 100.0};
}

int litre_decimals(double litres) {
    return litres < 100.0 ? 3 : litres < 1000.0 ? 2 : 1;
}

// --dip 0cm=0L,10cm=5.2L,40cm=24L
std::vector<DipMark> dip_table(const std::string& text) {
    std::vector<DipMark> table;
    try {
        for (std::size_t from = 0; from <= text.size();) {
            const auto comma = std::min(text.find(',', from), text.size());
            table.push_back(parse_dip(text.substr(from, comma - from)));
            from = comma + 1;
        }
    } catch (const Error& fault) {
        throw of_option("dip", fault);
    }
    std::ranges::sort(table, {}, &DipMark::depth);
    demand_rising(table);
    return table;
}

// Straight between the marks, and the end pieces carried on for what an uncertain depth may reach.
template <class Real>
Real litres_at(const std::vector<DipMark>& table, Real depth_cm) {
    std::size_t upper = 1;
    while (upper + 1 < table.size() && table[upper].depth.value() < value_of(depth_cm)) ++upper;
    const DipMark &a = table[upper - 1], &b = table[upper];
    const double litres_per_cm = (b.volume - a.volume).value() / (b.depth - a.depth).value();
    return a.volume.value() + (depth_cm - a.depth.value()) * litres_per_cm;
}

report::Converted by_dip_stick(const ConvertRequest& request) {
    report::Converted out;
    const auto text = request.text("dip");
    if (!text)
        throw Error(ErrorKind::refused, fmt::format("{} is a depth, and no dip table is said", request.given),
                    "add it, such as --dip 0cm=0L,10cm=5.2L,40cm=24L");
    const auto table = dip_table(*text);
    const Uncertain depth = request.typed();
    if (depth.value < table.front().depth.value() || depth.value > table.back().depth.value())
        throw Error(ErrorKind::refused, fmt::format("{} lies outside the dip table", request.given),
                    fmt::format("the table runs from {} to {} cm", shortest(table.front().depth.value()),
                                shortest(table.back().depth.value())));
    answer(out, carried([&](const auto& x) { return litres_at(table, x[0]); }, std::array{depth}));
    in_unit(out, "l", "L", litre_decimals(out.value));
    return out;
}

// Kilograms in a volume: of extract, or of all of it.
report::Converted mass_of_volume(const ConvertRequest& request, bool extract_alone) {
    report::Converted out;
    const Uncertain plato = plato_needed(request, "gravity", "12P", out.remarks);
    const Uncertain at = volume_at(request).value_or(Uncertain{20.0, 0.0});
    const Litres litres(request.typed().value);
    if (!(litres.value() >= 0.0)) refuse_conversion(request);
    (void)wort::extract_mass(litres, Celsius(at.value), Plato(plato.value));
    answer(out, carried(
                    [&](const auto& x) {
                        const auto kg = x[0] * wort::sucrose_density_kg_m3(x[1], x[2]) / 1000.0;
                        return extract_alone ? kg * x[1] : kg;
                    },
                    std::array{request.typed(), fraction(plato), at}));
    in_unit(out, "kg", extract_alone ? "kg of extract" : "kg", 3);
    return out;
}

report::Converted volume_holding(const ConvertRequest& request) {
    report::Converted out;
    const Uncertain plato = plato_needed(request, "gravity", "12P", out.remarks);
    (void)wort::volume_holding(Kilograms(request.typed().value), Plato(plato.value));
    answer(out, carried([](const auto& x) { return 1000.0 * x[0] / (x[1] * wort::sucrose_density_kg_m3(x[1], 20.0)); },
                        std::array{request.typed(), fraction(plato)}));
    in_unit(out, "l", "L at 20 °C hold so much extract", litre_decimals(out.value));
    return out;
}

} // namespace

std::optional<report::Converted> convert_hot_volume(const ConvertRequest& request) {
    if (!begins_a_number(request.to)) return std::nullopt;
    const Celsius to = parse_temperature(request.to, {wort::least_wort_c, wort::most_wort_c});
    if (!request.is<Litres>()) refuse_conversion(request);
    const auto at = volume_at(request);
    if (!at)
        throw Error(ErrorKind::refused, fmt::format("at what temperature are the {}?", request.given),
                    fmt::format("write it behind the volume, such as {}@95C", request.given));
    report::Converted out;
    const Uncertain plato = plato_of_option(request, "gravity", out.remarks).value_or(Uncertain{});
    (void)wort::volume_at(Litres(request.typed().value), Plato(plato.value), Celsius(at->value), to);
    answer(out, carried([&](const auto& x) { return wort::volume_at_l(x[0], x[1], x[2], to.value()); },
                        std::array{request.typed(), fraction(plato), *at}));
    in_unit(out, "l", fmt::format("L at {} °C", shortest(to.value())), litre_decimals(out.value));
    out.at_c = to.value();
    if (!request.has("gravity")) out.remarks.emplace_back("as water; wort differs by less than 0.1 %: --gravity 12P");
    return out;
}

std::optional<report::Converted> convert_volume(const ConvertRequest& request) {
    if (request.is<Centimetres>() && (request.to == "l" || request.has("dip"))) {
        if (request.to != "l") refuse_conversion(request);
        return by_dip_stick(request);
    }
    if (request.is<Litres>() && (request.to == "extract" || request.to == "kg"))
        return request.to == "kg" && !request.has("gravity")
                   ? std::nullopt
                   : std::optional(mass_of_volume(request, request.to == "extract"));
    if (request.is<Kilograms>() && request.to == "l" && request.has("gravity")) return volume_holding(request);
    if (request.is<Brix>() && request.to == "wort-factor") {
        report::Converted out;
        const Uncertain plato = plato_needed(request, "gravity", "11.4P", out.remarks);
        (void)wort::wort_factor_of(Brix(request.typed().value), Plato(plato.value));
        answer(out, carried([](const auto& x) { return x[0] / x[1]; }, std::array{request.typed(), plato}));
        in_unit(out, "brix-per-plato", "°Bx a °P", 3);
        return out;
    }
    return std::nullopt;
}

std::optional<report::Converted> convert_water(const ConvertRequest& request) {
    report::Converted out;
    if (request.is<Celsius>() && request.to == "kg/m3") {
        const Uncertain at = request.typed();
        if (request.from == "aerated") {
            (void)wort::aerated_water_density(Celsius(at.value));
            answer(out, carried([](const auto& x) { return wort::water_tanaka_aerated_kg_m3(x[0]); }, std::array{at}));
        } else {
            (void)wort::water_density(Celsius(at.value));
            answer(out, carried([](const auto& x) { return wort::water_density_kg_m3(x[0]); }, std::array{at}));
        }
        in_unit(out, "kg-per-m3", "kg/m³ of water", 3);
        return out;
    }
    if (request.is<Centimetres>() && request.to == "boiling-point") {
        const Uncertain height{request.typed().value / 100.0, request.typed().sd / 100.0};
        (void)wort::boiling_point(Metres(height.value));
        answer(out, carried([](const auto& x) { return wort::boiling_c(wort::pressure_at_altitude_pa(x[0])); },
                            std::array{height}));
        in_unit(out, "c", "°C", 2);
        out.remarks.emplace_back("weather moves it by 0.3 °C, one standard deviation; wort boils some 0.2 °C hotter");
        return out;
    }
    return std::nullopt;
}

} // namespace lotwort::verbs
