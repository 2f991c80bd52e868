// What readings are taken with, and what they mean.
#include "readings.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/infer/liquor_after.hpp>

namespace lotwort::verbs {

namespace {

std::string parse_time(const std::string& text) {
    const auto digit = [&](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
    const bool good = text.size() == 5 && text[2] == ':' && digit(0) && digit(1) && digit(3) && digit(4) &&
                      text < "24:00" && text[3] < '6';
    if (!good)
        throw Error(ErrorKind::refused, fmt::format("`{}` is no time of day", text), "write HH:MM, such as 14:30");
    return text;
}

// Whether the kind reads such a gravity, or such a volume, as the reading states.
bool reads_gravity(InstrumentKind kind, const Reading& reading) {
    const bool glass = kind == InstrumentKind::hydrometer || kind == InstrumentKind::density_meter;
    return (glass && (reading.gravity_sg || reading.gravity_plato)) ||
           (kind == InstrumentKind::refractometer && reading.brix);
}
bool reads_volume(InstrumentKind kind, const Reading& reading) {
    return (kind == InstrumentKind::volume_marks && (reading.volume || reading.depth)) ||
           (kind == InstrumentKind::balance && reading.mass);
}

// Names the instrument in the readings of its kind; says whether there were any.
bool name_instrument(const Instrument& instrument, std::vector<Reading>& readings) {
    bool used = false;
    for (auto& reading : readings) {
        const bool gravity = reads_gravity(instrument.kind, reading), volume = reads_volume(instrument.kind, reading);
        if (gravity) reading.gravity_instrument = instrument.name;
        if (volume) reading.volume_instrument = instrument.name;
        used = used || gravity || volume;
    }
    return used;
}

const Instrument& instrument_called(const Book& known, const std::string& name) {
    try {
        return known_instrument(known, name);
    } catch (const Error& fault) {
        throw of_option("instrument", fault);
    }
}
const Instrument& instrument_called(const Book&&, const std::string&) = delete;

} // namespace

void demand_brewed(const Brew& brew, Date on) {
    if (on >= brew.date) return;
    throw Error(ErrorKind::refused,
                fmt::format("{} was brewed on {}, after {}", brew.code, to_iso(brew.date), to_iso(on)),
                "look at the day, or at the brew");
}

void lay_over_readings(const Call& call, const ReadingPlace& place, std::vector<Reading>& readings) {
    for (const auto& name : call.args.all("instrument")) {
        Book known;
        known.instruments = place.instruments;
        const Instrument& instrument = instrument_called(known, name);
        if (instrument.kind == InstrumentKind::thermometer)
            throw Error(ErrorKind::refused,
                        fmt::format("{} is a thermometer, and which one was used is not kept", name),
                        "name the hydrometer, the marks or the balance; the temperature goes behind @");
        if (!name_instrument(instrument, readings))
            throw Error(ErrorKind::refused,
                        fmt::format("none of these readings is taken with {} ({})", name, word(instrument.kind)),
                        "leave --instrument out, or name another");
    }
    const auto parse_mash = [](const std::string& text) { return static_cast<int>(parse_whole(text, "mash", 1, 9)); };
    if (const auto mash = read_option(call, "mash", parse_mash))
        for (auto& reading : readings) reading.mash = *mash;
    const auto parse_run = [](const std::string& text) { return static_cast<int>(parse_whole(text, "run", 1, 20)); };
    if (const auto run = read_option(call, "run", parse_run))
        for (auto& reading : readings) reading.run = *run;
    if (const auto at = read_option(call, "at", parse_time))
        for (auto& reading : readings) reading.at = *at;
}

void put_before(const Call& call, const Brew& brew, std::vector<Reading>& readings) {
    const auto later = call.args.text("before");
    if (!later) return;
    std::vector<std::string> ids;
    for (const Reading& known : brew.readings) ids.push_back(known.id);
    if (std::ranges::find(ids, *later) == ids.end())
        refuse_unknown(fmt::format("reading of {} called", brew.code), *later, ids,
                       "lotwort measure " + shell_word(brew.code));
    for (Reading& reading : readings) {
        if (reading.point != ReadingPoint::top_up && reading.point != ReadingPoint::kettle_liquor)
            throw Error(ErrorKind::refused, fmt::format("{} is no liquor that was added", word(reading.point)),
                        "--before goes with top-up or kettle-liquor; leave it out");
        const std::string id = std::string(before_id) + *later;
        reading.id = id;
        for (int n = 2; std::ranges::find(ids, reading.id) != ids.end(); ++n) reading.id = fmt::format("{}-{}", id, n);
        ids.push_back(reading.id);
    }
}

void drop_unfit_instruments(const ReadingPlace& place, Reading& reading) {
    const auto drop = [&](std::optional<std::string>& name, bool (*reads)(InstrumentKind, const Reading&)) {
        const auto known = std::ranges::find(place.instruments, name.value_or(""), &Instrument::name);
        if (known != place.instruments.end() && !reads(known->kind, reading)) name.reset();
    };
    drop(reading.gravity_instrument, reads_gravity);
    drop(reading.volume_instrument, reads_volume);
}

std::vector<report::MeasuredReading> meanings(const std::vector<Reading>& readings, const ReadingPlace& place) {
    std::vector<report::MeasuredReading> out;
    for (const auto& reading : readings) {
        auto& m = out.emplace_back(report::MeasuredReading{reading, {}, {}});
        try {
            m.means = meaning_of(reading, place.brewhouse, place.instruments);
        } catch (const Error& fault) { // a depth beyond its dip table: the others have their figures
            m.fault = fault.what();
        }
    }
    return out;
}

namespace {

// How warm it usually is where it is measured, for an example.
int usual_c(ReadingPoint point) {
    if (point == ReadingPoint::strike_liquor) return 73;
    return point == ReadingPoint::sparge_liquor || point == ReadingPoint::first_wort ? 78 : 95;
}

} // namespace

std::vector<std::string> reading_remarks(const std::vector<Reading>& readings) {
    std::vector<std::string> remarks;
    for (const auto& r : readings) {
        const bool hot = r.point == ReadingPoint::kettle_full || r.point == ReadingPoint::cast_out ||
                         r.point == ReadingPoint::first_wort || r.point == ReadingPoint::strike_liquor ||
                         r.point == ReadingPoint::sparge_liquor;
        if (hot && r.volume && !r.volume_at)
            remarks.push_back(fmt::format(
                "{}: {} L is taken as measured at 20 °C; if it was hot, set {} aside and write {}L@{}C", word(r.point),
                readable(r.volume->value()), r.id, readable(r.volume->value()), usual_c(r.point)));
        if (r.point == ReadingPoint::mash &&
            (r.volume || r.depth || r.mass || r.gravity_sg || r.gravity_plato || r.brix))
            remarks.push_back(
                fmt::format("{}: volumes and gravities in the mash are kept, and take no part in the balance; "
                            "first-wort does",
                            r.id));
    }
    return remarks;
}

} // namespace lotwort::verbs
