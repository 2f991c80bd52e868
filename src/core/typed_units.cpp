#include "typed_units.hpp"
#include <algorithm>
#include <array>

namespace lotwort::typed_detail {

namespace {

template <class Value>
TypedValue make(double value) {
    return Value(value);
}

// Exact by definition: the international pound, inch and foot (1959), the US gallon of 231 cubic inches, the
// imperial gallon of 4.54609 L (Weights and Measures Act 1985). A beer barrel holds 31 US or 36 imperial gallons.
constexpr double pound_kg = 0.45359237;
constexpr double us_gallon_l = 3.785411784;
constexpr double uk_gallon_l = 4.54609;

constexpr UnitRow mass(std::string_view spelling, double kg) {
    return {spelling, Dimension::mass, kg, 0.0, make<Kilograms>};
}
constexpr UnitRow volume(std::string_view spelling, double litres) {
    return {spelling, Dimension::volume, litres, 0.0, make<Litres>};
}
constexpr UnitRow time(std::string_view spelling, double minutes) {
    return {spelling, Dimension::time, minutes, 0.0, make<Minutes>};
}
constexpr UnitRow length(std::string_view spelling, double cm) {
    return {spelling, Dimension::length, cm, 0.0, make<Centimetres>};
}
template <class Value>
constexpr UnitRow plain(std::string_view spelling, Dimension dimension) {
    return {spelling, dimension, 1.0, 0.0, make<Value>};
}

constexpr auto rows = std::to_array<UnitRow>({
    mass("kg", 1.0),
    mass("g", 1e-3),
    mass("lb", pound_kg),
    mass("lbs", pound_kg),
    mass("kgs", 1.0),
    mass("kilo", 1.0),
    mass("kilos", 1.0),
    mass("gram", 1e-3),
    mass("grams", 1e-3),
    mass("pound", pound_kg),
    mass("pounds", pound_kg),
    mass("oz", pound_kg / 16.0),
    mass("ozs", pound_kg / 16.0),
    mass("ounce", pound_kg / 16.0),
    mass("ounces", pound_kg / 16.0),
    mass("mg", 1e-6),
    mass("t", 1000.0),

    volume("l", 1.0),
    volume("litre", 1.0),
    volume("litres", 1.0),
    volume("liter", 1.0),
    volume("liters", 1.0),
    volume("ml", 1e-3),
    volume("hl", 100.0),
    volume("dl", 0.1),
    volume("cl", 1e-2),
    volume("gal(us)", us_gallon_l),
    volume("gal(uk)", uk_gallon_l),
    volume("galus", us_gallon_l),
    volume("galuk", uk_gallon_l),
    volume("qt(us)", us_gallon_l / 4.0),
    volume("qt(uk)", uk_gallon_l / 4.0),
    volume("qtus", us_gallon_l / 4.0),
    volume("qtuk", uk_gallon_l / 4.0),
    volume("pt(us)", us_gallon_l / 8.0),
    volume("pt(uk)", uk_gallon_l / 8.0),
    volume("ptus", us_gallon_l / 8.0),
    volume("ptuk", uk_gallon_l / 8.0),
    volume("floz(us)", us_gallon_l / 128.0),
    volume("floz(uk)", uk_gallon_l / 160.0),
    volume("flozus", us_gallon_l / 128.0),
    volume("flozuk", uk_gallon_l / 160.0),
    volume("bbl(us)", us_gallon_l * 31.0),
    volume("bbl(uk)", uk_gallon_l * 36.0),
    volume("bblus", us_gallon_l * 31.0),
    volume("bbluk", uk_gallon_l * 36.0),

    plain<Pieces>("pieces", Dimension::amount),
    plain<Pieces>("piece", Dimension::amount),
    plain<Pieces>("pcs", Dimension::amount),
    plain<Pieces>("pc", Dimension::amount),

    plain<Plato>("p", Dimension::gravity),
    plain<Plato>("°p", Dimension::gravity),
    plain<Plato>("plato", Dimension::gravity),
    plain<Brix>("bx", Dimension::gravity),
    plain<Brix>("°bx", Dimension::gravity),
    plain<Brix>("brix", Dimension::gravity),
    plain<SpecificGravity>("sg", Dimension::gravity),
    plain<KilogramsPerCubicMetre>("kg/m3", Dimension::any),
    {"g/ml", Dimension::any, 1000.0, 0.0, make<KilogramsPerCubicMetre>},

    plain<Celsius>("c", Dimension::temperature),
    plain<Celsius>("°c", Dimension::temperature),
    {"f", Dimension::temperature, 5.0 / 9.0, -32.0, make<Celsius>},
    {"°f", Dimension::temperature, 5.0 / 9.0, -32.0, make<Celsius>},

    plain<Ebc>("ebc", Dimension::colour),
    plain<Srm>("srm", Dimension::colour),
    plain<Lovibond>("°l", Dimension::colour),
    plain<Lovibond>("lov", Dimension::colour),
    plain<Lovibond>("lovibond", Dimension::colour),

    plain<Percent>("%", Dimension::percent),

    time("min", 1.0),
    time("mins", 1.0),
    time("minute", 1.0),
    time("minutes", 1.0),
    time("h", 60.0),
    time("hr", 60.0),
    time("hrs", 60.0),
    time("hour", 60.0),
    time("hours", 60.0),
    time("days", 1440.0),
    time("day", 1440.0),
    time("d", 1440.0),
    time("weeks", 10080.0),
    time("week", 10080.0),

    length("cm", 1.0),
    length("mm", 0.1),
    length("m", 100.0),
    length("in", 2.54),
    length("ft", 30.48),

    plain<LitresPerKilogram>("l/kg", Dimension::per_mass),
    plain<LitresPerKilogram>("l°/kg", Dimension::extract),
    plain<PointsPerPoundGallon>("ppg", Dimension::extract),
    plain<LitresPerHour>("l/h", Dimension::per_hour),
    plain<WindischKolbach>("wk", Dimension::enzymes),
    plain<BitternessUnits>("ibu", Dimension::bitterness),
    plain<BitternessUnits>("ebu", Dimension::bitterness),
});

} // namespace

std::span<const UnitRow> unit_rows() {
    return rows;
}

namespace {

const UnitRow* row_of(std::string_view lowered, Dimension dimension) {
    const auto found = std::find_if(rows.begin(), rows.end(), [&](const UnitRow& row) {
        return row.spelling == lowered && row.dimension == dimension;
    });
    return found == rows.end() ? nullptr : &*found;
}

std::string_view short_name(std::string_view lowered) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 12> names{{{"gal", "gal"},
                                                                                   {"gallon", "gal"},
                                                                                   {"gallons", "gal"},
                                                                                   {"qt", "qt"},
                                                                                   {"quart", "qt"},
                                                                                   {"quarts", "qt"},
                                                                                   {"pint", "pt"},
                                                                                   {"pt", "pt"},
                                                                                   {"pints", "pt"},
                                                                                   {"floz", "floz"},
                                                                                   {"bbl", "bbl"},
                                                                                   {"barrel", "bbl"}}};
    for (const auto& [name, is] : names)
        if (name == lowered) return is;
    return {};
}

} // namespace

std::optional<UnitRow> quotient_of(std::string_view lowered) {
    const auto stroke = lowered.find('/');
    if (stroke == std::string_view::npos) return std::nullopt;
    const UnitRow* of = row_of(lowered.substr(0, stroke), Dimension::volume);
    const std::string_view per = lowered.substr(stroke + 1);
    if (of == nullptr) return std::nullopt;
    if (const UnitRow* kg = row_of(per, Dimension::mass))
        return UnitRow{"", Dimension::per_mass, of->factor / kg->factor, 0.0, make<LitresPerKilogram>};
    const UnitRow* minutes = row_of(per, Dimension::time);
    if (minutes == nullptr || minutes->factor > 60.0) return std::nullopt; // nobody boils off by the day
    return UnitRow{"", Dimension::per_hour, of->factor * 60.0 / minutes->factor, 0.0, make<LitresPerHour>};
}

std::optional<UnitRow> in_one_country(std::string_view lowered) {
    const auto stroke = std::min(lowered.find('/'), lowered.size());
    const std::string_view name = short_name(lowered.substr(0, stroke));
    if (name.empty()) return std::nullopt;
    const std::string american = std::string(name) + "us";
    if (stroke < lowered.size()) return quotient_of(american + std::string(lowered.substr(stroke)));
    return *row_of(american, Dimension::volume);
}

DimensionWords words_of(Dimension dimension) {
    switch (dimension) {
    case Dimension::any:
        return {"a quantity", "kg", "L", "kg, L, P, C or the like"};
    case Dimension::mass:
        return {"a mass", "kg", "lb", "kg, g, lb or oz"};
    case Dimension::volume:
        return {"a volume", "L", "galUS", "L, ml, hl, galUS or galUK"};
    case Dimension::amount:
        return {"an amount", "kg", "L", "kg, g, lb, L, ml or pieces"};
    case Dimension::gravity:
        return {"a gravity", "P", "Bx", "P, Bx or, as specific gravity, without a unit"};
    case Dimension::temperature:
        return {"a temperature", "C", "F", "C or F"};
    case Dimension::colour:
        return {"a colour", "EBC", "SRM", "EBC, SRM or L (Lovibond)"};
    case Dimension::percent:
        return {"a share in per cent", "%", "", "%"};
    case Dimension::time:
        return {"a time", "min", "days", "min, h, days or weeks"};
    case Dimension::length:
        return {"a length", "cm", "in", "cm, mm, m, in or ft"};
    case Dimension::per_mass:
        return {"a volume per mass", "L/kg", "qtUS/lb", "L/kg, qtUS/lb or galUS/lb"};
    case Dimension::per_hour:
        return {"a volume per hour", "L/h", "galUS/h", "L/h or galUS/h"};
    case Dimension::extract:
        return {"an extract", "%", "L/kg", "%, L/kg or ppg"};
    case Dimension::enzymes:
        return {"a diastatic power", "WK", "", "WK"};
    case Dimension::bitterness:
        return {"a bitterness", "IBU", "", "IBU"};
    }
    return {"a quantity", "kg", "L", "kg, L, P, C or the like"};
}

bool fits(const UnitRow& unit, Dimension expected) {
    if (expected == Dimension::any || unit.dimension == expected) return true;
    if (expected == Dimension::amount) return unit.dimension == Dimension::mass || unit.dimension == Dimension::volume;
    if (expected == Dimension::extract)
        return unit.dimension == Dimension::percent || unit.dimension == Dimension::per_mass;
    return false;
}

} // namespace lotwort::typed_detail
