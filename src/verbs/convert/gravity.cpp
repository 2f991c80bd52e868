// Gravities of every kind, on every scale they are read.
#include "convert.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <lotwort/wort/published.hpp>
#include <lotwort/wort/refractometer.hpp>

namespace lotwort::verbs {

namespace {

struct GravityWord {
    std::string_view typed;
    std::string_view unit;
    std::string_view shown;
    int decimals;
};

constexpr std::array<GravityWord, 14> gravity_words{{
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
    {"index", "refractive-index", "refractive index", 5},
    {"mark", "mark", "on the stem", 4},
    {"mark-plato", "mark-plato", "°P on the stem", 2},
}};

Uncertain exactly(double value) {
    return {value, 0.0};
}

// x[0] the reading; by the base that --from names.
Propagated plato_of_number(const Uncertain& reading, const std::string& from) {
    const SpecificGravity gravity(reading.value);
    const auto by = [&](auto fraction) {
        return carried([&](const auto& x) { return 100.0 * fraction(x[0]); }, std::array{reading});
    };
    if (from.empty() || from == "sg") {
        (void)wort::plato(gravity);
        return by([](auto s) { return wort::mass_fraction_of_gravity(s); });
    }
    if (from == "sg-air") {
        (void)wort::plato(ApparentGravity(reading.value));
        return by([](auto s) { return wort::mass_fraction_of_apparent_gravity(s); });
    }
    if (from == "sg-60f") {
        (void)wort::plato(Gravity60F(reading.value));
        return by([](auto s) { return wort::mass_fraction_of_relative_density(s, wort::sixty_fahrenheit_c); });
    }
    if (from == "sg-15c") {
        (void)wort::plato(Gravity15C(reading.value));
        return by([](auto s) { return wort::mass_fraction_of_relative_density(s, 15.0); });
    }
    throw Error(ErrorKind::refused, fmt::format("`{}` is no kind of specific gravity", from),
                "write --from with one of: sg, sg-air, sg-60f, sg-15c");
}

// The stem's own temperature; what a reading's warmth is held against.
double stem_c(const ConvertRequest& request) {
    const Uncertain stem = request.temperature("stem").value_or(exactly(20.0));
    if (stem.sd > 0.0)
        throw Error(ErrorKind::refused, "--stem is what is engraved on the hydrometer, and exact",
                    "leave its ± part out; --read-at takes one");
    return stem.value;
}

std::optional<Uncertain> sample_c(const ConvertRequest& request) {
    if (const auto read_at = request.temperature("read-at")) return read_at;
    if (!request.value.at) return std::nullopt;
    if (!(request.value.at->value() >= 0.0 && request.value.at->value() <= 100.0))
        throw Error(ErrorKind::refused, fmt::format("{} was not read at that temperature", request.given),
                    "from 0 to 100 C is taken");
    return exactly(request.value.at->value());
}

Uncertain plato_under_stem(const ConvertRequest& request, const Uncertain& celsius, bool plato_stem,
                           std::vector<std::string>& remarks) {
    if (!request.from.empty() && request.from != "sg")
        throw Error(ErrorKind::refused, "--from has no part where a stem is read: its base is the stem's temperature",
                    "leave --from out; an older stem says so: --stem 15C, or --stem 60F");
    const double stem = stem_c(request);
    const Uncertain mark = request.typed();
    if (plato_stem)
        (void)wort::plato_from_hydrometer(Plato(mark.value), Celsius(celsius.value), Celsius(stem));
    else
        (void)wort::plato_from_hydrometer(mark.value, Celsius(celsius.value), Celsius(stem));
    const auto floats = [&](const auto& x) {
        return 100.0 * (plato_stem ? wort::mass_fraction_of_plato_mark(x[0], x[1], stem)
                                   : wort::mass_fraction_of_mark(x[0], x[1], stem));
    };
    return step(carried(floats, std::array{mark, celsius}), remarks);
}

Uncertain plato_of_brix(const Uncertain& reading, const Uncertain& factor, std::vector<std::string>& remarks) {
    (void)wort::plato_of_brix(Brix(reading.value), factor.value);
    return step(carried([](const auto& x) { return x[0] / x[1]; }, std::array{reading, factor}), remarks);
}

// What the stem shows in wort of that extract.
Propagated mark_of(const ConvertRequest& request, const Uncertain& fraction, bool plato_stem) {
    const double stem = stem_c(request);
    const Uncertain celsius = sample_c(request).value_or(exactly(stem));
    return carried(
        [&](const auto& x) {
            return plato_stem ? wort::hydrometer_plato_mark_of(x[0], x[1], stem)
                              : wort::hydrometer_mark_of(x[0], x[1], stem);
        },
        std::array{fraction, celsius});
}

Propagated in_words_unit(const ConvertRequest& request, std::string_view unit, const Uncertain& plato,
                         std::vector<std::string>& remarks) {
    const Plato extract(plato.value);
    (void)wort::specific_gravity(extract); // refuses what lies outside
    const Uncertain w{plato.value / 100.0, plato.sd / 100.0};
    const auto by = [&](auto figure) { return carried([&](const auto& x) { return figure(x[0]); }, std::array{w}); };
    if (unit == "sg") return by([](auto f) { return wort::specific_gravity_of(f); });
    if (unit == "sg-air") return by([](auto f) { return wort::apparent_gravity_of(f); });
    if (unit == "sg-60f") return by([](auto f) { return wort::relative_density_of(f, wort::sixty_fahrenheit_c); });
    if (unit == "sg-15c") return by([](auto f) { return wort::relative_density_of(f, 15.0); });
    if (unit == "mark" || unit == "mark-plato") return mark_of(request, w, unit == "mark-plato");
    if (unit == "kg-per-m3")
        return carried([](const auto& x) { return wort::sucrose_density_kg_m3(x[0], x[1]); },
                       std::array{w, request.temperature("at").value_or(exactly(20.0))});
    if (unit == "plato") return by([](auto f) { return 100.0 * f; });
    const Uncertain factor = wort_factor_of(request, remarks);
    const Propagated brix = carried([](const auto& x) { return 100.0 * x[0] * x[1]; }, std::array{w, factor});
    if (unit == "brix") return brix;
    (void)wort::refractive_index(Brix(brix.value));
    return carried([](const auto& x) { return wort::index_of_brix(100.0 * x[0] * x[1]); }, std::array{w, factor});
}

// The published fits beside the answer, each where it holds. They are fits to tables printed in air.
void add_rules(report::Converted& out, const Uncertain& plato) {
    namespace published = wort::published;
    const Plato extract(plato.value);
    const auto add = [&](const char* rule, auto figure) {
        try {
            out.rules.push_back({rule, figure().value()});
        } catch (const Error&) {
            out.remarks.push_back(fmt::format("{}: does not reach so far", rule));
        }
    };
    if (out.unit == "plato") {
        const ApparentGravity in_air = wort::apparent_gravity(extract);
        add("cubic to the ASBC table", [&] { return published::plato_asbc(in_air); });
        add("cubic to NBS C440", [&] { return published::brix_nbs(in_air); });
        add("Lincoln 1987", [&] { return published::plato_lincoln(in_air); });
        add("De Clerck 1957", [&] { return published::plato_de_clerck(in_air); });
        return;
    }
    if (out.unit != "sg-air")
        throw Error(ErrorKind::refused, "--compare has no published rules for " + out.unit,
                    "it goes with --to plato, sg-air, abv and final-gravity, and with Noonan's coarse-as-is");
    add("inverse of the ASBC cubic", [&] { return published::gravity_asbc(extract); });
    add("inverse form", [&] { return published::gravity_inverse_form(extract); });
}

// A refractive index, typed as a bare number with --from index.
bool is_index(const ConvertRequest& request) {
    return request.from == "index" && request.bare();
}

} // namespace

bool is_gravity(const ConvertRequest& request) {
    return request.is<SpecificGravity>() || request.is<Plato>() || request.is<Brix>() ||
           request.is<KilogramsPerCubicMetre>() || is_index(request);
}

Uncertain wort_factor_of(const ConvertRequest& request, std::vector<std::string>& remarks) {
    if (const auto stated = request.number("wort-factor", "wort correction", {0.8, 1.25})) return *stated;
    const std::string taken =
        fmt::format("wort correction taken as {} ± {}: 1 °P reads {} °Bx (--wort-factor 1 for sugar solution)",
                    shortest(wort::typical_wort_factor), shortest(wort::typical_wort_factor_sd),
                    shortest(wort::typical_wort_factor));
    if (std::ranges::find(remarks, taken) == remarks.end()) remarks.push_back(taken);
    return {wort::typical_wort_factor, wort::typical_wort_factor_sd};
}

Uncertain plato_of_value(const ConvertRequest& request, std::vector<std::string>& remarks) {
    const auto celsius = sample_c(request);
    const Uncertain typed = request.typed();
    const bool prism = request.is<Brix>() || is_index(request);
    if (celsius && prism)
        throw Error(ErrorKind::refused, "--read-at is the temperature of a hydrometer's sample",
                    "a refractometer corrects itself: leave it out");
    if (is_index(request)) {
        (void)wort::brix(typed.value);
        const Uncertain brix =
            step(carried([](const auto& x) { return wort::brix_of_index(x[0]); }, std::array{typed}), remarks);
        return plato_of_brix(brix, wort_factor_of(request, remarks), remarks);
    }
    if (request.is<Brix>()) return plato_of_brix(typed, wort_factor_of(request, remarks), remarks);
    if (request.is<SpecificGravity>()) {
        if (!celsius && !request.has("stem")) return step(plato_of_number(typed, request.from), remarks);
        return plato_under_stem(request, celsius.value_or(exactly(stem_c(request))), false, remarks);
    }
    if (request.is<Plato>()) {
        (void)request.text("stem"); // at its own temperature a stem in °P is right as it is
        return celsius ? plato_under_stem(request, *celsius, true, remarks) : typed;
    }
    if (!request.is<KilogramsPerCubicMetre>()) refuse_conversion(request);
    const Uncertain at = celsius.value_or(exactly(20.0));
    (void)wort::plato_of_density(KilogramsPerCubicMetre(typed.value), Celsius(at.value));
    return step(carried([](const auto& x) { return 100.0 * wort::mass_fraction_of_density(x[0], x[1]); },
                        std::array{typed, at}),
                remarks);
}

std::optional<Uncertain> plato_of_option(const ConvertRequest& request, std::string_view option,
                                         std::vector<std::string>& remarks) {
    const auto typed = request.text(option);
    if (!typed) return std::nullopt;
    const TypedValue kind = parse_typed(*typed, Dimension::gravity).value;
    const bool sg = std::holds_alternative<SpecificGravity>(kind), brix = std::holds_alternative<Brix>(kind);
    const Asked asked{Dimension::gravity,
                      sg     ? believable_sg
                      : brix ? believable_brix
                             : believable_plato,
                      "gravity",
                      sg     ? ""
                      : brix ? "Bx"
                             : "P"};
    const Uncertain read = *request.figure(option, asked);
    if (brix) return plato_of_brix(read, wort_factor_of(request, remarks), remarks);
    return sg ? step(plato_of_number(read, "sg"), remarks) : read;
}

Uncertain plato_needed(const ConvertRequest& request, std::string_view option, std::string_view example,
                       std::vector<std::string>& remarks) {
    if (const auto there = plato_of_option(request, option, remarks)) return *there;
    throw Error(ErrorKind::refused, fmt::format("{} to {}: the gravity is not said", request.given, request.to),
                fmt::format("add it, such as --{} {}", option, example));
}

bool in_gravity_word(report::Converted& out, const ConvertRequest& request, std::string_view word,
                     const Uncertain& plato) {
    const auto found = std::ranges::find(gravity_words, word, &GravityWord::typed);
    if (found == gravity_words.end()) return false;
    answer(out, in_words_unit(request, found->unit, plato, out.remarks));
    in_unit(out, found->unit, found->shown, found->decimals);
    return true;
}

std::optional<report::Converted> convert_gravity(const ConvertRequest& request) {
    const bool known = std::ranges::find(gravity_words, request.to, &GravityWord::typed) != gravity_words.end();
    if (!known && request.to != "correction") return std::nullopt;
    if (!is_gravity(request)) return std::nullopt;
    report::Converted out;
    // the prism's own scale: no wort correction comes in
    const bool brix = request.to == "brix" || request.to == "bx" || request.to == "°bx";
    if (is_index(request) && brix) {
        (void)wort::brix(request.typed().value);
        answer(out, carried([](const auto& x) { return wort::brix_of_index(x[0]); }, std::array{request.typed()}));
        in_unit(out, "brix", "°Bx", 2);
        return out;
    }
    if (request.is<Brix>() && brix) {
        answer(out, carried([](const auto& x) { return x[0]; }, std::array{request.typed()}));
        in_unit(out, "brix", "°Bx", 2);
        return out;
    }
    if (request.is<Brix>() && request.to == "index") {
        (void)wort::refractive_index(Brix(request.typed().value));
        answer(out, carried([](const auto& x) { return wort::index_of_brix(x[0]); }, std::array{request.typed()}));
        in_unit(out, "refractive-index", "refractive index", 5);
        return out;
    }
    if (request.to == "correction" && request.is<SpecificGravity>()) {
        (void)plato_of_value(request, out.remarks); // refuses what lies outside
        const double stem = stem_c(request);
        answer(out, carried(
                        [&](const auto& x) {
                            return wort::specific_gravity_of(wort::mass_fraction_of_mark(x[0], x[1], stem)) - x[0];
                        },
                        std::array{request.typed(), sample_c(request).value_or(exactly(stem))}));
        in_unit(out, "sg-difference", "to be added to the mark for SG 20/20", 4);
        return out;
    }
    if (request.to.starts_with("mark") && (request.is<SpecificGravity>() || request.is<Plato>())) {
        // here --read-at is of the sample that is asked about: the value is the wort's own gravity
        const Uncertain plato =
            request.is<Plato>() ? request.typed() : step(plato_of_number(request.typed(), request.from), out.remarks);
        (void)in_gravity_word(out, request, request.to, plato);
        return out;
    }
    const Uncertain plato = plato_of_value(request, out.remarks);
    (void)in_gravity_word(out, request, request.to, plato);
    if (request.text("compare")) add_rules(out, plato);
    return out;
}

} // namespace lotwort::verbs
