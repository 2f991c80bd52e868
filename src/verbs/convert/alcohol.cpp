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

constexpr std::array<std::string_view, 8> words{"abv",         "abw",          "attenuation",      "real-attenuation",
                                                "real-degree", "real-extract", "apparent-extract", "final-gravity"};

// How the beer's apparent extract is known: by a hydrometer, by its attenuation, or by the prism in wort and beer.
enum class KnownBy { final_gravity, attenuation, prism_alone, prism_in_beer };

// The two extracts as functions of what was read, so that what they share is counted once. The inputs are the wort's
// reading and the beer's; the wort factor; and the error, 0 give or take, of the published rule for two prism readings.
struct Fermented {
    KnownBy known_by = KnownBy::final_gravity;
    std::array<Uncertain, 4> inputs{};
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
    [[nodiscard]] std::array<double, 4> values() const {
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

// The final gravity itself; from two refractometer readings with every rule's own.
report::Converted final_gravity(const ConvertRequest& request) {
    report::Converted out;
    in_unit(out, "sg", "SG final gravity", 4);
    const Fermented beer = fermented(request, out.remarks);
    (void)wort::specific_gravity(Plato(beer.apparent(beer.values())));
    answer(out,
           carried([&](const auto& x) { return wort::specific_gravity_of(beer.apparent(x) / 100.0); }, beer.inputs));
    if (!beer.by_prism()) return out;
    out.rules = beer.rules;
    (void)request.text("compare"); // the rules are shown either way
    out.remarks.push_back(fmt::format("the published rules lie {:.4f} apart; a hydrometer knows better", beer.spread));
    return out;
}

// A figure of the two extracts, both in degrees Plato.
template <class F>
void two_extracts(report::Converted& out, const Fermented& beer, F&& figure) {
    answer(out, carried([&](const auto& x) { return figure(beer.original(x), beer.apparent(x)); }, beer.inputs));
}

void say_refracted(report::Converted& out, const Fermented& beer) {
    if (!beer.by_prism()) return;
    const Propagated gravity = carried([&](const auto& x) { return beer.final_gravity(x); }, beer.inputs);
    out.remarks.push_back(fmt::format("final gravity {} by two refractometer readings; a hydrometer knows better",
                                      with_sd(gravity.value, gravity.estimate().sd, {}, 4)));
}

void compare(const ConvertRequest& request, report::Converted& out, Plato original, Plato apparent) {
    if (!request.text("compare")) {
        out.remarks.emplace_back("by Balling's rule; published rules differ by 2 % of the value (--compare)");
        return;
    }
    if (request.to != "abv")
        throw Error(ErrorKind::refused, "--compare has the rules for alcohol by volume", "write --to abv");
    const auto all = wort::compare_alcohol(original, apparent);
    for (const auto& ruled : all.rules) out.rules.push_back({std::string(word(ruled.rule)), ruled.by_volume.value()});
    out.remarks.push_back(fmt::format("by Balling's rule; the rules in use lie {:.1f} % of the value apart, 1917's not "
                                      "counted",
                                      all.spread.value()));
}

void of_two_extracts(const ConvertRequest& request, report::Converted& out, const Fermented& beer) {
    const Plato oe(beer.original(beer.values())), ae(beer.apparent(beer.values()));
    (void)wort::real_extract(oe, ae); // refuses what lies outside
    in_unit(out, request.to, "%", 2);
    const auto real = [](const auto& o, const auto& a) { return wort::balling_real_extract(o, a); };
    if (request.to == "abv") {
        in_unit(out, "abv", "% by volume", 2);
        two_extracts(out, beer, [](const auto& o, const auto& a) { return wort::alcohol_by_volume_pct(o, a); });
        compare(request, out, oe, ae);
    } else if (request.to == "abw") {
        in_unit(out, "abw", "% by mass", 2);
        two_extracts(out, beer,
                     [&](const auto& o, const auto& a) { return wort::balling_alcohol_by_mass(o, real(o, a)); });
        compare(request, out, oe, ae);
    } else if (request.to == "attenuation") {
        in_unit(out, request.to, "% apparent attenuation", 1);
        (void)wort::apparent_attenuation(oe, ae);
        two_extracts(out, beer, [](const auto& o, const auto& a) { return wort::attenuation_pct(o, a); });
    } else if (request.to == "real-attenuation") {
        in_unit(out, request.to, "% real attenuation", 1);
        (void)wort::apparent_attenuation(oe, ae);
        two_extracts(out, beer, [&](const auto& o, const auto& a) { return wort::attenuation_pct(o, real(o, a)); });
    } else if (request.to == "real-degree") {
        in_unit(out, request.to, "% real degree of fermentation", 1);
        (void)wort::apparent_attenuation(oe, ae);
        two_extracts(out, beer, [&](const auto& o, const auto& a) {
            return wort::real_degree_of_fermentation_pct(o, real(o, a));
        });
    } else if (request.to == "apparent-extract") {
        in_unit(out, "plato", "°P apparent extract", 2);
        two_extracts(out, beer, [](const auto&, const auto& a) { return a; });
    } else {
        in_unit(out, "plato", "°P real extract", 2);
        two_extracts(out, beer, real);
    }
}

} // namespace

std::optional<report::Converted> convert_alcohol(const ConvertRequest& request) {
    if (std::ranges::find(words, request.to) == words.end() || !is_gravity(request) || request.has("alcohol"))
        return std::nullopt;
    if (request.to == "final-gravity") return final_gravity(request);
    report::Converted out;
    const Fermented beer = fermented(request, out.remarks);
    if (beer.apparent(beer.values()) > beer.original(beer.values()))
        throw Error(ErrorKind::refused, fmt::format("the final gravity lies above the original, {}", request.given),
                    fmt::format("the original gravity comes first: lotwort convert {} --final {} --to {}",
                                request.text("final").value_or("1.048"), request.given, request.to));
    say_refracted(out, beer);
    of_two_extracts(request, out, beer);
    return out;
}

namespace {

constexpr Asked alcohol_by_mass{Dimension::percent, {0.0, 20.0}, "alcohol by mass", "%"};

// A mixture of ethanol and water alone: --from abw.
report::Converted of_mixture(const ConvertRequest& request) {
    report::Converted out;
    const Uncertain by_mass = request.typed();
    if (request.to == "abv") {
        (void)wort::alcohol_by_volume_of_mixture(Percent(by_mass.value));
        answer(out, carried([](const auto& x) { return wort::mixture_volume_pct(x[0]); }, std::array{by_mass}));
        in_unit(out, "abv", "% by volume", 2);
    } else {
        const Uncertain at = request.figure("at", {Dimension::temperature, {-20.0, 40.0}, "temperature", "C"})
                                 .value_or(Uncertain{20.0, 0.0});
        (void)wort::ethanol_density(Percent(by_mass.value), Celsius(at.value));
        answer(out, carried([](const auto& x) { return wort::ethanol_density_kg_m3(x[0] / 100.0, x[1]); },
                            std::array{by_mass, at}));
        in_unit(out, "kg-per-m3", "kg/m³", 2);
    }
    out.remarks.emplace_back("of ethanol and water alone, OIML R 22");
    return out;
}

} // namespace

// A beer of known alcohol: its other extracts by Tabarie's relation of the densities, its original one by Balling.
std::optional<report::Converted> convert_beer(const ConvertRequest& request) {
    if (request.is<Percent>() && request.from == "abw" && (request.to == "abv" || request.to == "kg/m3"))
        return of_mixture(request);
    constexpr std::array<std::string_view, 3> beer_words{"real-extract", "apparent-extract", "original-extract"};
    const bool known = std::ranges::find(beer_words, request.to) != beer_words.end();
    if (!known || !is_gravity(request) || (!request.has("alcohol") && request.to != "original-extract"))
        return std::nullopt;
    report::Converted out;
    const Uncertain alcohol = request.needed("alcohol", alcohol_by_mass, "4%");
    const Uncertain extract = plato_of_value(request, out.remarks);
    if (!(extract.value >= -5.0 && extract.value <= 35.0))
        throw Error(ErrorKind::refused, fmt::format("{} is no extract of beer", request.given),
                    "from -5 to 35 °P is taken");
    if (request.to == "apparent-extract") {
        in_unit(out, "plato", "°P apparent extract, by Tabarie's rule", 2);
        answer(out, carried([](const auto& x) { return wort::tabarie_apparent_extract(x[0], x[1]); },
                            std::array{extract, alcohol}));
        return out;
    }
    if (request.to == "real-extract") {
        in_unit(out, "plato", "°P real extract, by Tabarie's rule", 2);
        answer(out, carried([](const auto& x) { return wort::tabarie_real_extract(x[0], x[1]); },
                            std::array{extract, alcohol}));
        return out;
    }
    in_unit(out, "plato", "°P original extract", 2);
    answer(out, carried(
                    [](const auto& x) {
                        return wort::balling_original_extract(x[1], wort::tabarie_real_extract(x[0], x[1]));
                    },
                    std::array{extract, alcohol}));
    out.remarks.emplace_back("real extract by Tabarie's rule, original extract by Balling's");
    if (request.text("compare")) {
        const double real = wort::tabarie_real_extract(extract.value, alcohol.value);
        out.rules = {{"Balling 1865", out.value},
                     {"rule of 1917", wort::original_extract_of_1917(alcohol.value, real)}};
    }
    return out;
}

} // namespace lotwort::verbs
