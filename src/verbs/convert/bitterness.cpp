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

constexpr Asked alpha_acid{Dimension::percent, {0.0, 30.0}, "alpha acid", "%"};
constexpr Asked beer_volume{Dimension::volume, {1e-3, 1e6}, "volume", "L"};
constexpr Asked boil_time{Dimension::time, {0.0, 1440.0}, "time of boil", "min"};
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

report::Converted boil_equivalent(const ConvertRequest& request) {
    report::Converted out;
    in_unit(out, "min", "min of boil", 1);
    if (request.is_course()) {
        const Course course = course_of(request.given);
        const auto worth = wort::equivalent_boil(course.points, Celsius(boil_c(request, out.remarks).value));
        out.value = worth.minutes.value();
        out.sd = worth.sd.value();
        say_extrapolated(worth, out.remarks);
        return out;
    }
    const auto stand = request.temperature("stand");
    if (!stand && !request.value.at)
        throw Error(ErrorKind::refused, fmt::format("at what temperature are the {}?", request.given),
                    fmt::format("write it behind the time, such as {}@80C", request.given));
    const Uncertain celsius = stand ? *stand : Uncertain{request.value.at->value(), 0.0};
    answer(out, boil_minutes_of_stand(request, request.typed(), celsius, out.remarks));
    return out;
}

// Minutes of boil of --boil, or of --stand 30min@80C, or of both together.
Uncertain minutes_needed(const ConvertRequest& request, std::vector<std::string>& remarks) {
    const auto stand = request.text("stand");
    if (!stand) return request.needed("boil", boil_time, "60min, or --stand 30min@80C");
    const Typed typed = parse_typed(*stand, Dimension::time);
    if (!typed.at)
        throw Error(ErrorKind::refused, fmt::format("--stand `{}`: at what temperature?", *stand),
                    fmt::format("write it behind the time, such as --stand {}@80C", *stand));
    const Uncertain time{std::get<Minutes>(typed.value).value(), typed.sd.value_or(0.0)};
    const Uncertain worth = step(boil_minutes_of_stand(request, time, {typed.at->value(), 0.0}, remarks), remarks);
    remarks.push_back(fmt::format("the stand counts as {} of boil", with_sd(worth.value, worth.sd, "min", 1)));
    const auto boil = request.figure("boil", boil_time);
    return boil ? Uncertain{boil->value + worth.value, std::hypot(boil->sd, worth.sd)} : worth;
}

// The wort's gravity while it boils, SG.
Uncertain boil_gravity(const ConvertRequest& request, std::vector<std::string>& remarks) {
    const Uncertain plato = plato_needed(request, "gravity", "1.048", remarks);
    return step(carried([](const auto& x) { return wort::specific_gravity_of(x[0] / 100.0); }, std::array{plato}),
                remarks);
}

void say_curve(report::Converted& out) {
    out.remarks.emplace_back("by Tinseth's curve; between brewhouses a fifth may lie");
}

report::Converted utilisation(const ConvertRequest& request) {
    report::Converted out;
    const Uncertain gravity = boil_gravity(request, out.remarks), minutes = request.typed();
    (void)wort::utilisation(SpecificGravity(gravity.value), Minutes(minutes.value));
    answer(out, carried([](const auto& x) { return 100.0 * wort::tinseth_utilisation(x[0], x[1]); },
                        std::array{gravity, minutes}));
    in_unit(out, "pct", "% of the alpha acid", 1);
    say_curve(out);
    return out;
}

// The value is a mass of hops (to ibu) or a bitterness (to a mass).
report::Converted hops_and_bitterness(const ConvertRequest& request) {
    report::Converted out;
    const bool to_ibu = request.to == "ibu";
    Uncertain value = request.typed();
    if (to_ibu) value = {1000.0 * value.value, 1000.0 * value.sd};
    const Uncertain alpha = request.needed("alpha", alpha_acid, "10%");
    const Uncertain minutes = minutes_needed(request, out.remarks), gravity = boil_gravity(request, out.remarks);
    const Uncertain litres = request.needed("volume", beer_volume, "20L");
    const double u = wort::utilisation(SpecificGravity(gravity.value), Minutes(minutes.value));
    const std::array<Uncertain, 5> inputs{value, alpha, gravity, minutes, litres};
    if (to_ibu) {
        (void)wort::bitterness(Grams(value.value), Percent(alpha.value), u, Litres(litres.value));
        answer(out, carried(
                        [](const auto& x) {
                            return wort::bitterness_ibu(x[0], x[1], wort::tinseth_utilisation(x[2], x[3]), x[4]);
                        },
                        inputs));
        in_unit(out, "ibu", "IBU", 1);
    } else {
        (void)wort::hops_for(BitternessUnits(value.value), Percent(alpha.value), u, Litres(litres.value));
        answer(
            out,
            carried([](const auto& x) { return wort::hops_g(x[0], x[1], wort::tinseth_utilisation(x[2], x[3]), x[4]); },
                    inputs));
        in_unit(out, "g", "g of hops", 1);
    }
    say_curve(out);
    return out;
}

report::Converted balance(const ConvertRequest& request) {
    report::Converted out;
    const Uncertain units = request.typed(), gravity = boil_gravity(request, out.remarks);
    const double ratio = wort::bitterness_ratio(BitternessUnits(units.value), SpecificGravity(gravity.value));
    answer(out, carried([](const auto& x) { return x[0] / (1000.0 * (x[1] - 1.0)); }, std::array{units, gravity}));
    in_unit(out, "ibu-per-point", "IBU a gravity point", 2);
    out.remarks.emplace_back(word(wort::balance_of(ratio)));
    return out;
}

report::Converted dry_hopping(const ConvertRequest& request) {
    report::Converted out;
    const Uncertain kilograms = request.typed(), litres = request.needed("volume", beer_volume, "20L");
    const double rate = wort::dry_hop_rate_g_per_l(Grams(1000.0 * kilograms.value), Litres(litres.value));
    answer(out, carried([](const auto& x) { return 1000.0 * x[0] / x[1]; }, std::array{kilograms, litres}));
    in_unit(out, "g-per-l", "g/L", 2);
    out.remarks.push_back(fmt::format("as dry hops: {}", word(wort::dry_hopping_of(rate))));
    return out;
}

} // namespace

Propagated boil_minutes_of_stand(const ConvertRequest& request, const Uncertain& minutes, const Uncertain& celsius,
                                 std::vector<std::string>& remarks) {
    const Uncertain boil = boil_c(request, remarks);
    const auto worth = wort::equivalent_boil(Minutes(minutes.value), Celsius(celsius.value), Celsius(boil.value));
    say_extrapolated(worth, remarks);
    return with_own(carried([](const auto& x) { return x[0] * wort::isomerisation_ratio(x[1], x[2]); },
                            std::array{minutes, celsius, boil}),
                    worth.sd.value()); // the kinetics' own part
}

std::optional<report::Converted> convert_course(const ConvertRequest& request) {
    if (request.to == "boil-minutes" && (request.is_course() || request.is<Minutes>())) return boil_equivalent(request);
    if (request.is_course())
        throw Error(ErrorKind::refused, fmt::format("{} does not turn into {}", request.given, request.to),
                    "a course of temperatures goes to boil-minutes");
    return std::nullopt;
}

std::optional<report::Converted> convert_bitterness(const ConvertRequest& request) {
    if (request.to == "utilisation" && request.is<Minutes>()) return utilisation(request);
    if (request.to == "ibu" && request.is<Kilograms>()) return hops_and_bitterness(request);
    if (request.to == "g" && request.is<BitternessUnits>()) return hops_and_bitterness(request);
    if (request.to == "bitterness-ratio" && request.is<BitternessUnits>()) return balance(request);
    if (request.to == "g/l" && request.is<Kilograms>()) return dry_hopping(request);
    if (request.to == "ibu" && request.from == "a275" && request.bare()) {
        report::Converted out;
        const Uncertain absorbance = *request.bare();
        (void)wort::bitterness_of_absorbance(absorbance.value);
        answer(out, carried([](const auto& x) { return wort::bitterness_units_of_absorbance(x[0]); },
                            std::array{absorbance}));
        in_unit(out, "ibu", "IBU", 1);
        return out;
    }
    return std::nullopt;
}

} // namespace lotwort::verbs
