// Readings as typed at the kettle, and what they mean.
#pragma once

#include "shared.hpp"
#include <lotwort/report/measure.hpp>

namespace lotwort::verbs {

// What readings are taken on: the brew, its brewhouse, and all instruments.
struct ReadingPlace {
    const Brew& brew;
    const Brewhouse& brewhouse;
    const std::vector<Instrument>& instruments;
};

// POINT READING... [POINT READING...]: one reading for each point named, which gathers its volume and gravity; a
// second volume or gravity at one point begins another. Ids go on from the brew's. Error(refused) for an unknown point
// (the nearest are named), a unit that is not clear, or what no brew on this brewhouse could show.
[[nodiscard]] std::vector<Reading> parse_readings(const std::vector<std::string>& words, const ReadingPlace& place);

// Error(refused) for a day before the brew.
void demand_brewed(const Brew& brew, Date on);

// --instrument, --run and --at, laid over the readings.
void lay_over_readings(const Call& call, const ReadingPlace& place, std::vector<Reading>& readings);

// --before: liquor that was booked late has an id that says which reading it is in. Error(refused) for all else.
void put_before(const Call& call, const Brew& brew, std::vector<Reading>& readings);

// Forgets what the reading was taken with where that reads no such value: a hydrometer beside degrees Brix.
void drop_unfit_instruments(const ReadingPlace& place, Reading& reading);

// Each reading with its volume at 20 °C, its extract and both together, as far as it states them.
[[nodiscard]] std::vector<report::MeasuredReading> meanings(const std::vector<Reading>& readings,
                                                            const ReadingPlace& place);

// What was taken for granted, in sentences.
[[nodiscard]] std::vector<std::string> reading_remarks(const std::vector<Reading>& readings);

} // namespace lotwort::verbs
