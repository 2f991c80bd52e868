// Two worts, a wort and liquor, or two beers run together; and what is missing from what was found.
#include "convert.hpp"
#include <lotwort/wort/blend.hpp>

namespace lotwort::verbs {

namespace {

constexpr Asked other_volume{Dimension::volume, {0.0, 1e6}, "volume", "L"};
constexpr Input own_gravity = gravity_of("gravity", "12P"), added = needed("add", other_volume, "10L");

// Of what is added; liquor, where it is not said.
Uncertain read_added_gravity(const Input&, const ConvertRequest& request, report::Converted& out) {
    if (const auto strength = plato_of_option(request, "add-gravity", out.remarks)) return *strength;
    out.remarks.emplace_back("what is added counts as liquor: --add-gravity 4P");
    return {};
}

constexpr Inputs<Input> two_worts{the_value, own_gravity, added, Input{.read = read_added_gravity}};

// The volume x[i] of the strength x[i + 1].
wort::WortVolume wort_at(const Numbers& x, std::size_t i) {
    return {Litres(x[i]), Plato(x[i + 1])};
}

void demand_worts(const Numbers& x) {
    (void)wort::blend(wort_at(x, 0), wort_at(x, 2));
}

void say_volume(report::Converted& out, Litres volume) {
    out.also.push_back({"volume_l", "volume at 20 °C", volume.value(), std::nullopt, "L", 3});
}

// Extract and water of what was found, x[4] and x[5], less what went in.
template <class X>
auto extract_kg(const X& x, std::size_t i) {
    return wort::wort_mass_kg(x[i], x[i + 1] / 100.0) * x[i + 1] / 100.0;
}
template <class X>
auto water_kg(const X& x, std::size_t i) {
    return wort::wort_mass_kg(x[i], x[i + 1] / 100.0) - extract_kg(x, i);
}

void say_water(const Inputs<Uncertain>& inputs, report::Converted& out) {
    report::Converted water;
    answer(water, carried([](const auto& x) { return water_kg(x, 4) - water_kg(x, 0) - water_kg(x, 2); }, inputs));
    out.also.push_back({"water_kg", "water more than went in", water.value, water.sd, "kg", 3});
}

// Two beers, each a volume, its real extract and its alcohol by mass.
constexpr Inputs<Input> two_beers{the_value,
                                  own_gravity,
                                  needed("alcohol", alcohol_by_mass, "4%"),
                                  added,
                                  gravity_of("add-gravity", "4P"),
                                  needed("add-alcohol", alcohol_by_mass, "4%")};

template <class X>
auto by_mass(const X& x, std::size_t which) {
    const auto kg = [&](std::size_t i) { return x[i] * wort::beer_density_kg_m3(x[i + 1], x[i + 2]) / 1000.0; };
    return wort::mixed_by_mass(kg(0), x[which], kg(3), x[which + 3]);
}
template <class X>
auto real_extract(const X& x) {
    return by_mass(x, 1);
}
template <class X>
auto alcohol(const X& x) {
    return by_mass(x, 2);
}

void say_beer_volume(const Inputs<Uncertain>& x, report::Converted& out) {
    const auto beer = [&](std::size_t i) {
        return wort::BeerVolume{Litres(x[i].value), Plato(x[i + 1].value), Percent(x[i + 2].value)};
    };
    say_volume(out, wort::blend(beer(0), beer(3)).beer.volume);
}

bool are_two_beers(const ConvertRequest& request) {
    return request.is<Litres>() && request.has("add") && request.has("alcohol");
}

constexpr std::string_view real_extracts = "--gravity and --add-gravity count as the beers' real extracts";

constexpr Figure table[] = {
    figure(
        "liquor", is_a<Litres>, {the_value, own_gravity, gravity_of("dilute-to", "10P")},
        [](const Numbers& x) { (void)wort::liquor_for_dilution(wort_at(x, 0), Plato(x[2])); },
        {"l", "L of liquor at 20 °C", 3},
        [](const auto& x) { return wort::dilution_liquor_l(x[0], x[1] / 100.0, x[2] / 100.0); }),
    figure(
        "residual", is_a<Litres>,
        {two_worts[0], two_worts[1], two_worts[2], two_worts[3], needed("found", other_volume, "29.5L"),
         gravity_of("found-gravity", "9P")},
        [](const Numbers& x) { (void)wort::blend_residual(wort_at(x, 0), wort_at(x, 2), wort_at(x, 4)); },
        {"kg", "kg of extract more than went in", 3},
        [](const auto& x) { return extract_kg(x, 4) - extract_kg(x, 0) - extract_kg(x, 2); },
        "more water is liquor that nobody recorded; less of both is a loss, or a reading's error",
        {.beside = say_water}),
    figure("l", is_blended_wort, two_worts, demand_worts, {"l", "L at 20 °C", 3},
           [](const auto& x) { return wort::blended_volume_l(x[0], x[1] / 100.0, x[2], x[3] / 100.0); }),
    figure("abw", are_two_beers, two_beers, {}, {"abw", "% by mass", 2}, [](const auto& x) { return alcohol(x); },
           real_extracts, {.beside = say_beer_volume}),
    figure("abv", are_two_beers, two_beers, {}, {"abv", "% by volume", 2},
           [](const auto& x) {
               return alcohol(x) * wort::beer_density_kg_m3(real_extract(x), alcohol(x)) / wort::ethanol_20c_kg_m3;
           },
           real_extracts, {.beside = say_beer_volume}),
    figure("real-extract", are_two_beers, two_beers, {}, {"plato", "°P real extract", 2},
           [](const auto& x) { return real_extract(x); }, real_extracts, {.beside = say_beer_volume}),
    figure("apparent-extract", are_two_beers, two_beers, {}, {"plato", "°P apparent extract", 2},
           [](const auto& x) { return wort::tabarie_apparent_extract(real_extract(x), alcohol(x)); }, real_extracts,
           {.beside = say_beer_volume}),
};

} // namespace

bool is_blended_wort(const ConvertRequest& request) {
    return request.is<Litres>() && request.has("add") && !request.has("alcohol");
}

Uncertain plato_of_blend(const ConvertRequest& request, report::Converted& out) {
    Inputs<Uncertain> x{};
    for (std::size_t i = 0; two_worts[i].read; ++i) x[i] = two_worts[i].read(two_worts[i], request, out);
    const auto part = [&](std::size_t i) { return wort::WortVolume{Litres(x[i].value), Plato(x[i + 1].value)}; };
    say_volume(out, wort::blend(part(0), part(2)).wort.volume);
    return step(
        carried(
            [](const auto& v) { return 100.0 * wort::blended_mass_fraction(v[0], v[1] / 100.0, v[2], v[3] / 100.0); },
            x),
        out.remarks);
}

std::span<const Figure> blend_figures() {
    return table;
}

} // namespace lotwort::verbs
