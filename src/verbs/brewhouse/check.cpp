// An instrument held against something known: what it should have shown, and what it did.
#include "brewhouse.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/mash_grist.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/wort/boiling_point.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <lotwort/wort/refractometer.hpp>
#include <lotwort/wort/water.hpp>

namespace lotwort::verbs {

namespace {

struct Known {
    double value = 0.0, sd = 0.0;
};

bool is_of_gravity(InstrumentKind kind) {
    return kind == InstrumentKind::hydrometer || kind == InstrumentKind::refractometer ||
           kind == InstrumentKind::density_meter;
}

std::string_view example_of(InstrumentKind kind) {
    switch (kind) {
    case InstrumentKind::thermometer:
        return "--known ice --read 0.4C";
    case InstrumentKind::volume_marks:
        return "--known 20kg --read 20.3L@15C";
    case InstrumentKind::balance:
        return "--known 5kg --read 5.02kg";
    case InstrumentKind::refractometer:
        return "--known 10% --read 10.2Bx";
    default:
        return "--known 10% --read 1.041@20C";
    }
}

std::string_view about_known(InstrumentKind kind) {
    switch (kind) {
    case InstrumentKind::thermometer:
        return "ice, boil, or what another thermometer shows";
    case InstrumentKind::volume_marks:
        return "the weight of the water in it, or its litres";
    case InstrumentKind::balance:
        return "a weight";
    default:
        return "water, or 10%: 100 g of table sugar made up to 1 kg with water";
    }
}

std::string hint_of(const Instrument& instrument) {
    return fmt::format("--known is {}\nwrite such as: lotwort brewhouse check {} {}", about_known(instrument.kind),
                       shell_word(instrument.name), example_of(instrument.kind));
}

[[noreturn]] void refuse_known(const Instrument& instrument, const std::string& text) {
    throw Error(
        ErrorKind::refused,
        fmt::format("`{}` is nothing to hold {} of kind {} against", text, instrument.name, word(instrument.kind)),
        hint_of(instrument));
}

[[noreturn]] void refuse_read(const Instrument& instrument, const std::string& text) {
    throw Error(ErrorKind::refused,
                fmt::format("`{}` is no reading of {}, whose scale is in {}", text, instrument.name, *instrument.unit),
                hint_of(instrument));
}

// What a sugar solution shows on its scale.
double mark_of(const Instrument& instrument, Plato extract, Celsius at) {
    const double fraction = extract.value() / 100.0, right_at = instrument.calibration.value_or(Celsius(20.0)).value();
    if (instrument.kind == InstrumentKind::refractometer) return extract.value(); // Brix is of table sugar
    if (instrument.kind == InstrumentKind::density_meter)
        return instrument.unit == "plato" ? extract.value() : wort::specific_gravity(extract).value();
    return instrument.unit == "plato" ? value_of(wort::hydrometer_plato_mark_of(fraction, at.value(), right_at))
                                      : value_of(wort::hydrometer_mark_of(fraction, at.value(), right_at));
}

// The uncertainty of a solution weighed out with care, as sugar: 0.05 in a hundred; common practice.
constexpr double solution_sd_plato = 0.05;

Known known_solution(const Instrument& instrument, const std::string& text, Celsius at) {
    Plato extract(0.0);
    double sd = 0.01; // of clean water
    if (text != "water") {
        const Typed typed = parse_typed(text);
        if (typed.at) refuse_known(instrument, text);
        if (const auto* sugar = std::get_if<Percent>(&typed.value))
            extract = Plato(sugar->value());
        else if (const auto* plato = std::get_if<Plato>(&typed.value))
            extract = *plato;
        else if (const auto* brix = std::get_if<Brix>(&typed.value))
            extract = Plato(brix->value());
        else if (const auto* gravity = std::get_if<SpecificGravity>(&typed.value))
            extract = wort::plato(*gravity);
        else
            refuse_known(instrument, text);
        if (extract.value() < 0.0 || extract.value() > 30.0) refuse_known(instrument, text);
        const bool of_gravity = std::holds_alternative<SpecificGravity>(typed.value);
        sd = typed.sd ? *typed.sd * (of_gravity ? 250.0 : 1.0) : solution_sd_plato;
    }
    const double mark = mark_of(instrument, extract, at);
    return {mark, std::abs(mark_of(instrument, Plato(extract.value() + 1.0), at) - mark) * sd};
}

Known known_temperature(const Instrument& instrument, const std::string& text, const Book& book) {
    if (text == "ice") return {0.0, 0.1};
    if (text == "boil") { // the weather moves it by 0.3 (wort/boiling_point.hpp)
        std::optional<Metres> altitude;
        for (const auto& brewhouse : book.brewhouses) altitude = brewhouse.altitude;
        return {wort::boiling_point(altitude.value_or(Metres(0.0))).value(), altitude ? 0.3 : 1.0};
    }
    const Typed typed = parse_typed(text);
    const auto* at = std::get_if<Celsius>(&typed.value);
    if (at == nullptr || typed.at) refuse_known(instrument, text);
    return {at->value(), typed.sd.value_or(0.2)};
}

// Water by its weight in air, or litres of another vessel; in the scale's unit.
Known known_volume(const Instrument& instrument, const std::string& text, Celsius at) {
    const Typed typed = parse_typed(text);
    if (instrument.unit == "cm") {
        const auto* depth = std::get_if<Centimetres>(&typed.value);
        if (depth == nullptr || typed.at) refuse_known(instrument, text);
        return {depth->value(), typed.sd.value_or(0.2)};
    }
    if (const auto* mass = std::get_if<Kilograms>(&typed.value); mass != nullptr && !typed.at) {
        constexpr double buoyancy = 1.00105; // weighed in air against brass: common practice
        const double litres = mass->value() * buoyancy / wort::water_density(at).value() * 1000.0;
        return {litres, typed.sd ? *typed.sd : 0.002 * litres};
    }
    if (const auto* litres = std::get_if<Litres>(&typed.value); litres != nullptr && !typed.at)
        return {litres->value(), typed.sd.value_or(0.01 * litres->value())};
    refuse_known(instrument, text);
}

Known known_mass(const Instrument& instrument, const std::string& text) {
    const Typed typed = parse_typed(text);
    const auto* mass = std::get_if<Kilograms>(&typed.value);
    if (mass == nullptr || typed.at) refuse_known(instrument, text);
    const double in_unit = instrument.unit == "g" ? 1000.0 : 1.0;
    return {mass->value() * in_unit, typed.sd.value_or(0.001 * mass->value()) * in_unit};
}

std::string unit_words(const Instrument& instrument) {
    if (instrument.unit == "sg") return "";
    if (instrument.unit == "c") return " °C";
    if (instrument.unit == "l") return " L";
    if (instrument.unit == "plato") return " °P";
    if (instrument.unit == "brix") return " °Bx";
    return " " + *instrument.unit;
}

// A reading in the scale's own unit, and the temperature it was read at.
std::pair<double, Celsius> read_as(const Instrument& instrument, const std::string& text) {
    const Typed typed = parse_typed(text);
    const Celsius at = typed.at.value_or(instrument.calibration.value_or(Celsius(20.0)));
    if (typed.sd) refuse_read(instrument, text);
    const auto as = [&]<class Quantity>(double times) -> std::pair<double, Celsius> {
        const auto* value = std::get_if<Quantity>(&typed.value);
        if (value == nullptr) refuse_read(instrument, text);
        return {value->value() * times, at};
    };
    const std::string& unit = *instrument.unit;
    if (unit == "sg") return as.operator()<SpecificGravity>(1.0);
    if (unit == "plato") return as.operator()<Plato>(1.0);
    if (unit == "brix") return as.operator()<Brix>(1.0);
    if (unit == "l") return as.operator()<Litres>(1.0);
    if (unit == "cm") return as.operator()<Centimetres>(1.0);
    if (unit == "c") return as.operator()<Celsius>(1.0);
    return as.operator()<Kilograms>(unit == "g" ? 1000.0 : 1.0);
}

constexpr bool is_word(std::string_view text) {
    return text == "water" || text == "ice" || text == "boil";
}

Known known_of(const Instrument& instrument, const std::string& text, Celsius at, const Book& book) {
    const bool is_of_heat = instrument.kind == InstrumentKind::thermometer;
    const bool fits = text == "water" ? is_of_gravity(instrument.kind) : is_of_heat;
    if (is_word(text) && !fits) refuse_known(instrument, text);
    if (is_of_gravity(instrument.kind)) return known_solution(instrument, text, at);
    if (instrument.kind == InstrumentKind::thermometer) return known_temperature(instrument, text, book);
    if (instrument.kind == InstrumentKind::volume_marks) return known_volume(instrument, text, at);
    return known_mass(instrument, text);
}

const Instrument& known_instrument(const Book& book, const std::string& name) {
    const auto found = std::ranges::find(book.instruments, name, &Instrument::name);
    if (found != book.instruments.end()) return *found;
    std::string names;
    for (const Instrument& one : book.instruments) names += (names.empty() ? "" : ", ") + one.name;
    throw Error(ErrorKind::refused, fmt::format("there is no instrument `{}`", name),
                (names.empty() ? std::string("the ledger holds none yet") : "there is: " + names) +
                    fmt::format("\nnew: lotwort brewhouse instrument {} --kind hydrometer", shell_word(name)));
}

const Instrument& known_instrument(const Book&& book, const std::string& name) = delete;

} // namespace

CheckedInstrument checked_instrument(const Call& call, const Book& book, const std::string& name) {
    CheckedInstrument out{known_instrument(book, name), {}};
    Instrument& instrument = out.instrument;
    if (!call.args.has("known") || !call.args.has("read"))
        throw Error(ErrorKind::usage, fmt::format("what was {} held against, and what did it show?", name),
                    hint_of(instrument));
    const auto [read, at] = read_as(instrument, call.args.required("read"));
    const Known known = known_of(instrument, call.args.required("known"), at, book);
    InstrumentCheck check{day_asked(call), known.value, known.sd > 0.0 ? std::optional(known.sd) : std::nullopt, read};
    const double size = instrument.unit == "sg" ? known.value - 1.0 : known.value;
    const double far = 10.0 * std::hypot(bias_sd(instrument, size), reading_sd(instrument, size), known.sd);
    const double off = read + instrument.correction.value_or(0.0) - known.value;
    if (std::abs(off) > std::max(far, 0.02 * std::abs(size)) && far > 0.0 && !call.args.has("sure"))
        throw Error(ErrorKind::refused,
                    fmt::format("{} would read {}{} {}, ten times what it is stated to err by", name,
                                readable(std::abs(off)), unit_words(instrument), off < 0.0 ? "low" : "high"),
                    "look at both figures again; --sure books it");
    instrument.checks.push_back(check);
    const int places = report::places_of(instrument);
    const std::string unit = unit_words(instrument);
    out.said = fmt::format("{} showed {:.{}f}{}, and {:.{}f}{} was right: it reads {:.{}f}{} {}", name, read, places,
                           unit, known.value, places, unit, std::abs(off), places, unit, off < 0.0 ? "low" : "high");
    if (instrument.correction) out.said += ", its correction counted";
    return out;
}

} // namespace lotwort::verbs
