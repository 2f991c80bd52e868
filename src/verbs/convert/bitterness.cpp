// Hops in the kettle, the stand and the tank: bitterness and back, and what heat below the boil is worth.
#include "convert.hpp"
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hop_analysis.hpp>
#include <lotwort/wort/isomerisation.hpp>

namespace lotwort::verbs {

namespace {

constexpr Asked altitude{Dimension::length, {-5e4, 6e5}, "altitude", "cm"};

// The temperature whose minutes of boil are counted: 100 °C, or the brewery's own boil.
Uncertain boil_c(const ConvertRequest& request, std::vector<std::string>& remarks) {
    const auto height = request.figure("altitude", altitude);
    if (!height) return {100.0, 0.0};
    const Propagated boil =
        carried([](const auto& x) { return wort::boiling_c(wort::pressure_at_altitude_pa(x[0] / 100.0)); },
                std::array{*height});
    remarks.push_back(fmt::format("in minutes of the boil at {:.1f} °C up there", boil.value));
    return step(boil, remarks);
}

void say_extrapolated(const wort::BoilEquivalent& worth, std::vector<std::string>& remarks) {
    if (worth.extrapolated) remarks.emplace_back("by the kinetics of 90 to 130 °C, carried beyond them");
}

// A course straight between its points. x holds a time and a temperature for each, then the boil.
struct Course {
    std::vector<wort::TimedTemperature> points;
};

double in_unit_of(const std::string& text, Dimension dimension, std::string_view unit) {
    const Typed typed = parse_typed(
        text.find_first_not_of("0123456789.-") == std::string::npos ? text + std::string(unit) : text, dimension);
    if (typed.sd || typed.at)
        throw Error(ErrorKind::refused, fmt::format("`{}`: a point of a course is a time and a temperature", text),
                    "write 0min:100C,10min:80C,30min:20C");
    return std::visit([](const auto& quantity) { return quantity.value(); }, typed.value);
}

Course course_of(const std::string& given) {
    Course course;
    for (std::size_t from = 0; from <= given.size();) {
        const auto comma = std::min(given.find(',', from), given.size());
        const std::string point = given.substr(from, comma - from);
        const auto colon = point.find(':');
        if (colon == std::string::npos)
            throw Error(ErrorKind::refused, fmt::format("`{}` is no point of a temperature course", point),
                        "write 0min:100C,10min:80C,30min:20C");
        course.points.push_back({Minutes(in_unit_of(point.substr(0, colon), Dimension::time, "min")),
                                 Celsius(in_unit_of(point.substr(colon + 1), Dimension::temperature, "C"))});
        from = comma + 1;
    }
    return course;
}

Numbers by_course(const Figure&, const ConvertRequest& request, report::Converted& out) {
    const Course course = course_of(request.given);
    const auto worth = wort::equivalent_boil(course.points, Celsius(boil_c(request, out.remarks).value));
    out.value = worth.minutes.value();
    out.sd = worth.sd.value();
    say_extrapolated(worth, out.remarks);
    return {};
}

// Minutes of boil that a stand is worth, with the kinetics' own part of the uncertainty.
Propagated boil_minutes(const ConvertRequest& request, const Uncertain& minutes, const Uncertain& celsius,
                        std::vector<std::string>& remarks) {
    const Uncertain boil = boil_c(request, remarks);
    const auto worth = wort::equivalent_boil(Minutes(minutes.value), Celsius(celsius.value), Celsius(boil.value));
    say_extrapolated(worth, remarks);
    return with_own(carried([](const auto& x) { return x[0] * wort::isomerisation_ratio(x[1], x[2]); },
                            std::array{minutes, celsius, boil}),
                    worth.sd.value());
}

Numbers by_stand(const Figure&, const ConvertRequest& request, report::Converted& out) {
    const auto stand = request.figure("stand", warmth);
    if (!stand && !request.value.at)
        throw Error(ErrorKind::refused, fmt::format("at what temperature are the {}?", request.given),
                    fmt::format("write it behind the time, such as {}@80C", request.given));
    const Uncertain celsius = stand ? *stand : Uncertain{request.value.at->value(), 0.0};
    answer(out, boil_minutes(request, request.typed(), celsius, out.remarks));
    return {};
}

// Minutes of boil of --boil, or of --stand 30min@80C, or of both together.
Uncertain read_minutes(const Input& input, const ConvertRequest& request, report::Converted& out) {
    const auto stand = request.text("stand");
    if (!stand) return read_plainly(input, request, out);
    const Typed typed = parse_typed(*stand, Dimension::time);
    if (!typed.at)
        throw Error(ErrorKind::refused, fmt::format("--stand `{}`: at what temperature?", *stand),
                    fmt::format("write it behind the time, such as --stand {}@80C", *stand));
    const Uncertain time{std::get<Minutes>(typed.value).value(), typed.sd.value_or(0.0)};
    const Uncertain worth = step(boil_minutes(request, time, {typed.at->value(), 0.0}, out.remarks), out.remarks);
    out.remarks.push_back(fmt::format("the stand counts as {} of boil", with_sd(worth.value, worth.sd, "min", 1)));
    const auto boil = request.figure(input.option, input.asked);
    return boil ? Uncertain{boil->value + worth.value, std::hypot(boil->sd, worth.sd)} : worth;
}

// The wort's gravity while it boils, SG.
Uncertain read_boil_gravity(const Input& input, const ConvertRequest& request, report::Converted& out) {
    const Uncertain plato = read_gravity(input, request, out);
    return step(carried([](const auto& x) { return wort::specific_gravity_of(x[0] / 100.0); }, std::array{plato}),
                out.remarks);
}

bool is_course(const ConvertRequest& request) {
    return request.is_course();
}

constexpr Input alpha = needed("alpha", {Dimension::percent, {0.0, 30.0}, "alpha acid", "%"}, "10%"),
                volume = needed("volume", beer_volume, "20L"),
                minutes{.read = read_minutes,
                        .option = "boil",
                        .asked = {Dimension::time, {0.0, 1440.0}, "time of boil", "min"},
                        .example = "60min, or --stand 30min@80C"},
                gravity{.read = read_boil_gravity, .option = "gravity", .example = "1.048"};

double utilisation(double sg, double boil_minutes) {
    return wort::utilisation(SpecificGravity(sg), Minutes(boil_minutes));
}

constexpr std::string_view curve = "by Tinseth's curve; between brewhouses a fifth may lie";

constexpr Figure table[] = {
    by_words("boil-minutes", is_course, by_course, {"min", "min of boil", 1}),
    by_words("boil-minutes", is_a<Minutes>, by_stand, {"min", "min of boil", 1}),
    figure(
        "utilisation", is_a<Minutes>, {gravity, the_value}, ranges_of<utilisation>, {"pct", "% of the alpha acid", 1},
        [](const auto& x) { return 100.0 * wort::tinseth_utilisation(x[0], x[1]); }, curve),
    figure(
        "ibu", is_a<Kilograms>, {value_times(1000.0), alpha, minutes, gravity, volume},
        [](const Numbers& x) {
            (void)wort::bitterness(Grams(x[0]), Percent(x[1]), utilisation(x[3], x[2]), Litres(x[4]));
        },
        {"ibu", "IBU", 1},
        [](const auto& x) { return wort::bitterness_ibu(x[0], x[1], wort::tinseth_utilisation(x[3], x[2]), x[4]); },
        curve),
    figure(
        "g", is_a<BitternessUnits>, {the_value, alpha, minutes, gravity, volume},
        [](const Numbers& x) {
            (void)wort::hops_for(BitternessUnits(x[0]), Percent(x[1]), utilisation(x[3], x[2]), Litres(x[4]));
        },
        {"g", "g of hops", 1},
        [](const auto& x) { return wort::hops_g(x[0], x[1], wort::tinseth_utilisation(x[3], x[2]), x[4]); }, curve),
    figure("bitterness-ratio", is_a<BitternessUnits>, {the_value, gravity}, ranges_of<wort::bitterness_ratio>,
           {"ibu-per-point", "IBU a gravity point", 2}, [](const auto& x) { return x[0] / (1000.0 * (x[1] - 1.0)); },
           "",
           {.beside = [](const Inputs<Uncertain>&,
                         report::Converted& out) { out.remarks.emplace_back(word(wort::balance_of(out.value))); }}),
    figure("g/l", is_a<Kilograms>, {value_times(1000.0), volume}, ranges_of<wort::dry_hop_rate_g_per_l>,
           {"g-per-l", "g/L", 2}, [](const auto& x) { return x[0] / x[1]; }, "",
           {.beside =
                [](const Inputs<Uncertain>&, report::Converted& out) {
                    out.remarks.push_back(fmt::format("as dry hops: {}", word(wort::dry_hopping_of(out.value))));
                }}),
    figure("ibu --from a275", is_bare, {the_value}, ranges_of<wort::bitterness_of_absorbance>, {"ibu", "IBU", 1},
           [](const auto& x) { return wort::bitterness_units_of_absorbance(x[0]); }),
};

} // namespace

std::span<const Figure> bitterness_figures() {
    return table;
}

} // namespace lotwort::verbs
