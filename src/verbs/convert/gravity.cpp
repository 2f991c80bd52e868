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
    const Uncertain stem = request.figure("stem", warmth).value_or(exactly(20.0));
    if (stem.sd > 0.0)
        throw Error(ErrorKind::refused, "--stem is what is engraved on the hydrometer, and exact",
                    "leave its ± part out; --read-at takes one");
    return stem.value;
}

std::optional<Uncertain> sample_c(const ConvertRequest& request) {
    if (const auto read_at = request.figure("read-at", warmth)) return read_at;
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

// The published fits beside the answer, each where it holds. They are fits to tables printed in air.
template <class Rule>
void add_rule(report::Converted& out, const char* name, Rule figure) {
    try {
        out.rules.push_back({name, figure().value()});
    } catch (const Error&) {
        out.remarks.push_back(fmt::format("{}: does not reach so far", name));
    }
}

void add_plato_rules(const Numbers& x, report::Converted& out) {
    const ApparentGravity in_air = wort::apparent_gravity(Plato(x[0]));
    add_rule(out, "cubic to the ASBC table", [&] { return wort::published::plato_asbc(in_air); });
    add_rule(out, "cubic to NBS C440", [&] { return wort::published::brix_nbs(in_air); });
    add_rule(out, "Lincoln 1987", [&] { return wort::published::plato_lincoln(in_air); });
    add_rule(out, "De Clerck 1957", [&] { return wort::published::plato_de_clerck(in_air); });
}

void add_gravity_rules(const Numbers& x, report::Converted& out) {
    add_rule(out, "inverse of the ASBC cubic", [&] { return wort::published::gravity_asbc(Plato(x[0])); });
    add_rule(out, "inverse form", [&] { return wort::published::gravity_inverse_form(Plato(x[0])); });
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

Uncertain read_gravity(const Input& input, const ConvertRequest& request, report::Converted& out) {
    if (const auto there = plato_of_option(request, input.option, out.remarks)) return *there;
    if (input.otherwise) return *input.otherwise;
    throw Error(ErrorKind::refused, fmt::format("{} to {}: the gravity is not said", request.given, request.to),
                fmt::format("add it, such as --{} {}", input.option, input.example));
}

Uncertain read_extract(const Input&, const ConvertRequest& request, report::Converted& out) {
    return plato_of_value(request, out.remarks);
}

namespace {

bool is_wort(const ConvertRequest& request) {
    return is_gravity(request) || is_blended_wort(request);
}

Uncertain read_wort(const Input& input, const ConvertRequest& request, report::Converted& out) {
    return is_blended_wort(request) ? plato_of_blend(request, out) : read_extract(input, request, out);
}

// What a stem is put into: here --read-at is of the sample that is asked about, and the value the wort's own gravity.
Uncertain read_unread_wort(const Input& input, const ConvertRequest& request, report::Converted& out) {
    if (request.is<Plato>()) return request.typed();
    if (request.is<SpecificGravity>()) return step(plato_of_number(request.typed(), request.from), out.remarks);
    return read_wort(input, request, out);
}

Uncertain read_stem(const Input&, const ConvertRequest& request, report::Converted&) {
    return exactly(stem_c(request));
}

Uncertain read_sample(const Input&, const ConvertRequest& request, report::Converted&) {
    return sample_c(request).value_or(exactly(stem_c(request)));
}

Uncertain read_wort_factor(const Input&, const ConvertRequest& request, report::Converted& out) {
    return wort_factor_of(request, out.remarks);
}

void demand_wort(const Numbers& x) {
    (void)wort::specific_gravity(Plato(x[0]));
}

constexpr Input wort_in{.read = read_wort}, unread_wort{.read = read_unread_wort}, stem{.read = read_stem},
    sample{.read = read_sample}, factor{.read = read_wort_factor},
    at{.read = read_plainly, .option = "at", .asked = warmth, .otherwise = Uncertain{20.0, 0.0}};
constexpr Shown on_prism{"brix", "°Bx", 2}, index_of_refraction{"refractive-index", "refractive index", 5};

// The prism's own scale comes first: there no wort correction comes in.
constexpr Figure table[] = {
    figure("brix bx °bx", is_index, {the_value}, ranges_of<wort::brix>, on_prism,
           [](const auto& x) { return wort::brix_of_index(x[0]); }),
    figure("brix bx °bx", is_a<Brix>, {the_value}, {}, on_prism, [](const auto& x) { return x[0]; }),
    figure("index", is_a<Brix>, {the_value}, ranges_of<wort::refractive_index>, index_of_refraction,
           [](const auto& x) { return wort::index_of_brix(x[0]); }),
    // of its inputs the extract is read for its range alone
    figure("correction", is_a<SpecificGravity>, {the_value, sample, stem, the_extract}, {},
           {"sg-difference", "to be added to the mark for SG 20/20", 4},
           [](const auto& x) {
               return wort::specific_gravity_of(wort::mass_fraction_of_mark(x[0], x[1], value_of(x[2]))) - x[0];
           }),
    figure("mark", is_wort, {unread_wort, stem, sample}, demand_wort, {"mark", "on the stem", 4},
           [](const auto& x) { return wort::hydrometer_mark_of(x[0] / 100.0, x[2], value_of(x[1])); }),
    figure("mark-plato", is_wort, {unread_wort, stem, sample}, demand_wort, {"mark-plato", "°P on the stem", 2},
           [](const auto& x) { return wort::hydrometer_plato_mark_of(x[0] / 100.0, x[2], value_of(x[1])); }),
    figure("sg", is_wort, {wort_in}, demand_wort, {"sg", "SG", 4},
           [](const auto& x) { return wort::specific_gravity_of(x[0] / 100.0); }),
    figure("sg-air", is_wort, {wort_in}, demand_wort, {"sg-air", "SG 20/20 as weighed in air", 4},
           [](const auto& x) { return wort::apparent_gravity_of(x[0] / 100.0); }, "", {.rules = add_gravity_rules}),
    figure("sg-60f", is_wort, {wort_in}, demand_wort, {"sg-60f", "SG 60/60 °F", 4},
           [](const auto& x) { return wort::relative_density_of(x[0] / 100.0, wort::sixty_fahrenheit_c); }),
    figure("sg-15c", is_wort, {wort_in}, demand_wort, {"sg-15c", "SG 15/15 °C", 4},
           [](const auto& x) { return wort::relative_density_of(x[0] / 100.0, 15.0); }),
    figure("plato p °p", is_wort, {wort_in}, demand_wort, {"plato", "°P", 2}, [](const auto& x) { return x[0]; }, "",
           {.rules = add_plato_rules}),
    figure("kg/m3", is_wort, {wort_in, at}, demand_wort, {"kg-per-m3", "kg/m³", 2},
           [](const auto& x) { return wort::sucrose_density_kg_m3(x[0] / 100.0, x[1]); }),
    figure("brix bx °bx", is_wort, {wort_in, factor}, demand_wort, on_prism, [](const auto& x) { return x[0] * x[1]; }),
    figure(
        "index", is_wort, {wort_in, factor}, [](const Numbers& x) { (void)wort::refractive_index(Brix(x[0] * x[1])); },
        index_of_refraction, [](const auto& x) { return wort::index_of_brix(x[0] * x[1]); }),
};

} // namespace

std::span<const Figure> gravity_figures() {
    return table;
}

} // namespace lotwort::verbs
