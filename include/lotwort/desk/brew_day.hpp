// A brew day as it stands: what was planned, what was weighed and read, what is expected next.
#pragma once

#include <lotwort/brew/sheet_guide.hpp>
#include <lotwort/desk/desk.hpp>
#include <lotwort/infer/reading_meaning.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

struct ReadPoint {
    Reading reading;
    ReadingMeaning means; // of nothing, where the reading cannot be understood
};

// A point of the day in the order of time, with what the plan leads to expect there at 20 °C.
struct DayPoint {
    ReadingPoint point = ReadingPoint::kettle_full;
    std::optional<double> litres;
    std::optional<SpecificGravity> gravity;
    std::optional<StickDepth> depth;
    std::vector<ReadPoint> read; // what is not set aside
};

struct BrewDay {
    std::optional<Brew> brew;           // none: not begun
    std::optional<PlannedBrew> planned; // none: brewed without a plan
    std::optional<SheetGuide> guide;    // of what was planned
    std::vector<DayPoint> points;       // mash to final gravity
    // Of the kettle as it was read last, with volume and gravity.
    std::optional<KettleMend> kettle;
    std::optional<double> efficiency;         // of the brewhouse, by the readings alone; a fraction
    std::optional<double> kettle_efficiency;  // the same at kettle full; none where sugar goes in after the mash
    std::map<std::string, std::string> items; // by lot
    std::vector<Package> packages;
    // The point to measure next; none where the final gravity is read.
    [[nodiscard]] std::optional<ReadingPoint> next() const;
};

// Of an open plan, or of a brew, by its own code or its plan's. Error(refused) where there is neither.
[[nodiscard]] BrewDay brew_day_of(const Desk& desk, const std::string& code);

} // namespace lotwort
