// An instrument from options, and what each can read.
#include "brewhouse.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/mash_grist.hpp>
#include <lotwort/core/format.hpp>

namespace lotwort::verbs {

namespace {

std::vector<std::string_view> units_of(InstrumentKind kind) {
    switch (kind) {
    case InstrumentKind::hydrometer:
    case InstrumentKind::density_meter:
        return {"sg", "plato"};
    case InstrumentKind::refractometer:
        return {"brix"};
    case InstrumentKind::thermometer:
        return {"c"};
    case InstrumentKind::volume_marks:
        return {"l", "cm"};
    case InstrumentKind::balance:
        return {"kg", "g"};
    }
    return {};
}

// The number in the instrument's unit; a per cent apart. Typed with that unit, with another of its kind, or bare.
struct Figure {
    double value = 0.0;
    bool is_share = false;
};

Figure parse_figure(const std::string& text, const std::string& unit, std::string_view what) {
    const Typed typed = parse_typed(text);
    const auto& value = typed.value;
    const auto refuse = [&]() {
        throw Error(ErrorKind::refused, fmt::format("`{}` is no {} of a scale in {}", text, what, unit),
                    "write a number in that unit, or a per cent of what is read: 1%");
    };
    if (typed.sd || typed.at) refuse();
    Figure figure;
    if (const auto* bare = std::get_if<Bare>(&value))
        figure.value = bare->value();
    else if (const auto* number = std::get_if<SpecificGravity>(&value))
        figure.value = number->value(); // 1.0 alone is a number here
    else if (const auto* share = std::get_if<Percent>(&value))
        figure = {share->value(), true};
    else if (const auto* plato = std::get_if<Plato>(&value); plato != nullptr && unit == "plato")
        figure.value = plato->value();
    else if (const auto* brix = std::get_if<Brix>(&value); brix != nullptr && unit == "brix")
        figure.value = brix->value();
    else if (const auto* litres = std::get_if<Litres>(&value); litres != nullptr && unit == "l")
        figure.value = litres->value();
    else if (const auto* depth = std::get_if<Centimetres>(&value); depth != nullptr && unit == "cm")
        figure.value = depth->value();
    else if (const auto* mass = std::get_if<Kilograms>(&value); mass != nullptr && (unit == "kg" || unit == "g"))
        figure.value = unit == "g" ? mass->value() * 1000.0 : mass->value();
    else if (std::holds_alternative<Celsius>(value) && unit == "c" && text.find_first_of("fF") == std::string::npos)
        figure.value = std::get<Celsius>(value).value(); // a difference, which C and K share
    else
        refuse();
    if (figure.value < 0.0) refuse();
    return figure;
}

// Whatever is that far off is no instrument: 20 gravity points, 5 degrees of extract, 10 degrees of heat.
double most_spread(const std::string& unit, Litres volume) {
    if (unit == "sg") return 0.02;
    if (unit == "plato" || unit == "brix") return 5.0;
    if (unit == "c") return 10.0;
    if (unit == "cm") return 20.0;
    if (unit == "g") return 1000.0 * volume.value() / 10.0;
    return unit == "kg" ? volume.value() / 10.0 : volume.value() / 2.0; // a tenth of a grist's mass; half the vessel
}

// Of a deviation or a step of the scale, typed.
Figure parse_spread(const std::string& text, const std::string& unit, std::string_view what, Litres volume) {
    const Figure figure = parse_figure(text, unit, what);
    const double most = figure.is_share ? 50.0 : most_spread(unit, volume);
    if (figure.value <= most) return figure;
    throw Error(ErrorKind::refused, fmt::format("`{}` is no believable {} of a scale in {}", text, what, unit),
                fmt::format("it is one standard deviation, or a step: up to {} {} is taken", shortest(most),
                            figure.is_share ? "%" : unit));
}

void set_figure(const Call& call, std::string_view option, const std::string& unit, Litres volume,
                std::optional<double>& absolute, std::optional<double>& share) {
    const auto figure =
        read_option(call, option, [&](const std::string& text) { return parse_spread(text, unit, option, volume); });
    if (!figure) return;
    absolute.reset();
    share.reset();
    (figure->is_share ? share : absolute) = figure->value;
}

std::string unit_of(const Call& call, InstrumentKind kind, const std::optional<std::string>& before) {
    const auto known = units_of(kind);
    const std::string unit = call.args.text("unit").value_or(before.value_or(std::string(known.front())));
    if (std::ranges::find(known, unit) == known.end())
        throw Error(ErrorKind::refused, fmt::format("a scale in {} is not what a {} has", unit, word(kind)),
                    fmt::format("write --unit with one of: {}", fmt::join(known, ", ")));
    return unit;
}

// Without a spread an instrument would never err, and a balance could not be struck: what is not said is typical.
std::string fill_in(Instrument& instrument, Litres volume) {
    const Instrument typical = typical_instrument(instrument.kind, volume);
    const bool same_unit = typical.unit == instrument.unit;
    const double scale = same_unit ? 1.0 : instrument.unit == "plato" ? 250.0 : instrument.unit == "g" ? 1000.0 : 0.1;
    std::vector<std::string> taken;
    if (!instrument.repeatability && !instrument.repeatability_pct) {
        if (typical.repeatability) instrument.repeatability = *typical.repeatability * scale;
        instrument.repeatability_pct = typical.repeatability_pct;
        taken.emplace_back("repeatability");
    }
    if (!instrument.bias_sd && !instrument.bias_sd_pct) {
        if (typical.bias_sd) instrument.bias_sd = *typical.bias_sd * scale;
        instrument.bias_sd_pct = typical.bias_sd_pct;
        taken.emplace_back("bias-sd");
    }
    if (!instrument.calibration) instrument.calibration = typical.calibration;
    if (instrument.kind == InstrumentKind::refractometer && !instrument.brix_to_plato) {
        instrument.brix_to_plato = typical.brix_to_plato;
        taken.emplace_back("wort-factor");
    }
    if (taken.empty()) return {};
    return fmt::format("taken as typical of a {}, until you state it: {}", word(instrument.kind),
                       fmt::join(taken, ", "));
}

Litres volume_of(const Book& book) {
    Litres volume(23.0);
    for (const auto& brewhouse : book.brewhouses) volume = brewhouse.volume;
    return volume;
}

// Of the brewhouses it may be read on; without one anything goes.
Litres largest_volume(const Book& book) {
    Litres largest(0.0);
    for (const auto& brewhouse : book.brewhouses) largest = std::max(largest, brewhouse.volume);
    return largest.value() > 0.0 ? largest : Litres(range_of<Brewhouse>("volume_l").most);
}

report::ShownInstrument shown(const Instrument& instrument, Litres volume, bool typical) {
    double at = 0.0;
    if (instrument.kind == InstrumentKind::volume_marks) at = instrument.unit == "cm" ? 30.0 : volume.value();
    if (instrument.kind == InstrumentKind::balance) at = instrument.unit == "g" ? 5000.0 : 5.0;
    if (instrument.unit == "plato" || instrument.unit == "brix") at = 12.0;
    if (instrument.unit == "sg") at = 0.048; // a share of a gravity is of what lies above 1
    if (instrument.kind == InstrumentKind::thermometer) at = 65.0;
    report::ShownInstrument out{instrument, at, reading_sd(instrument, at), bias_sd(instrument, at), typical};
    if (instrument.unit == "sg") out.at = 1.048;
    return out;
}

} // namespace

StatedInstrument stated_instrument(const Call& call, const Book& book, const std::string& name) {
    const auto before = std::ranges::find(book.instruments, name, &Instrument::name);
    const bool is_new = before == book.instruments.end();
    StatedInstrument out;
    Instrument& instrument = out.instrument;
    if (!is_new) instrument = *before;
    instrument.name = name;
    const auto kind = read_option(
        call, "kind", [](const std::string& text) { return parse_word<InstrumentKind>(text, "a kind of instrument"); });
    if (kind)
        instrument.kind = *kind;
    else if (is_new)
        throw Error(
            ErrorKind::usage, fmt::format("what kind of instrument is `{}`?", name),
            "add --kind with one of: hydrometer, refractometer, density-meter, thermometer, volume-marks, balance");
    if (!is_new && instrument.kind != before->kind) instrument.unit.reset();
    instrument.unit = unit_of(call, instrument.kind, instrument.unit);
    const auto calibration = read_option(call, "calibration", [](const std::string& text) {
        return parse_temperature(text, range_of<Instrument>("calibration_c"));
    });
    if (calibration) instrument.calibration = *calibration;
    const Litres volume = volume_of(book), largest = largest_volume(book);
    set_figure(call, "repeatability", *instrument.unit, largest, instrument.repeatability,
               instrument.repeatability_pct);
    set_figure(call, "bias-sd", *instrument.unit, largest, instrument.bias_sd, instrument.bias_sd_pct);
    const auto step = read_option(call, "resolution", [&](const std::string& text) {
        return parse_spread(text, *instrument.unit, "resolution", largest);
    });
    if (step && step->is_share)
        throw Error(ErrorKind::refused, "the step of a scale is not a per cent", "write it in " + *instrument.unit);
    if (step) instrument.resolution = step->value;
    const auto wort_factor = read_option(call, "wort-factor", [](const std::string& text) {
        return parse_number(text, "wort correction", {1.0 / 1.2, 1.0 / 0.8});
    });
    if (wort_factor) {
        if (instrument.kind != InstrumentKind::refractometer)
            throw Error(ErrorKind::refused, fmt::format("a {} has no wort correction", word(instrument.kind)),
                        "leave --wort-factor out");
        instrument.brix_to_plato = 1.0 / *wort_factor;
    }
    if (const auto correction = read_option(call, "correction", [&](const std::string& text) {
            const bool below = text.starts_with('-');
            const auto figure = parse_figure(below ? text.substr(1) : text, *instrument.unit, "correction");
            if (figure.is_share)
                throw Error(ErrorKind::refused, "a correction is not a per cent",
                            fmt::format("write what is to be added to a reading, in {}", *instrument.unit));
            return below ? -figure.value : figure.value;
        }))
        instrument.correction = *correction == 0.0 ? std::nullopt : std::optional(*correction);
    out.remark = fill_in(instrument, volume);
    if (!is_new && instrument == *before) refuse_no_change(call, name, "say what, such as --bias-sd 0.0005");
    return out;
}

std::vector<report::ShownInstrument> shown_instruments(const Book& book, Litres brewhouse_volume) {
    std::vector<report::ShownInstrument> all;
    for (const auto& instrument : book.instruments) all.push_back(shown(instrument, brewhouse_volume, false));
    for (const InstrumentKind kind : {InstrumentKind::hydrometer, InstrumentKind::refractometer,
                                      InstrumentKind::volume_marks, InstrumentKind::balance})
        if (std::ranges::find(book.instruments, kind, &Instrument::kind) == book.instruments.end())
            all.push_back(shown(typical_instrument(kind, brewhouse_volume), brewhouse_volume, true));
    return all;
}

} // namespace lotwort::verbs
