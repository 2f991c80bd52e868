#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/brew/rules.hpp>

namespace lotwort {

namespace {

constexpr double least_extract_pct = 20.0; // below every malt and every raw grain
constexpr std::array<std::string_view, 8> units{"sg", "plato", "brix", "c", "l", "cm", "kg", "g"};
bool is_time_of_day(std::string_view at) {
    const auto digit = [&](std::size_t i) { return at[i] >= '0' && at[i] <= '9'; };
    if (at.size() != 5 || at[2] != ':' || !digit(0) || !digit(1) || !digit(3) || !digit(4)) return false;
    return at.substr(0, 2) < "24" && at.substr(3, 2) < "60";
}

} // namespace

void check_rules(const Instrument& instrument, const TellBroken& tell) {
    if (instrument.unit && std::ranges::find(units, *instrument.unit) == units.end())
        tell("unit", fmt::format("`{}` is none of {}", *instrument.unit, fmt::join(units, ", ")));
}

void check_rules(const Vessel& vessel, const TellBroken& tell) {
    for (std::size_t i = 1; i < vessel.dip_table.size(); ++i) {
        const DipMark& below = vessel.dip_table[i - 1];
        const DipMark& mark = vessel.dip_table[i];
        if (mark.depth <= below.depth || mark.volume < below.volume) {
            tell("dip_table", fmt::format("must rise: [{}, {}] stands above [{}, {}]", mark.depth.value(),
                                          mark.volume.value(), below.depth.value(), below.volume.value()));
            return;
        }
    }
}

void check_rules(const Brewhouse& brewhouse, const TellBroken& tell) {
    const auto& kettle = brewhouse.efficiency_kettle;
    const auto& fermenter = brewhouse.efficiency_fermenter;
    if (kettle && fermenter && *kettle < *fermenter)
        tell("efficiency_fermenter_pct", fmt::format("{:.6g} % is more than the {:.6g} % that were in the kettle",
                                                     fermenter->value(), kettle->value()));
    if (brewhouse.efficiency_sd && !kettle && !fermenter)
        tell("efficiency_sd_pct", "belongs to efficiency_fermenter_pct or efficiency_kettle_pct");
}

void check_rules(const GristLine& line, const TellBroken& tell) {
    if (line.share.has_value() == line.mass.has_value()) tell("", "needs either share_pct or mass_kg");
    if (line.extract && line.extract->value() < least_extract_pct)
        tell("extract_pct", fmt::format("{:.6g} % is no malt's: of the dry malt, finely ground, 50 to 100 % dissolve",
                                        line.extract->value()));
    if (line.share && line.extract)
        tell("extract_pct", "says what a mass is of; with share_pct the original gravity rules");
    if (line.share && line.colour)
        tell("colour_ebc", "says what a mass is of; with share_pct the original gravity rules");
}

void check_rules(const HopLine& line, const TellBroken& tell) {
    if (line.mass.has_value() == line.bitterness.has_value()) tell("", "needs either mass_g or bitterness_ibu");
    if (line.bitterness && line.alpha)
        tell("alpha_pct", "says what a mass is of; bitterness_ibu is met by the alpha of what is there");
    if (line.stage != Stage::boil && line.stage != Stage::stand && line.stage != Stage::dry)
        tell("stage", fmt::format("hops go into boil, stand or dry, not {}", word(line.stage)));
    if (line.bitterness && line.stage == Stage::dry)
        tell("bitterness_ibu", "a dry addition gives no bitterness that could be asked for; state mass_g");
}

bool states_no_amount(const OtherLine& line) {
    return !line.mass && !line.volume && !line.count;
}

void check_rules(const OtherLine& line, const TellBroken& tell) {
    const int stated = (line.mass ? 1 : 0) + (line.volume ? 1 : 0) + (line.count ? 1 : 0);
    // a yeast without any is counted by its cells
    if (stated > 1 || (stated == 0 && line.stage != Stage::fermenter))
        tell("", "needs exactly one of mass_kg, volume_l, count");
}

GristShares shares_of(const Recipe& recipe) {
    GristShares shares;
    for (const GristLine& line : recipe.grist) {
        if (!line.share) continue;
        ++shares.lines;
        shares.sum_pct += line.share->value();
    }
    return shares;
}

void check_rules(const Recipe& recipe, const TellBroken& tell) {
    for (std::size_t i = 0; i < recipe.hops.size(); ++i) {
        const HopLine& hop = recipe.hops[i];
        if (hop.stage == Stage::boil && hop.minutes && recipe.boil && *recipe.boil < *hop.minutes)
            tell(fmt::format("hops[{}].minutes", i),
                 fmt::format("{:.6g} min in a boil of {:.6g} min", hop.minutes->value(), recipe.boil->value()));
    }
    const GristShares shares = shares_of(recipe);
    const std::string_view efficiency = recipe.efficiency_kettle      ? "efficiency_kettle_pct"
                                        : recipe.efficiency_fermenter ? "efficiency_fermenter_pct"
                                                                      : "";
    if (!efficiency.empty() && shares.lines > 0)
        tell(efficiency, "says what masses were written for; with share_pct the original gravity rules");
    if (recipe.efficiency_kettle && recipe.efficiency_fermenter)
        tell("efficiency_kettle_pct", "stands beside efficiency_fermenter_pct; state one of them");
    if (shares.lines == 0) return;
    if (shares.lines != recipe.grist.size())
        tell("grist", "mixes share_pct and mass_kg; state one of them on every line");
    else if (!shares.is_whole())
        tell("grist", fmt::format("the shares sum to {:.6g} %, not 100", shares.sum_pct));
    if (!recipe.original_gravity) tell("original_gravity_sg", "is missing: a grist by shares gets its masses from it");
}

void check_rules(const Reading& reading, const TellBroken& tell) {
    const int volumes = (reading.volume ? 1 : 0) + (reading.depth ? 1 : 0) + (reading.mass ? 1 : 0);
    const int gravities = (reading.gravity_sg ? 1 : 0) + (reading.gravity_plato ? 1 : 0) + (reading.brix ? 1 : 0);
    if (volumes > 1) tell("", "states more than one of volume_l, depth_cm, mass_kg; make two readings of it");
    if (gravities > 1) tell("", "states more than one of gravity_sg, gravity_plato, brix; make two readings of it");
    const bool other = reading.temperature || reading.ph || reading.mill_gap || reading.bitterness;
    if (volumes + gravities == 0 && !other) tell("", "reads nothing; state a volume, a gravity, a temperature or a ph");
    if (reading.mill_gap && reading.point != ReadingPoint::mash) tell("mill_gap_mm", "belongs to the mash");
    if (reading.bitterness && reading.point != ReadingPoint::final_beer)
        tell("bitterness_ibu", "belongs to the final beer");
    if (reading.on && !is_fermented_point(reading.point))
        tell("on", "belongs to what ferments and to the final beer; all else is of the brew's day");
    if (reading.at && !is_time_of_day(*reading.at))
        tell("at", fmt::format("`{}` is no time of day; write HH:MM, such as 09:30", *reading.at));
}

void check_rules(const Package& package, const TellBroken& tell) {
    if (package.best_before && *package.best_before < package.on)
        tell("best_before",
             fmt::format("{} is before it was filled, on {}", to_iso(*package.best_before), to_iso(package.on)));
    for (std::size_t i = 0; i < package.sent.size(); ++i) {
        const Sent& sent = package.sent[i];
        const std::string where = fmt::format("sent[{}]", i);
        if (sent.count == 0) tell(where + ".count", "says that nothing went or came back");
        if (sent.on < package.on)
            tell(where + ".sent_on",
                 fmt::format("{} is before it was filled, on {}", to_iso(sent.on), to_iso(package.on)));
    }
}

void check_rules(const Tank& tank, const TellBroken& tell) {
    if (tank.holds && tank.used_for) tell("used_for", "a tank that holds a brew is used for nothing else");
    const bool in_use = tank.holds || tank.used_for;
    if (tank.till && !in_use) tell("till", "says until when it is in use: holds or used_for is missing");
    if (in_use && !tank.since) tell("since", "is missing: the day it was filled");
    if (tank.since && tank.till && *tank.till < *tank.since)
        tell("till", fmt::format("{} is before it was filled, on {}", to_iso(*tank.till), to_iso(*tank.since)));
}

void check_rules(const Plan& plan, const TellBroken& tell) {
    if (plan.tank_till && !plan.tank) tell("tank_till", "is of a plan that names a tank");
    if (plan.tank_till && *plan.tank_till < plan.date)
        tell("tank_till", fmt::format("{} is before the brew, on {}", to_iso(*plan.tank_till), to_iso(plan.date)));
    if (plan.yeast_of_plan && plan.yeast_of_brew) tell("yeast_of_brew", "stands beside yeast_of_plan: give one");
    if (plan.yeast_of_plan == plan.code) tell("yeast_of_plan", "a plan cannot pitch its own crop");
}

void check_rules(const Brew& brew, const TellBroken& tell) {
    for (std::size_t i = 0; i < brew.additions.size(); ++i)
        if (brew.additions[i].package && brew.additions[i].stage != Stage::fermenter)
            tell(fmt::format("additions[{}].package", i), "what primes goes in at the stage fermenter");
    if (!brew.abandoned && !brew.unused.empty())
        tell("unused", "nothing comes back from a brew that was not abandoned");
}

namespace {

// Tells of the records of a list with the place of each: grist[0].share_pct.
template <class Record>
void check_each(std::string_view list, const std::vector<Record>& records, const TellBroken& tell) {
    for (std::size_t i = 0; i < records.size(); ++i)
        check_rules(records[i], [&](std::string_view field, std::string_view what) {
            tell(fmt::format("{}[{}]{}{}", list, i, field.empty() ? "" : ".", field), what);
        });
}

// The same of a record's own lists.
template <class Record>
void check_lists(const Record& /*has none*/, const TellBroken& /*tell*/) {}
void check_lists(const Brewhouse& brewhouse, const TellBroken& tell) {
    check_each("vessels", brewhouse.vessels, tell);
}
void check_lists(const Lot& lot, const TellBroken& tell) {
    if (lot.certificate)
        check_rules(*lot.certificate, [&](std::string_view field, std::string_view what) {
            tell(fmt::format("certificate.{}", field), what);
        });
    check_each("retests", lot.retests, tell);
}
void check_lists(const Recipe& recipe, const TellBroken& tell) {
    check_each("grist", recipe.grist, tell);
    check_each("hops", recipe.hops, tell);
    check_each("others", recipe.others, tell);
}
void check_lists(const Brew& brew, const TellBroken& tell) {
    check_each("readings", brew.readings, tell);
}

template <class Record, class Name>
void check_all(std::string_view kind, const std::vector<Record>& records, Name&& name, const TellRecord& tell) {
    for (const Record& record : records) {
        const TellBroken of_this = [&](std::string_view field, std::string_view what) {
            tell(fmt::format("{} `{}`", kind, name(record)), field, what);
        };
        check_lists(record, of_this);
        if constexpr (requires { check_rules(record, of_this); }) check_rules(record, of_this);
    }
}

} // namespace

namespace {

// What is counted by its cells is a yeast, as far as the book holds the item.
void check_counted(const Book& book, const TellRecord& tell) {
    for (const Recipe& recipe : book.recipes)
        for (std::size_t i = 0; i < recipe.others.size(); ++i) {
            const OtherLine& line = recipe.others[i];
            if (!states_no_amount(line)) continue;
            const auto item = std::ranges::find(book.items, line.item, &Item::name);
            if (item != book.items.end() && item->kind != ItemKind::yeast)
                tell(fmt::format("recipe `{}`", recipe.name), fmt::format("others[{}]", i),
                     fmt::format("needs one of mass_kg, volume_l, count: {} is no yeast", line.item));
        }
}

} // namespace

void check_rules(const Book& book, const TellRecord& tell) {
    check_counted(book, tell);
    const auto named = [](const auto& record) -> const std::string& { return record.name; };
    const auto coded = [](const auto& record) -> const std::string& { return record.code; };
    check_all("item", book.items, named, tell);
    check_all("instrument", book.instruments, named, tell);
    check_all("brewhouse", book.brewhouses, named, tell);
    check_all("recipe", book.recipes, named, tell);
    check_all("tank", book.tanks, named, tell);
    check_all("supplier", book.suppliers, named, tell);
    check_all(
        "offer of", book.offers, [](const Offer& offer) { return offer.supplier; }, tell);
    check_all("lot", book.lots, coded, tell);
    check_all("brew", book.brews, coded, tell);
    check_all("package", book.packages, coded, tell);
    check_all("plan", book.plans, coded, tell);
    check_all(
        "movement of", book.movements, [](const Movement& movement) { return movement.lot; }, tell);
}

} // namespace lotwort
