// Alcohol, attenuation and extracts: of a beer from its two gravities, or from its extract and its alcohol.
#include "convert.hpp"
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/alcohol_rules.hpp>
#include <lotwort/wort/refractometer.hpp>

namespace lotwort::verbs {

namespace {

// How the beer's apparent extract is known: by a hydrometer, by its attenuation, or by the prism in wort and beer.
enum class KnownBy { final_gravity, attenuation, prism_alone, prism_in_beer };

// The two extracts as functions of what was read, so that what they share is counted once. The inputs are the wort's
// reading and the beer's; the wort factor; and the error, 0 give or take, of the published rule for two prism readings.
struct Fermented {
    KnownBy known_by = KnownBy::final_gravity;
    Inputs<Uncertain> inputs{};
    std::vector<report::ByRule> rules; // for the final gravity
    double spread = 0.0;

    template <class X>
    [[nodiscard]] auto original(const X& x) const {
        using Real = std::decay_t<decltype(x[0])>;
        return known_by == KnownBy::prism_alone ? Real(x[0] / x[2]) : x[0];
    }
    template <class X>
    [[nodiscard]] auto final_gravity(const X& x) const {
        return wort::terrill_cubic(original(x), x[1] / x[2]) + x[3];
    }
    template <class X>
    [[nodiscard]] auto apparent(const X& x) const {
        using Real = std::decay_t<decltype(x[0])>;
        if (known_by == KnownBy::final_gravity) return x[1];
        if (known_by == KnownBy::attenuation) return Real(wort::apparent_extract_after(x[0], x[1] / 100.0));
        return Real(100.0 * wort::mass_fraction_of_gravity(final_gravity(x)));
    }
    [[nodiscard]] bool by_prism() const { return known_by >= KnownBy::prism_alone; }
    [[nodiscard]] Numbers values() const {
        return {inputs[0].value, inputs[1].value, inputs[2].value, inputs[3].value};
    }
};

bool is_brix(const std::string& text) {
    return std::holds_alternative<Brix>(parse_typed(text, Dimension::gravity).value);
}

Fermented by_refractometer(const ConvertRequest& request, std::vector<std::string>& remarks) {
    Fermented beer;
    const bool both = request.is<Brix>();
    beer.known_by = both ? KnownBy::prism_alone : KnownBy::prism_in_beer;
    const Uncertain factor = wort_factor_of(request, remarks);
    const Uncertain wort = both ? request.typed() : plato_of_value(request, remarks);
    const Uncertain read = *request.figure("final", {Dimension::gravity, believable_brix, "gravity", "Bx"});
    const double wort_brix = both ? wort.value : wort.value * factor.value;
    const auto estimate = wort::final_gravity_from_refractometer(Brix(wort_brix), Brix(read.value), factor.value);
    beer.inputs = {wort, read, factor, {0.0, estimate.sd.value()}};
    beer.spread = estimate.spread.value();
    for (const auto& ruled : estimate.rules)
        beer.rules.push_back({std::string(word(ruled.rule)), ruled.gravity.value()});
    return beer;
}

Fermented fermented(const ConvertRequest& request, std::vector<std::string>& remarks) {
    const auto attenuation =
        request.figure("attenuation", {Dimension::percent, {0.0, 110.0}, "apparent attenuation", "%"});
    const auto final = attenuation ? std::nullopt : request.text("final");
    if (final && is_brix(*final)) return by_refractometer(request, remarks);
    if (!attenuation && !final)
        throw Error(ErrorKind::refused, fmt::format("{} follows from two gravities", request.to),
                    "add the final one, such as --final 1.010");
    Fermented beer;
    beer.known_by = attenuation ? KnownBy::attenuation : KnownBy::final_gravity;
    const Uncertain original = plato_of_value(request, remarks);
    beer.inputs = {original, attenuation ? *attenuation : *plato_of_option(request, "final", remarks), {1.0, 0.0}, {}};
    return beer;
}

void say_refracted(report::Converted& out, const Fermented& beer) {
    const Propagated gravity = carried([&](const auto& x) { return beer.final_gravity(x); }, beer.inputs);
    out.remarks.push_back(fmt::format("final gravity {} by two refractometer readings; a hydrometer knows better",
                                      with_sd(gravity.value, gravity.estimate().sd, {}, 4)));
}

// The figure's formula is of the original and the apparent extract, degrees Plato.
Propagated of_two_extracts(const Figure& figure, const Fermented& beer) {
    return carried(
        [&](const auto& x) {
            using Real = std::decay_t<decltype(x[0])>;
            return figure.formula(Inputs<Real>{beer.original(x), beer.apparent(x)});
        },
        beer.inputs);
}

Numbers by_fermentation(const Figure& figure, const ConvertRequest& request, report::Converted& out) {
    const Fermented beer = fermented(request, out.remarks);
    const Numbers extracts{beer.original(beer.values()), beer.apparent(beer.values())};
    if (extracts[1] > extracts[0])
        throw Error(ErrorKind::refused, fmt::format("the final gravity lies above the original, {}", request.given),
                    fmt::format("the original gravity comes first: lotwort convert {} --final {} --to {}",
                                request.text("final").value_or("1.048"), request.given, request.to));
    if (beer.by_prism()) say_refracted(out, beer);
    (void)wort::real_extract(Plato(extracts[0]), Plato(extracts[1])); // refuses what lies outside
    if (figure.demand) figure.demand(extracts);
    answer(out, of_two_extracts(figure, beer));
    if (figure.more.rules && !request.has("compare"))
        out.remarks.emplace_back("by Balling's rule; published rules differ by 2 % of the value (--compare)");
    return extracts;
}

// The final gravity itself; from two refractometer readings with every rule's own.
Numbers by_final_gravity(const Figure& figure, const ConvertRequest& request, report::Converted& out) {
    const Fermented beer = fermented(request, out.remarks);
    const Numbers extracts{beer.original(beer.values()), beer.apparent(beer.values())};
    (void)wort::specific_gravity(Plato(extracts[1]));
    answer(out, of_two_extracts(figure, beer));
    if (!beer.by_prism()) return extracts;
    out.rules = beer.rules; // shown either way
    out.remarks.push_back(fmt::format("the published rules lie {:.4f} apart; a hydrometer knows better", beer.spread));
    return extracts;
}

void demand_attenuation(const Numbers& x) {
    (void)wort::apparent_attenuation(Plato(x[0]), Plato(x[1]));
}

void add_alcohol_rules(const Numbers& x, report::Converted& out) {
    if (out.unit != "abv")
        throw Error(ErrorKind::refused, "--compare has the rules for alcohol by volume", "write --to abv");
    const auto all = wort::compare_alcohol(Plato(x[0]), Plato(x[1]));
    for (const auto& ruled : all.rules) out.rules.push_back({std::string(word(ruled.rule)), ruled.by_volume.value()});
    out.remarks.push_back(fmt::format("by Balling's rule; the rules in use lie {:.1f} % of the value apart, 1917's not "
                                      "counted",
                                      all.spread.value()));
}

void add_original_rules(const Numbers& x, report::Converted& out) {
    const double real = wort::tabarie_real_extract(x[1], x[0]);
    out.rules = {{"Balling 1865", out.value}, {"rule of 1917", wort::original_extract_of_1917(x[0], real)}};
}

// They stand beside the answer of two refractometer readings either way.
void demand_rules(const Numbers&, report::Converted& out) {
    if (out.rules.empty())
        throw Error(ErrorKind::refused, "--compare has the rules for two refractometer readings alone", "leave it out");
}

// The extract of a beer whose alcohol is known.
Uncertain read_beer_extract(const Input& input, const ConvertRequest& request, report::Converted& out) {
    const Uncertain plato = read_extract(input, request, out);
    demand_believable(request.given, plato.value, {Dimension::gravity, {-5.0, 35.0}, "extract of beer", "P"});
    return plato;
}

template <class Real>
Real real_extract(const Real& original, const Real& apparent) {
    return wort::balling_real_extract(original, apparent);
}

constexpr Input alcohol = needed("alcohol", alcohol_by_mass, "4%"), beer_extract{.read = read_beer_extract},
                at{.read = read_plainly,
                   .option = "at",
                   .asked = {Dimension::temperature, {-20.0, 40.0}, "temperature", "C"},
                   .otherwise = Uncertain{20.0, 0.0}};
constexpr std::string_view mixture = "of ethanol and water alone, OIML R 22";

constexpr Figure table[] = {
    // a mixture of ethanol and water
    figure(
        "abv --from abw", is_a<Percent>, {the_value}, ranges_of<wort::alcohol_by_volume_of_mixture>,
        {"abv", "% by volume", 2}, [](const auto& x) { return wort::mixture_volume_pct(x[0]); }, mixture),
    figure(
        "kg/m3 --from abw", is_a<Percent>, {the_value, at}, ranges_of<wort::ethanol_density>, {"kg-per-m3", "kg/m³", 2},
        [](const auto& x) { return wort::ethanol_density_kg_m3(x[0] / 100.0, x[1]); }, mixture),
    // a beer of known alcohol: its other extracts by Tabarie's relation of the densities, its original by Balling
    figure("apparent-extract --alcohol", is_gravity, {alcohol, beer_extract}, {},
           {"plato", "°P apparent extract, by Tabarie's rule", 2},
           [](const auto& x) { return wort::tabarie_apparent_extract(x[1], x[0]); }),
    figure("real-extract --alcohol", is_gravity, {alcohol, beer_extract}, {},
           {"plato", "°P real extract, by Tabarie's rule", 2},
           [](const auto& x) { return wort::tabarie_real_extract(x[1], x[0]); }),
    figure("original-extract", is_gravity, {alcohol, beer_extract}, {}, {"plato", "°P original extract", 2},
           [](const auto& x) { return wort::balling_original_extract(x[0], wort::tabarie_real_extract(x[1], x[0])); },
           "real extract by Tabarie's rule, original extract by Balling's", {.rules = add_original_rules}),
    // a beer of two gravities
    by_words(
        "abv", is_gravity, by_fermentation, {"abv", "% by volume", 2},
        [](const auto& x) { return wort::alcohol_by_volume_pct(x[0], x[1]); }, {}, add_alcohol_rules),
    by_words(
        "abw", is_gravity, by_fermentation, {"abw", "% by mass", 2},
        [](const auto& x) { return wort::balling_alcohol_by_mass(x[0], real_extract(x[0], x[1])); }, {},
        add_alcohol_rules),
    by_words(
        "attenuation", is_gravity, by_fermentation, {"attenuation", "% apparent attenuation", 1},
        [](const auto& x) { return wort::attenuation_pct(x[0], x[1]); }, demand_attenuation),
    by_words(
        "real-attenuation", is_gravity, by_fermentation, {"real-attenuation", "% real attenuation", 1},
        [](const auto& x) { return wort::attenuation_pct(x[0], real_extract(x[0], x[1])); }, demand_attenuation),
    by_words(
        "real-degree", is_gravity, by_fermentation, {"real-degree", "% real degree of fermentation", 1},
        [](const auto& x) { return wort::real_degree_of_fermentation_pct(x[0], real_extract(x[0], x[1])); },
        demand_attenuation),
    by_words("apparent-extract", is_gravity, by_fermentation, {"plato", "°P apparent extract", 2},
             [](const auto& x) { return x[1]; }),
    by_words("real-extract", is_gravity, by_fermentation, {"plato", "°P real extract", 2},
             [](const auto& x) { return real_extract(x[0], x[1]); }),
    by_words(
        "final-gravity", is_gravity, by_final_gravity, {"sg", "SG final gravity", 4},
        [](const auto& x) { return wort::specific_gravity_of(x[1] / 100.0); }, {}, demand_rules),
};

} // namespace

std::span<const Figure> beer_figures() {
    return table;
}

} // namespace lotwort::verbs
