// Litres: hot and cold, off a dip stick, and the extract they hold; water by its warmth, and where it boils.
#include "brewhouse/dip.hpp"
#include "convert.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/verbs/call.hpp>
#include <lotwort/wort/boiling_point.hpp>
#include <lotwort/wort/refractometer.hpp>
#include <lotwort/wort/volume.hpp>
#include <lotwort/wort/water.hpp>

namespace lotwort::verbs {

namespace {

// Of a volume: --at, or behind its @.
Uncertain read_warmth(const Input& input, const ConvertRequest& request, report::Converted&) {
    if (const auto at = request.figure("at", warmth)) return *at;
    if (request.value.at) return {request.value.at->value(), 0.0};
    if (input.otherwise) return *input.otherwise;
    throw Error(ErrorKind::refused, fmt::format("at what temperature are the {}?", request.given),
                fmt::format("write it behind the volume, such as {}@95C", request.given));
}

Uncertain read_litres(const Input&, const ConvertRequest& request, report::Converted&) {
    if (!request.is<Litres>()) refuse_conversion(request);
    return request.typed();
}

// --to 20C
Uncertain read_new_warmth(const Input&, const ConvertRequest& request, report::Converted&) {
    return {parse_temperature(request.to, {wort::least_wort_c, wort::most_wort_c}).value(), 0.0};
}

Uncertain read_gravity_or_water(const Input& input, const ConvertRequest& request, report::Converted& out) {
    if (const auto plato = plato_of_option(request, input.option, out.remarks)) return *plato;
    out.remarks.emplace_back("as water; wort differs by less than 0.1 %: --gravity 12P");
    return {};
}

bool goes_to_warmth(const ConvertRequest& request) {
    return !request.to.empty() && std::string_view("0123456789-.").find(request.to.front()) != std::string_view::npos;
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

Numbers by_dip_stick(const Figure&, const ConvertRequest& request, report::Converted& out) {
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
    return {};
}

void say_warmth(const Inputs<Uncertain>& x, report::Converted& out) {
    out.at_c = x[3].value;
    out.shown = fmt::format("L at {} °C", shortest(x[3].value));
}

constexpr Input at_20c{.read = read_warmth, .otherwise = Uncertain{20.0, 0.0}}, strength = gravity_of("gravity", "12P");

constexpr Figure table[] = {
    figure("", goes_to_warmth, // any temperature
           {Input{.read = read_litres}, Input{.read = read_gravity_or_water, .option = "gravity"},
            Input{.read = read_warmth}, Input{.read = read_new_warmth}},
           ranges_of<wort::volume_at>, {"l", "L", as_litres},
           [](const auto& x) { return wort::volume_at_l(x[0], x[1] / 100.0, x[2], x[3]); }, "", {.beside = say_warmth}),
    by_words("l", is_a<Centimetres>, by_dip_stick, {"l", "L", as_litres}),
    figure("extract", is_a<Litres>, {the_value, at_20c, strength}, ranges_of<wort::extract_mass>,
           {"kg", "kg of extract", 3}, [](const auto& x) { return wort::extract_mass_kg(x[0], x[2] / 100.0, x[1]); }),
    figure("kg --gravity", is_a<Litres>, {the_value, at_20c, strength}, ranges_of<wort::extract_mass>, {"kg", "kg", 3},
           [](const auto& x) { return x[0] * wort::sucrose_density_kg_m3(x[2] / 100.0, x[1]) / 1000.0; }),
    figure("l --gravity", is_a<Kilograms>, {the_value, strength}, ranges_of<wort::volume_holding>,
           {"l", "L at 20 °C hold so much extract", as_litres},
           [](const auto& x) { return x[0] / wort::extract_mass_kg(1.0, x[1] / 100.0, 20.0); }),
    figure("wort-factor", is_a<Brix>, {the_value, gravity_of("gravity", "11.4P")}, ranges_of<wort::wort_factor_of>,
           {"brix-per-plato", "°Bx a °P", 3}, [](const auto& x) { return x[0] / x[1]; }),
    figure("kg/m3 --from aerated", is_a<Celsius>, {the_value}, ranges_of<wort::aerated_water_density>,
           {"kg-per-m3", "kg/m³ of water", 3}, [](const auto& x) { return wort::water_tanaka_aerated_kg_m3(x[0]); }),
    figure("kg/m3", is_a<Celsius>, {the_value}, ranges_of<wort::water_density>, {"kg-per-m3", "kg/m³ of water", 3},
           [](const auto& x) { return wort::water_density_kg_m3(x[0]); }),
    figure(
        "boiling-point", is_a<Centimetres>, {value_times(0.01)}, ranges_of<wort::boiling_point>, {"c", "°C", 2},
        [](const auto& x) { return wort::boiling_c(wort::pressure_at_altitude_pa(x[0])); },
        "weather moves it by 0.3 °C, one standard deviation; wort boils some 0.2 °C hotter"),
};

} // namespace

std::span<const Figure> volume_figures() {
    return table;
}

} // namespace lotwort::verbs
