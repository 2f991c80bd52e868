#include "reconcile_words.hpp"
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/brewhouse.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

// One figure of the kit: its name for people and for machines, its value, and one standard deviation of a brew.
struct KitRow {
    std::string what;
    std::string field;
    double value = 0.0;
    std::string unit;
    std::optional<double> sd;
    std::string sd_field;
};

std::vector<KitRow> kit_rows(const Kit& kit) {
    return {
        {"mash liquor", "mash_ratio_l_per_kg", kit.mash_ratio_l_per_kg, "L/kg", kit.mash_ratio_sd_l_per_kg, ""},
        {"wort held by the grain", "absorption_l_per_kg", kit.absorption_l_per_kg, "L/kg", kit.absorption_sd_l_per_kg,
         "absorption_sd_l_per_kg"},
        {"wort left in the tun", "tun_loss_l", kit.tun_loss_l, "L", {}, ""},
        {"boil-off", "boil_off_l_per_h", kit.boil_off_l_per_h, "L/h", kit.boil_off_sd_l_per_h, "boil_off_sd_l_per_h"},
        {"wort left in the kettle", "kettle_loss_l", kit.kettle_loss_l, "L", kit.kettle_loss_sd_l, "kettle_loss_sd_l"},
        {"wort held by hops", "hop_absorption_l_per_kg", kit.hop_absorption_l_per_kg, "L/kg", {}, ""},
        {"conversion", "conversion_pct", 100.0 * kit.conversion, "%", 100.0 * kit.conversion_sd, "conversion_sd_pct"},
        {"lautering, of expected", "lauter_pct_of_expected", 100.0 * kit.lauter_of_expected, "%", 100.0 * kit.lauter_sd,
         "lauter_sd_pct"},
    };
}

// What the brewer states of how far brews scatter; what is told of the whole may leave less of it.
std::optional<double> stated_sd(const Brewhouse& b, std::string_view field) {
    const auto value = [](const auto& sd) { return sd ? std::optional(sd->value()) : std::nullopt; };
    if (field == "absorption_sd_l_per_kg") return value(b.absorption_sd);
    if (field == "boil_off_sd_l_per_h") return value(b.boil_off_sd);
    if (field == "kettle_loss_sd_l") return value(b.kettle_loss_sd);
    if (field == "conversion_sd_pct") return value(b.conversion_sd);
    if (field == "lauter_sd_pct") return value(b.lauter_sd);
    return std::nullopt;
}

// The house's figures that an efficiency which is told moves, where nobody states them.
bool is_drawn(const Kit& kit, const std::string& field) {
    constexpr std::array<std::string_view, 5> moved{"conversion_pct", "lauter_pct_of_expected", "boil_off_l_per_h",
                                                    "absorption_l_per_kg", "kettle_loss_l"};
    return kit.level_covariance && std::ranges::find(moved, field) != moved.end();
}

// What the brewer tells of the whole, and what all that is stated comes to.
std::string told_text(const ShownBrewhouse& shown) {
    const auto& [brewhouse, kit] = shown;
    if (!kit.level_covariance) return {};
    const EfficiencyExpected expected = efficiency_expected(kit);
    std::string text;
    const auto line = [&](const std::optional<Percent>& told, std::string_view where, double comes_to) {
        if (!told) return;
        const double sd = told_efficiency_sd(brewhouse).value();
        text += fmt::format("told: {} ± {} % of the malt's extract in the {}; with the rest {} %\n",
                            readable(told->value()), readable(sd), where, fixed(100.0 * comes_to, 1));
        if (std::abs(100.0 * comes_to - told->value()) > 2.0 * sd)
            text += "  that is more than twice ± from what is told: the other figures speak against it\n";
    };
    line(brewhouse.efficiency_kettle, "kettle", expected.kettle);
    line(brewhouse.efficiency_fermenter, "fermenter", expected.fermenter);
    return text + "\n";
}

bool is_assumed(const Kit& kit, const std::string& field) {
    return std::ranges::find(kit.assumed, field) != kit.assumed.end();
}

// The option that states the figure: boil-off of boil_off_l_per_h, conversion-sd of conversion_sd_pct.
std::string option_of(std::string field) {
    if (field == "lauter_pct_of_expected") return "lauter";
    for (const std::string_view unit : {"_l_per_kg", "_l_per_h", "_pct", "_l"})
        if (field.ends_with(unit)) {
            field.resize(field.size() - unit.size());
            break;
        }
    std::ranges::replace(field, '_', '-');
    return field;
}

// Three figures are what such a number is known to.
std::string figure(double value) {
    return shortest(std::stod(fmt::format("{:.3g}", value)));
}

// The option that states one figure of those that nobody has: a mean before its scatter, the boil-off first.
std::string stating(const Kit& kit) {
    auto rows = kit_rows(kit);
    std::ranges::stable_sort(rows, {}, [](const KitRow& row) { return row.field != std::string("boil_off_l_per_h"); });
    for (const KitRow& row : rows)
        if (is_assumed(kit, row.field))
            return fmt::format("--{} {}{}", option_of(row.field), figure(row.value), row.unit);
    if (is_assumed(kit, "wash_stages")) return fmt::format("--wash-stages {}", figure(kit.wash_stages));
    if (is_assumed(kit, "sparge")) return fmt::format("--sparge {}", word(kit.sparge));
    for (const KitRow& row : rows)
        if (is_assumed(kit, row.sd_field))
            return fmt::format("--{} {}{}", option_of(row.sd_field), figure(*row.sd), row.unit);
    report_bug("what is assumed is a figure of the kit", std::source_location::current());
}

std::string sparge_text(const Kit& kit) {
    switch (kit.sparge) {
    case Sparge::none:
        return "no sparge: all liquor goes into the mash";
    case Sparge::batch: {
        const int sparges = static_cast<int>(kit.wash_stages) - 1;
        return fmt::format("batch sparge, {} after the first wort",
                           sparges == 1 ? "one wash" : fmt::format("{} washes", sparges));
    }
    case Sparge::continuous:
        return fmt::format("continuous sparge, as good as {} washing stages", figure(kit.wash_stages));
    }
    report_bug("sparge is known", std::source_location::current());
}

std::string instruments_text(const std::vector<ShownInstrument>& instruments) {
    Table table{{{"INSTRUMENT", Align::left, true},
                 {"KIND"},
                 {"UNIT"},
                 {"RIGHT AT", Align::right},
                 {"ONE READING", Align::right},
                 {"SHARED BIAS", Align::right},
                 {"FROM"}},
                {}};
    for (const auto& shown : instruments) {
        const auto& i = shown.instrument;
        table.rows.push_back({shown.typical ? "(none stated)" : i.name, std::string(word(i.kind)), i.unit.value_or(""),
                              i.calibration ? fmt::format("{} °C", readable(i.calibration->value())) : "",
                              fmt::format("± {}", figure(shown.reading_sd)), fmt::format("± {}", figure(shown.bias_sd)),
                              shown.typical ? "typical" : "stated"});
    }
    std::string corrected;
    for (const auto& shown : instruments)
        if (shown.instrument.correction)
            corrected +=
                fmt::format("{}: {}{} {} is added to all it reads\n", shown.instrument.name,
                            *shown.instrument.correction > 0.0 ? "+" : "", readable(*shown.instrument.correction),
                            shown_unit(shown.instrument.unit.value_or("")));
    for (const auto& shown : instruments) {
        const Instrument& i = shown.instrument;
        if (i.checks.empty()) continue;
        const InstrumentCheck& last = i.checks.back();
        const std::string unit = shown_unit(i.unit.value_or(""));
        corrected +=
            wrapped(fmt::format("{}: checked {}{}: it read {}{} {}", i.name,
                                i.checks.size() == 1 ? "once" : fmt::format("{} times", i.checks.size()),
                                last.on ? (i.checks.size() == 1 ? " on " : ", last on ") + to_iso(*last.on) : "",
                                fixed(std::abs(last.read + i.correction.value_or(0.0) - last.known), places_of(i)),
                                unit.empty() ? "" : " " + unit,
                                last.read + i.correction.value_or(0.0) < last.known ? "low" : "high"),
                    2);
    }
    return table_text(table) + "± is one standard deviation, in the instrument's unit.\n" + corrected;
}

std::string vessels_text(const Brewhouse& brewhouse) {
    std::string text;
    for (const auto& vessel : brewhouse.vessels) {
        text += fmt::format("  {:<14}", word(vessel.point));
        if (vessel.volume_instrument) text += fmt::format(" volume by {};", *vessel.volume_instrument);
        if (vessel.gravity_instrument) text += fmt::format(" gravity by {};", *vessel.gravity_instrument);
        if (!vessel.dip_table.empty())
            text += fmt::format(" dip table {} to {} cm;", readable(vessel.dip_table.front().depth.value()),
                                readable(vessel.dip_table.back().depth.value()));
        if (vessel.wall_expansion_per_c)
            text += fmt::format(" walls swell by {} per °C;", readable(*vessel.wall_expansion_per_c));
        text.back() = text.back() == ';' ? '\n' : text.back();
        if (text.back() != '\n') text += '\n';
    }
    return text.empty() ? "" : "\nVessels\n" + text;
}

void instrument_json(JsonWriter& w, const ShownInstrument& shown) {
    w.begin_object().key("stated");
    write_json(w, shown.instrument);
    w.field("typical", shown.typical).field("at", shown.at);
    w.field("reading_sd", shown.reading_sd).field("shared_bias_sd", shown.bias_sd).end_object();
}

} // namespace

int places_of(const Instrument& instrument) {
    const std::string unit = instrument.unit.value_or("");
    return unit == "sg" ? 4 : unit == "kg" ? 3 : 2;
}

std::string brewhouse_list_text(const std::vector<ShownBrewhouse>& brewhouses,
                                const std::vector<ShownInstrument>& instruments) {
    if (brewhouses.empty()) return "no brewhouse yet; next: lotwort brewhouse add garage 23L\n";
    Table table{{{"BREWHOUSE", Align::left, true},
                 {"VOLUME", Align::right},
                 {"SPARGE"},
                 {"BOIL-OFF", Align::right},
                 {"CONVERSION", Align::right},
                 {"TYPICAL FIGURES", Align::right}},
                {}};
    for (const auto& [brewhouse, kit] : brewhouses)
        table.rows.push_back({brewhouse.name, fmt::format("{} L", readable(brewhouse.volume.value())),
                              std::string(word(kit.sparge)), fmt::format("{} L/h", figure(kit.boil_off_l_per_h)),
                              fmt::format("{} %", figure(100.0 * kit.conversion)), std::to_string(kit.assumed.size())});
    return table_text(table) + "\n" + instruments_text(instruments);
}

std::string brewhouse_text(const ShownBrewhouse& shown, const std::vector<ShownInstrument>& instruments) {
    const auto& [brewhouse, kit] = shown;
    std::string text = fmt::format("{}: {} L in the fermenter; {}\n\n", brewhouse.name,
                                   readable(brewhouse.volume.value()), sparge_text(kit)) +
                       told_text(shown);
    Table table{{{"FIGURE"}, {"VALUE", Align::right}, {"BREW TO BREW", Align::right}, {"FROM"}}, {}};
    for (const auto& row : kit_rows(kit)) {
        const bool typical = is_assumed(kit, row.field);
        const bool not_stated = row.field == "hop_absorption_l_per_kg" && !brewhouse.hop_absorption;
        table.rows.push_back(
            {row.what, fmt::format("{} {}", figure(row.value), row.unit),
             row.sd ? fmt::format("± {} {}", figure(stated_sd(brewhouse, row.sd_field).value_or(*row.sd)), row.unit)
                    : "",
             typical      ? (is_drawn(kit, row.field) ? "typical, drawn" : "typical")
             : not_stated ? "not stated"
                          : "stated"});
    }
    text += table_text(table);
    if (brewhouse.brews_per_day) text += fmt::format("does {} a day\n", counted(*brewhouse.brews_per_day, "brew"));
    if (brewhouse.works_in == UnitSystem::us) text += "answers are in lb, oz, gal(US) and °F\n";
    if (brewhouse.weigh_step || brewhouse.hop_step)
        text += fmt::format("weighs malt to {}, hops to {}\n",
                            to_text(Amount::of(brewhouse.weigh_step.value_or(Kilograms(0.01)))),
                            to_text(Amount::of(brewhouse.hop_step.value_or(Kilograms(0.001)))));
    if (!kit.assumed.empty())
        text +=
            fmt::format("{}typical: nobody has stated it, so it is taken wide. State what you know, such as\n"
                        "  lotwort brewhouse change {} {}\n",
                        kit.level_covariance ? "drawn: moved by what is told of the whole; brews overtake it.\n" : "",
                        shell_word(brewhouse.name), stating(kit));
    return text + vessels_text(brewhouse) + "\n" + instruments_text(instruments);
}

std::string brewhouse_json(const std::vector<ShownBrewhouse>& brewhouses,
                           const std::vector<ShownInstrument>& instruments, const Booked* booked) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/brewhouse/1").key("brewhouses").begin_array();
    for (const auto& [brewhouse, kit] : brewhouses) {
        w.begin_object().key("stated");
        write_json(w, brewhouse);
        w.key("in_use").begin_object();
        w.field("volume_l", kit.volume_l).field("sparge", word(kit.sparge)).field("wash_stages", kit.wash_stages);
        for (const auto& row : kit_rows(kit)) {
            w.field(row.field, row.value);
            if (row.sd && !row.sd_field.empty()) w.field(row.sd_field, *row.sd);
        }
        const EfficiencyExpected expected = efficiency_expected(kit);
        w.field("efficiency_kettle_pct", 100.0 * expected.kettle);
        w.field("efficiency_fermenter_pct", 100.0 * expected.fermenter);
        w.end_object().field("assumed", kit.assumed).end_object();
    }
    w.end_array().key("instruments").begin_array();
    for (const auto& instrument : instruments) instrument_json(w, instrument);
    w.end_array();
    if (booked != nullptr) booked_fields(w, *booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
