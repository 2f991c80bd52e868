// A brewhouse's figures and vessels from options.
#include "brewhouse.hpp"
#include "dip.hpp"
#include "efficiency.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/kit.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>

namespace lotwort::verbs {

namespace {

struct Setter {
    std::string_view option;
    std::string_view field; // of the record: its believable range
    void (*set)(Brewhouse&, const std::string&, Range);
};

template <auto Member, auto Parse>
void set(Brewhouse& brewhouse, const std::string& text, Range range) {
    brewhouse.*Member = Parse(text, range);
}

constexpr auto ratio = parse_litres_per_kilogram;
constexpr auto rate = parse_litres_per_hour;
constexpr auto volume = parse_volume;
constexpr auto percent = parse_percent;
constexpr auto mass = parse_mass;

Sparge parse_sparge(const std::string& text, Range) {
    return verbs::parse_sparge(text);
}
int parse_sparges(const std::string& text, Range range) {
    return static_cast<int>(
        parse_whole(text, "number of washes", static_cast<int>(range.least), static_cast<int>(range.most)));
}
int parse_turns(const std::string& text, Range range) {
    return static_cast<int>(
        parse_whole(text, "number of brews", static_cast<int>(range.least), static_cast<int>(range.most)));
}
UnitSystem parse_system(const std::string& text, Range) {
    return parse_word<UnitSystem>(lowered(text), "a system of units");
}
double parse_stages(const std::string& text, Range range) {
    return parse_number(text, "number of washing stages", range);
}
Metres parse_altitude(const std::string& text, Range range) {
    return Metres(parse_length(text, {range.least * 100.0, range.most * 100.0}).value() / 100.0);
}

constexpr std::array<Setter, 27> setters{{
    {"sparge", "sparge", set<&Brewhouse::sparge, parse_sparge>},
    {"batch-sparges", "batch_sparges", set<&Brewhouse::batch_sparges, parse_sparges>},
    {"wash-stages", "wash_stages", set<&Brewhouse::wash_stages, parse_stages>},
    {"mash-ratio", "mash_ratio_l_per_kg", set<&Brewhouse::mash_ratio, ratio>},
    {"absorption", "absorption_l_per_kg", set<&Brewhouse::absorption, ratio>},
    {"absorption-sd", "absorption_sd_l_per_kg", set<&Brewhouse::absorption_sd, ratio>},
    {"hop-absorption", "hop_absorption_l_per_kg", set<&Brewhouse::hop_absorption, ratio>},
    {"tun-loss", "tun_loss_l", set<&Brewhouse::tun_loss, volume>},
    {"boil-off", "boil_off_l_per_h", set<&Brewhouse::boil_off, rate>},
    {"boil-off-sd", "boil_off_sd_l_per_h", set<&Brewhouse::boil_off_sd, rate>},
    {"kettle-loss", "kettle_loss_l", set<&Brewhouse::kettle_loss, volume>},
    {"kettle-loss-sd", "kettle_loss_sd_l", set<&Brewhouse::kettle_loss_sd, volume>},
    {"conversion", "conversion_pct", set<&Brewhouse::conversion, percent>},
    {"conversion-sd", "conversion_sd_pct", set<&Brewhouse::conversion_sd, percent>},
    {"lauter", "lauter_pct_of_expected", set<&Brewhouse::lauter_of_expected, percent>},
    {"lauter-sd", "lauter_sd_pct", set<&Brewhouse::lauter_sd, percent>},
    {"absorption-level-sd", "absorption_level_sd_l_per_kg", set<&Brewhouse::absorption_level_sd, ratio>},
    {"boil-off-level-sd", "boil_off_level_sd_l_per_h", set<&Brewhouse::boil_off_level_sd, rate>},
    {"kettle-loss-level-sd", "kettle_loss_level_sd_l", set<&Brewhouse::kettle_loss_level_sd, volume>},
    {"conversion-level-sd", "conversion_level_sd_pct", set<&Brewhouse::conversion_level_sd, percent>},
    {"lauter-level-sd", "lauter_level_sd_pct", set<&Brewhouse::lauter_level_sd, percent>},
    {"altitude", "altitude_m", set<&Brewhouse::altitude, parse_altitude>},
    {"brews-per-day", "brews_per_day", set<&Brewhouse::brews_per_day, parse_turns>},
    {"works-in", "works_in", set<&Brewhouse::works_in, parse_system>},
    {"weigh-step", "weigh_step_kg", set<&Brewhouse::weigh_step, mass>},
    {"hop-step", "hop_step_kg", set<&Brewhouse::hop_step, mass>},
    {"crumb", "crumb_kg", set<&Brewhouse::crumb, mass>},
}};

// No kit boils itself dry within the hour, nor leaves all of its wort behind.
void demand_of_its_size(const Brewhouse& brewhouse) {
    const double volume = brewhouse.volume.value();
    const auto demand = [&](std::string_view option, const auto& stated, std::string_view unit, double typical) {
        if (!stated || stated->value() <= volume) return;
        throw Error(ErrorKind::refused,
                    fmt::format("--{} of {} {} is more than the {} L that {} brews", option, readable(stated->value()),
                                unit, readable(volume), brewhouse.name),
                    fmt::format("up to {} {} is taken; typical of this size: {} {}", readable(volume), unit,
                                fixed(typical, 1), unit));
    };
    Brewhouse plain;
    plain.volume = brewhouse.volume;
    const Kit typical = kit_of(plain);
    demand("boil-off", brewhouse.boil_off, "L/h", typical.boil_off_l_per_h);
    demand("boil-off-sd", brewhouse.boil_off_sd, "L/h", typical.boil_off_sd_l_per_h);
    demand("boil-off-level-sd", brewhouse.boil_off_level_sd, "L/h", typical.boil_off_level_sd_l_per_h);
    demand("kettle-loss", brewhouse.kettle_loss, "L", typical.kettle_loss_l);
    demand("kettle-loss-sd", brewhouse.kettle_loss_sd, "L", typical.kettle_loss_sd_l);
    demand("kettle-loss-level-sd", brewhouse.kettle_loss_level_sd, "L", typical.kettle_loss_level_sd_l);
    demand("tun-loss", brewhouse.tun_loss, "L", typical.tun_loss_l);
}

} // namespace

DipMark parse_dip(const std::string& text) {
    const auto between = text.find_first_of("=:");
    if (between == std::string::npos)
        throw Error(ErrorKind::refused, fmt::format("`{}` is no mark of a dip table", text),
                    "write depth and volume, such as --dip 10cm=5.2L");
    return {parse_length(text.substr(0, between), {0.0, 2000.0}), parse_volume(text.substr(between + 1))};
}

void demand_rising(const std::vector<DipMark>& table) {
    for (std::size_t i = 1; i < table.size(); ++i)
        if (table[i].depth <= table[i - 1].depth || table[i].volume < table[i - 1].volume)
            throw Error(ErrorKind::refused, "the dip table does not rise",
                        "give each depth once; a deeper mark holds no less");
    if (table.size() == 1)
        throw Error(ErrorKind::refused, "one mark is no dip table",
                    "give two at least, such as --dip 0cm=0L --dip 40cm=25L");
}

bool lay_over(const Call& call, Brewhouse& brewhouse) {
    bool any = false;
    for (const Setter& setter : setters) {
        const auto set = read_option(call, setter.option, [&](const std::string& text) {
            setter.set(brewhouse, text, range_of<Brewhouse>(setter.field));
            return true;
        });
        any = any || set;
    }
    if (const auto efficiency = parse_efficiency(call)) {
        brewhouse = without_told_efficiency(std::move(brewhouse));
        (efficiency->in_kettle ? brewhouse.efficiency_kettle : brewhouse.efficiency_fermenter) = efficiency->value;
        brewhouse.efficiency_sd = efficiency->sd;
        any = true;
    }
    demand_of_its_size(brewhouse);
    if (brewhouse.sparge && *brewhouse.sparge != Sparge::batch && call.args.has("batch-sparges"))
        throw Error(ErrorKind::refused, "--batch-sparges goes with a batch sparge", "add --sparge batch");
    return any;
}

Brewhouse with_vessel(const Call& call, const Book& book, const Brewhouse& before) {
    const auto point = call.args.text("point");
    if (!point)
        throw Error(ErrorKind::usage, "--point is missing: which vessel",
                    "write: lotwort brewhouse vessel NAME --point kettle-full --volume-by \"kettle marks\"");
    Brewhouse brewhouse = before;
    const ReadingPoint at = *read_option(
        call, "point", [](const std::string& text) { return parse_word<ReadingPoint>(text, "a point of the brew"); });
    auto vessel = std::ranges::find(brewhouse.vessels, at, &Vessel::point);
    if (vessel == brewhouse.vessels.end()) {
        brewhouse.vessels.emplace_back();
        vessel = std::prev(brewhouse.vessels.end());
        vessel->point = at;
    }
    // named here, it is checked here: an instrument of the wrong kind would stand in the way of every later answer
    const auto instrument = [&](InstrumentKind kind) {
        return [&, kind](const std::string& name) {
            const std::string known = known_instrument(book, name).name;
            return instrument_for(known, kind, brewhouse, at, book.instruments).name;
        };
    };
    if (const auto name = read_option(call, "volume-by", instrument(InstrumentKind::volume_marks)))
        vessel->volume_instrument = *name;
    if (const auto name = read_option(call, "gravity-by", instrument(InstrumentKind::hydrometer)))
        vessel->gravity_instrument = *name;
    if (call.args.has("dip")) vessel->dip_table = read_each(call, "dip", parse_dip);
    std::ranges::sort(vessel->dip_table, {}, &DipMark::depth);
    demand_rising(vessel->dip_table);
    const auto expansion = read_option(call, "wall-expansion", [](const std::string& text) {
        return parse_number(text, "wall expansion", range_of<Vessel>("wall_expansion_per_c"));
    });
    if (expansion) vessel->wall_expansion_per_c = *expansion;
    if (brewhouse == before)
        refuse_no_change(call, fmt::format("the vessel at {}", *point),
                         "say what: --volume-by, --gravity-by, --dip or --wall-expansion");
    return brewhouse;
}

} // namespace lotwort::verbs
