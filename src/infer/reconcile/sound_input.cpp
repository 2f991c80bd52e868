#include "sound_input.hpp"
#include <fmt/format.h>
#include <lotwort/brew/rules.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/ranges.hpp>

namespace lotwort::infer_detail {

namespace {

template <class Record>
void demand_record(const Record& record, const std::string& whose) {
    const auto refuse = [&](std::string_view field, std::string_view what) {
        throw Error(ErrorKind::refused, fmt::format("{}: {}{}{}", whose, field, field.empty() ? "" : " ", what));
    };
    check_ranges(record, refuse);
    if constexpr (requires { check_rules(record, refuse); }) check_rules(record, refuse);
}

void demand_lot(const UsedLot& used, const std::string& whose) {
    demand_record(used.item, fmt::format("{}, item {}", whose, used.item.name));
    const std::string lot = fmt::format("{}, lot {}", whose, used.lot.code);
    if (used.lot.certificate) demand_record(*used.lot.certificate, lot);
    for (const Retest& retest : used.lot.retests) demand_record(retest.found, lot);
}

} // namespace

void demand_sound(const ReconcileInput& input) {
    const std::string whose = "brew " + input.brew.code;
    demand_record(input.brew, whose);
    for (const Reading& reading : input.brew.readings)
        if (!reading.set_aside) demand_record(reading, fmt::format("{}, reading {}", whose, reading.id));
    for (const Addition& addition : input.brew.additions) {
        if (!input.lots.contains(addition.lot))
            throw Error(ErrorKind::refused,
                        fmt::format("{}: lot {} went in, and is not handed over", whose, addition.lot),
                        "lots holds every lot that the brew's additions name");
        if (addition.amount.units < 0)
            throw Error(ErrorKind::refused,
                        fmt::format("{}: {} of {} weighed in", whose, to_text(addition.amount), addition.lot));
    }
    demand_record(input.brewhouse, "brewhouse " + input.brewhouse.name);
    for (const Vessel& vessel : input.brewhouse.vessels)
        demand_record(vessel, fmt::format("brewhouse {}, vessel at {}", input.brewhouse.name, word(vessel.point)));
    for (const Instrument& instrument : input.instruments) demand_record(instrument, "instrument " + instrument.name);
    for (const auto& [code, used] : input.lots) demand_lot(used, whose);
}

} // namespace lotwort::infer_detail
