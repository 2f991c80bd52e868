// Two worts, a wort and liquor, or two beers run together; and what is missing from what was found.
#include "convert.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/wort/blend.hpp>

namespace lotwort::verbs {

namespace {

constexpr Asked other_volume{Dimension::volume, {0.0, 1e6}, "volume", "L"};
constexpr Asked alcohol_by_mass{Dimension::percent, {0.0, 20.0}, "alcohol by mass", "%"};

// A volume at 20 °C and its strength.
struct Part {
    Uncertain volume_l;
    Uncertain plato;
};

std::array<Uncertain, 4> inputs_of(const Part& a, const Part& b) {
    return {a.volume_l, a.plato, b.volume_l, b.plato};
}

wort::WortVolume wort_of(const Part& part) {
    return {Litres(part.volume_l.value), Plato(part.plato.value)};
}

Part first_part(const ConvertRequest& request, std::vector<std::string>& remarks) {
    return {request.typed(), plato_needed(request, "gravity", "12P", remarks)};
}

Part added_part(const ConvertRequest& request, std::vector<std::string>& remarks) {
    Part part{request.needed("add", other_volume, "10L"), {0.0, 0.0}};
    if (const auto strength = plato_of_option(request, "add-gravity", remarks))
        part.plato = *strength;
    else
        remarks.emplace_back("what is added counts as liquor: --add-gravity 4P");
    return part;
}

report::Converted blended_wort(const ConvertRequest& request) {
    report::Converted out;
    const Part a = first_part(request, out.remarks), b = added_part(request, out.remarks);
    const auto blend = wort::blend(wort_of(a), wort_of(b));
    if (request.to == "l") {
        answer(out,
               carried([](const auto& x) { return wort::blended_volume_l(x[0], x[1] / 100.0, x[2], x[3] / 100.0); },
                       inputs_of(a, b)));
        in_unit(out, "l", "L at 20 °C", 3);
        return out;
    }
    const Uncertain plato = step(
        carried(
            [](const auto& x) { return 100.0 * wort::blended_mass_fraction(x[0], x[1] / 100.0, x[2], x[3] / 100.0); },
            inputs_of(a, b)),
        out.remarks);
    if (!in_gravity_word(out, request, request.to, plato)) refuse_conversion(request);
    out.also.push_back({"volume_l", "volume at 20 °C", blend.wort.volume.value(), std::nullopt, "L", 3});
    return out;
}

// Extract and water of what was found, less what went in.
report::Converted residual(const ConvertRequest& request) {
    report::Converted out;
    const Part a = first_part(request, out.remarks), b = added_part(request, out.remarks);
    const Part found{request.needed("found", other_volume, "29.5L"),
                     plato_needed(request, "found-gravity", "9P", out.remarks)};
    (void)wort::blend_residual(wort_of(a), wort_of(b), wort_of(found));
    const std::array<Uncertain, 6> inputs{found.volume_l, found.plato, a.volume_l, a.plato, b.volume_l, b.plato};
    const auto mass = [](const auto& x, std::size_t i) { return wort::wort_mass_kg(x[i], x[i + 1] / 100.0); };
    const auto extract = [&](const auto& x, std::size_t i) { return mass(x, i) * x[i + 1] / 100.0; };
    answer(out, carried([&](const auto& x) { return extract(x, 0) - extract(x, 2) - extract(x, 4); }, inputs));
    in_unit(out, "kg", "kg of extract more than went in", 3);
    report::Converted water;
    answer(water, carried(
                      [&](const auto& x) {
                          return mass(x, 0) - extract(x, 0) - mass(x, 2) + extract(x, 2) - mass(x, 4) + extract(x, 4);
                      },
                      inputs));
    out.also.push_back({"water_kg", "water more than went in", water.value, water.sd, "kg", 3});
    out.remarks.emplace_back("more water is liquor that nobody recorded; less of both is a loss, or a reading's error");
    return out;
}

report::Converted liquor_for(const ConvertRequest& request) {
    report::Converted out;
    const Part wort = first_part(request, out.remarks);
    const Uncertain to = plato_needed(request, "dilute-to", "10P", out.remarks);
    (void)wort::liquor_for_dilution(wort_of(wort), Plato(to.value));
    answer(out, carried([](const auto& x) { return wort::dilution_liquor_l(x[0], x[1] / 100.0, x[2] / 100.0); },
                        std::array{wort.volume_l, wort.plato, to}));
    in_unit(out, "l", "L of liquor at 20 °C", 3);
    return out;
}

// Two beers, each by its real extract and its alcohol by mass.
template <class X>
auto blended_by_mass(const X& x, std::size_t which) {
    const auto kg = [&](std::size_t i) { return x[i] * wort::beer_density_kg_m3(x[i + 1], x[i + 2]) / 1000.0; };
    return wort::mixed_by_mass(kg(0), x[which], kg(3), x[which + 3]);
}

report::Converted blended_beer(const ConvertRequest& request) {
    report::Converted out;
    const Part a = first_part(request, out.remarks);
    const Part b{request.needed("add", other_volume, "10L"), plato_needed(request, "add-gravity", "4P", out.remarks)};
    const std::array<Uncertain, 6> inputs{a.volume_l, a.plato, request.needed("alcohol", alcohol_by_mass, "4%"),
                                          b.volume_l, b.plato, request.needed("add-alcohol", alcohol_by_mass, "4%")};
    const auto beer = [&](std::size_t i) {
        return wort::BeerVolume{Litres(inputs[i].value), Plato(inputs[i + 1].value), Percent(inputs[i + 2].value)};
    };
    const auto blend = wort::blend(beer(0), beer(3));
    const auto real = [](const auto& x) { return blended_by_mass(x, 1); };
    const auto by_mass = [](const auto& x) { return blended_by_mass(x, 2); };
    if (request.to == "abw") {
        answer(out, carried(by_mass, inputs));
        in_unit(out, "abw", "% by mass", 2);
    } else if (request.to == "abv") {
        answer(out, carried(
                        [&](const auto& x) {
                            const auto alcohol = by_mass(x);
                            return alcohol * wort::beer_density_kg_m3(real(x), alcohol) / wort::ethanol_20c_kg_m3;
                        },
                        inputs));
        in_unit(out, "abv", "% by volume", 2);
    } else if (request.to == "real-extract") {
        answer(out, carried(real, inputs));
        in_unit(out, "plato", "°P real extract", 2);
    } else if (request.to == "apparent-extract") {
        answer(out,
               carried([&](const auto& x) { return wort::tabarie_apparent_extract(real(x), by_mass(x)); }, inputs));
        in_unit(out, "plato", "°P apparent extract", 2);
    } else {
        refuse_conversion(request);
    }
    out.also.push_back({"volume_l", "volume at 20 °C", blend.beer.volume.value(), std::nullopt, "L", 3});
    out.remarks.emplace_back("--gravity and --add-gravity count as the beers' real extracts");
    return out;
}

} // namespace

std::optional<report::Converted> convert_blend(const ConvertRequest& request) {
    if (!request.is<Litres>()) return std::nullopt;
    if (request.to == "liquor") return liquor_for(request);
    if (request.to == "residual") return residual(request);
    if (!request.has("add")) return std::nullopt;
    return request.has("alcohol") ? blended_beer(request) : blended_wort(request);
}

} // namespace lotwort::verbs
