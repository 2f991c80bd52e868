// A brew: what was weighed in, and what was read; and the plan of one.
#pragma once

#include <array>
#include <lotwort/brew/brewhouse.hpp>
#include <lotwort/core/amount.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/stock/movement.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// What was weighed of one lot and where it went. In the ledger it is a movement of kind brew.
struct Addition {
    std::string lot;
    Stage stage = Stage::mash;
    Amount amount; // written as mass_kg (mash) or mass_g (elsewhere), volume_l or count, by its measure
    std::optional<Minutes> minutes;
    std::optional<Date> on; // where it is not the brew's day (a dry addition)
    std::optional<std::string> mass_instrument;
    std::optional<int> mash = std::nullopt;               // which of several mashes into one kettle, from 1
    std::optional<std::string> instead_of = std::nullopt; // the recipe's item, where the lot is of another
    std::optional<std::string> package = std::nullopt;    // the run of packages that it primed, at stage fermenter
    friend bool operator==(const Addition&, const Addition&) = default;
};

template <>
struct FieldsOf<Addition> {
    static constexpr auto list = Fields{
        field("lot", &Addition::lot),
        field("stage", &Addition::stage),
        field("mass_kg", &Addition::amount, {0.0, 1e6}),
        field("minutes", &Addition::minutes, {0.0, 100000.0}),
        field("on", &Addition::on),
        field("mass_instrument", &Addition::mass_instrument),
        field("mash", &Addition::mash, {1.0, 9.0}),
        field("instead_of", &Addition::instead_of),
        field("package", &Addition::package),
    };
};

// What was read at one point: a volume (or depth, or mass), a gravity, or a temperature and pH alone; at the mash the
// mill's gap, of the final beer its bitterness.
// Readings are never changed; one that is set aside keeps its figures and carries the reason.
struct Reading {
    std::string id;                // unique in its brew
    std::optional<Date> on;        // of what ferments, and of the finished beer; the brew's day of all else
    std::optional<std::string> at; // time of day, HH:MM
    ReadingPoint point = ReadingPoint::kettle_full;
    std::optional<int> mash;      // which of several mashes into one kettle, from 1
    std::optional<int> run;       // which of several runnings or batches of liquor, from 1
    std::optional<Litres> volume; // as marked, at volume_at
    std::optional<Centimetres> depth;
    std::optional<Kilograms> mass;
    std::optional<Celsius> volume_at;
    std::optional<std::string> volume_instrument;
    std::optional<Celsius> temperature;
    std::optional<double> ph;
    std::optional<Millimetres> mill_gap;       // between the rollers, of the narrowest pair
    std::optional<BitternessUnits> bitterness; // measured in a laboratory
    std::optional<SpecificGravity> gravity_sg; // as marked, not corrected
    std::optional<Plato> gravity_plato;        // as marked on a plato scale
    std::optional<Brix> brix;
    std::optional<Celsius> gravity_at;
    std::optional<std::string> gravity_instrument;
    std::optional<std::string> set_aside;
    friend bool operator==(const Reading&, const Reading&) = default;
};

template <>
struct FieldsOf<Reading> {
    static constexpr auto list = Fields{
        field("id", &Reading::id),
        field("on", &Reading::on),
        field("at", &Reading::at),
        field("point", &Reading::point),
        field("mash", &Reading::mash, {1.0, 9.0}),
        field("run", &Reading::run, {1.0, 20.0}),
        field("volume_l", &Reading::volume, {0.0, 1e6}),
        field("depth_cm", &Reading::depth, {0.0, 2000.0}),
        field("mass_kg", &Reading::mass, {0.0, 1e6}),
        field("volume_at_c", &Reading::volume_at, {0.0, 105.0}),
        field("volume_instrument", &Reading::volume_instrument),
        field("temperature_c", &Reading::temperature, {-5.0, 120.0}),
        field("ph", &Reading::ph, {2.0, 12.0}),
        field("mill_gap_mm", &Reading::mill_gap, {0.1, 5.0}),
        field("bitterness_ibu", &Reading::bitterness, {0.0, 500.0}),
        field("gravity_sg", &Reading::gravity_sg, {0.98, 1.2}),
        field("gravity_plato", &Reading::gravity_plato, {-5.0, 45.0}),
        field("brix", &Reading::brix, {-1.0, 45.0}),
        field("gravity_at_c", &Reading::gravity_at, {0.0, 100.0}),
        field("gravity_instrument", &Reading::gravity_instrument),
        field("set_aside", &Reading::set_aside),
    };
};

// What was weighed for a brew that was given up, and came back into stock.
struct Unused {
    std::string lot;
    Amount amount;
    Date on;
    friend bool operator==(const Unused&, const Unused&) = default;
};

template <>
struct FieldsOf<Unused> {
    static constexpr auto list =
        Fields{field("lot", &Unused::lot), field("mass_kg", &Unused::amount, {0.0, 1e6}), field("on", &Unused::on)};
};

struct Brew {
    std::string code;
    Date date;
    std::optional<std::string> plan; // code of the plan it was brewed from
    std::optional<std::string> recipe;
    std::string brewhouse;
    std::optional<std::string> fermented_with; // code of the brew whose fermenter this one was run into
    std::optional<Minutes> boil;
    std::vector<Addition> additions;
    std::vector<Reading> readings;
    std::optional<std::string> abandoned; // why it was given up
    std::vector<Unused> unused;           // only of a brew that was given up
    friend bool operator==(const Brew&, const Brew&) = default;
};

template <>
struct FieldsOf<Brew> {
    static constexpr auto list = Fields{
        field("code", &Brew::code),
        field("date", &Brew::date),
        field("plan", &Brew::plan),
        field("recipe", &Brew::recipe),
        field("brewhouse", &Brew::brewhouse),

        field("fermented_with", &Brew::fermented_with),
        field("boil_minutes", &Brew::boil, {0.0, 1440.0}),
        field("additions", &Brew::additions),
        field("readings", &Brew::readings),
        field("abandoned", &Brew::abandoned),
        field("unused", &Brew::unused),
    };
};

// Lots that the brewer named for a plan stay with it: no other plan takes them.
enum class Pinned { yes };

template <>
struct WordsOf<Pinned> {
    static constexpr std::array<std::string_view, 1> list{"yes"};
};

// A promise: so much of a lot for a line of the plan's recipe (grist, then hops, then others, from 0).
struct Reservation {
    int line = 0;
    std::string lot;
    Amount amount;
    std::optional<std::string> instead_of = std::nullopt; // the recipe's item, where the lot is of another
    std::optional<Pinned> pinned = std::nullopt;
    friend bool operator==(const Reservation&, const Reservation&) = default;
};

template <>
struct FieldsOf<Reservation> {
    static constexpr auto list = Fields{
        field("line", &Reservation::line, {0.0, 1000.0}),
        field("lot", &Reservation::lot),
        field("mass_kg", &Reservation::amount, {0.0, 1e6}),
        field("instead_of", &Reservation::instead_of),
        field("pinned", &Reservation::pinned),
    };
};

// So much that a line of a plan is without and that is still to come, by order or as something to be got.
struct Awaited {
    int line = 0;
    Amount amount;
    friend bool operator==(const Awaited&, const Awaited&) = default;
};

template <>
struct FieldsOf<Awaited> {
    static constexpr auto list = Fields{
        field("line", &Awaited::line, {0.0, 1000.0}),
        field("mass_kg", &Awaited::amount, {0.0, 1e6}),
    };
};

// A plan is open until a brew names it or it is called off; an open plan's reservations are promises.
struct Plan {
    std::string code;
    Date date;
    std::string recipe;
    std::optional<std::string> brewhouse;
    std::optional<Litres> volume;
    std::vector<Reservation> reserved;
    std::optional<std::string> cancelled;              // why it was called off
    std::optional<std::string> adopted = std::nullopt; // the kind of substitution it follows: nearest, cheapest, ...
    std::vector<Awaited> awaited = {};                 // of a plan that follows one: what it leaves to be got
    std::optional<std::string> tank = std::nullopt;    // that it is to be run into
    std::optional<Date> tank_till = std::nullopt;      // when that is free again, where it is stated
    // whose crop it pitches: of a plan, or of a brew
    std::optional<std::string> yeast_of_plan = std::nullopt, yeast_of_brew = std::nullopt;
    friend bool operator==(const Plan&, const Plan&) = default;
};

template <>
struct FieldsOf<Plan> {
    static constexpr auto list = Fields{
        field("code", &Plan::code),
        field("date", &Plan::date),
        field("recipe", &Plan::recipe),
        field("brewhouse", &Plan::brewhouse),
        field("volume_l", &Plan::volume, {0.1, 1e6}),
        field("reserved", &Plan::reserved),
        field("cancelled", &Plan::cancelled),
        field("adopted", &Plan::adopted),
        field("awaited", &Plan::awaited),
        field("tank", &Plan::tank),
        field("tank_till", &Plan::tank_till),
        field("yeast_of_plan", &Plan::yeast_of_plan),
        field("yeast_of_brew", &Plan::yeast_of_brew),
    };
};

} // namespace lotwort
