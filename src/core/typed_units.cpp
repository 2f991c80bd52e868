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

constexpr UnitRow mass(std::string_view spelling, std::string_view shown, double kg) {
    return {spelling, shown, Dimension::mass, kg, 0.0, make<Kilograms>};
}
constexpr UnitRow volume(std::string_view spelling, std::string_view shown, double litres) {
    return {spelling, shown, Dimension::volume, litres, 0.0, make<Litres>};
}
constexpr UnitRow time(std::string_view spelling, std::string_view shown, double minutes) {
    return {spelling, shown, Dimension::time, minutes, 0.0, make<Minutes>};
}
constexpr UnitRow length(std::string_view spelling, std::string_view shown, double cm) {
    return {spelling, shown, Dimension::length, cm, 0.0, make<Centimetres>};
}
template <class Value>
constexpr UnitRow plain(std::string_view spelling, std::string_view shown, Dimension dimension) {
    return {spelling, shown, dimension, 1.0, 0.0, make<Value>};
}

constexpr auto rows = std::to_array<UnitRow>({
    mass("kg", "kg", 1.0),
    mass("g", "g", 1e-3),
    mass("lb", "lb", pound_kg),
    mass("lbs", "lb", pound_kg),
    mass("oz", "oz", pound_kg / 16.0),
    mass("mg", "mg", 1e-6),
    mass("t", "t", 1000.0),

    volume("l", "L", 1.0),
    volume("ml", "ml", 1e-3),
    volume("hl", "hl", 100.0),
    volume("cl", "cl", 1e-2),
    volume("gal(us)", "gal(US)", us_gallon_l),
    volume("gal(uk)", "gal(UK)", uk_gallon_l),
    volume("galus", "gal(US)", us_gallon_l),
    volume("galuk", "gal(UK)", uk_gallon_l),
    volume("qt(us)", "qt(US)", us_gallon_l / 4.0),
    volume("qt(uk)", "qt(UK)", uk_gallon_l / 4.0),
    volume("qtus", "qt(US)", us_gallon_l / 4.0),
    volume("qtuk", "qt(UK)", uk_gallon_l / 4.0),
    volume("pt(us)", "pt(US)", us_gallon_l / 8.0),
    volume("pt(uk)", "pt(UK)", uk_gallon_l / 8.0),
    volume("ptus", "pt(US)", us_gallon_l / 8.0),
    volume("ptuk", "pt(UK)", uk_gallon_l / 8.0),
    volume("floz(us)", "floz(US)", us_gallon_l / 128.0),
    volume("floz(uk)", "floz(UK)", uk_gallon_l / 160.0),
    volume("flozus", "floz(US)", us_gallon_l / 128.0),
    volume("flozuk", "floz(UK)", uk_gallon_l / 160.0),
    volume("bbl(us)", "bbl(US)", us_gallon_l * 31.0),
    volume("bbl(uk)", "bbl(UK)", uk_gallon_l * 36.0),
    volume("bblus", "bbl(US)", us_gallon_l * 31.0),
    volume("bbluk", "bbl(UK)", uk_gallon_l * 36.0),

    plain<Pieces>("pieces", "pieces", Dimension::amount),
    plain<Pieces>("piece", "piece", Dimension::amount),
    plain<Pieces>("pcs", "pieces", Dimension::amount),
    plain<Pieces>("pc", "piece", Dimension::amount),

    plain<Plato>("p", "P", Dimension::gravity),
    plain<Plato>("°p", "P", Dimension::gravity),
    plain<Plato>("plato", "P", Dimension::gravity),
    plain<Brix>("bx", "Bx", Dimension::gravity),
    plain<Brix>("°bx", "Bx", Dimension::gravity),
    plain<Brix>("brix", "Bx", Dimension::gravity),
    plain<SpecificGravity>("sg", "sg", Dimension::gravity),
    plain<KilogramsPerCubicMetre>("kg/m3", "kg/m3", Dimension::any),
    {"g/ml", "g/ml", Dimension::any, 1000.0, 0.0, make<KilogramsPerCubicMetre>},

    plain<Celsius>("c", "C", Dimension::temperature),
    plain<Celsius>("°c", "C", Dimension::temperature),
    {"f", "F", Dimension::temperature, 5.0 / 9.0, -32.0, make<Celsius>},
    {"°f", "F", Dimension::temperature, 5.0 / 9.0, -32.0, make<Celsius>},

    plain<Ebc>("ebc", "EBC", Dimension::colour),
    plain<Srm>("srm", "SRM", Dimension::colour),
    plain<Lovibond>("°l", "°L", Dimension::colour),
    plain<Lovibond>("lov", "°L", Dimension::colour),
    plain<Lovibond>("lovibond", "°L", Dimension::colour),

    plain<Percent>("%", "%", Dimension::percent),

    time("min", "min", 1.0),
    time("h", "h", 60.0),
    time("days", "days", 1440.0),
    time("day", "day", 1440.0),
    time("d", "d", 1440.0),
    time("weeks", "weeks", 10080.0),
    time("week", "week", 10080.0),

    length("cm", "cm", 1.0),
    length("mm", "mm", 0.1),
    length("m", "m", 100.0),
    length("in", "in", 2.54),
    length("ft", "ft", 30.48),

    plain<LitresPerKilogram>("l/kg", "L/kg", Dimension::per_mass),
    plain<LitresPerKilogram>("l°/kg", "L/kg", Dimension::extract),
    plain<PointsPerPoundGallon>("ppg", "ppg", Dimension::extract),
    plain<LitresPerHour>("l/h", "L/h", Dimension::per_hour),
    plain<WindischKolbach>("wk", "WK", Dimension::enzymes),
    plain<BitternessUnits>("ibu", "IBU", Dimension::bitterness),
});

} // namespace

std::span<const UnitRow> unit_rows() {
    return rows;
}

bool differs_by_country(std::string_view lowered) {
    constexpr std::array<std::string_view, 10> names{"gal",  "gallon", "gallons", "qt",   "quart",
                                                     "pint", "pt",     "pints",   "floz", "bbl"};
    return std::find(names.begin(), names.end(), lowered) != names.end();
}

DimensionWords words_of(Dimension dimension) {
    switch (dimension) {
    case Dimension::any:
        return {"a quantity", "kg", "L"};
    case Dimension::mass:
        return {"a mass", "kg", "lb"};
    case Dimension::volume:
        return {"a volume", "L", "galUS"};
    case Dimension::amount:
        return {"an amount", "kg", "L"};
    case Dimension::gravity:
        return {"a gravity", "P", "Bx"};
    case Dimension::temperature:
        return {"a temperature", "C", "F"};
    case Dimension::colour:
        return {"a colour", "EBC", "SRM"};
    case Dimension::percent:
        return {"a share in per cent", "%", ""};
    case Dimension::time:
        return {"a time", "min", "days"};
    case Dimension::length:
        return {"a length", "cm", "in"};
    case Dimension::per_mass:
        return {"a volume per mass", "L/kg", ""};
    case Dimension::per_hour:
        return {"a volume per hour", "L/h", ""};
    case Dimension::extract:
        return {"an extract", "%", "L/kg"};
    case Dimension::enzymes:
        return {"a diastatic power", "WK", ""};
    case Dimension::bitterness:
        return {"a bitterness", "IBU", ""};
    }
    return {"a quantity", "kg", "L"};
}

bool fits(const UnitRow& unit, Dimension expected) {
    if (expected == Dimension::any || unit.dimension == expected) return true;
    if (expected == Dimension::amount) return unit.dimension == Dimension::mass || unit.dimension == Dimension::volume;
    if (expected == Dimension::extract)
        return unit.dimension == Dimension::percent || unit.dimension == Dimension::per_mass;
    return false;
}

} // namespace lotwort::typed_detail
