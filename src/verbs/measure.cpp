// measure: record a gravity, volume, temperature or weight at a point of the brew.
#include "brew/corrections.hpp"
#include "brew/doubt_readings.hpp"
#include "doubts.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"BREW", "its code: B1"},
    {"READING", "POINT and what was read there, as often as need be: kettle-full 28L@95C 1.040@20C", true, true},
};

constexpr Option options[] = {
    {"instrument", "NAME", "what they were read with; it goes to the readings of its kind", true},
    {"mash", "N", "which of several mashes into one kettle, from 1"},
    {"run", "N", "which of several runnings or batches of liquor, from 1"},
    {"at", "HH:MM", "the time of day"},
    {"before", "ID", "of liquor that was forgotten: it was in there when this reading was taken"},
    {"set-aside", "ID", "leave a reading out of the balance, or one value of it: r3, r3.gravity"},
    {"correct", "ID", "a reading that was written down wrong, with what it should say: r3 gravity=1.045@20C"},
    {"reason", "TEXT", "why it is set aside or corrected"},
};

// The brew's head, to which a part of it is booked.
Brew head_of(const Brew& brew) {
    Brew head = brew;
    head.additions.clear();
    head.readings.clear();
    head.unused.clear();
    return head;
}

// Liquor of some waters reads 8 and a little more, wort 4 to 6.5, an acid mash hardly below 4.
void demand_believable_ph(const std::vector<Reading>& readings) {
    for (const Reading& reading : readings)
        if (reading.ph && (*reading.ph < 3.0 || *reading.ph > 9.5))
            throw Error(ErrorKind::refused,
                        fmt::format("pH {} at {} is not believable", shortest(*reading.ph), word(reading.point)),
                        "wort reads 4 to 6.5, liquor up to 9; calibrate the meter, and read again");
}

// Told, and not refused: a second reading may well come out the same.
std::vector<std::string> twice_remarks(const std::vector<Reading>& readings, const std::vector<Reading>& standing) {
    std::vector<std::string> remarks;
    for (const Reading& reading : readings)
        for (Reading known : standing) {
            known.id = reading.id;
            known.at = reading.at;
            known.set_aside.reset();
            if (known == reading)
                remarks.push_back(fmt::format("{} says what an earlier reading of {} says; if it is that one booked "
                                              "twice, set one of them aside",
                                              reading.id, word(reading.point)));
        }
    return remarks;
}

std::optional<Recipe> recipe_of(const Brew& brew, const Book& book) {
    const auto recipe = std::ranges::find(book.recipes, brew.recipe.value_or(""), &Recipe::name);
    return recipe == book.recipes.end() ? std::nullopt : std::optional(*recipe);
}

// Of its plan, else the brewhouse's.
Litres volume_meant(Call& call, const Brew& brew, const Brewhouse& brewhouse) {
    const auto plans = call.ledger().plans();
    const auto plan = std::ranges::find(plans, brew.plan.value_or(""), &Plan::code);
    return plan != plans.end() && plan->volume ? *plan->volume : brewhouse.volume;
}

std::string what_was_read(const std::vector<Reading>& readings, const Brew& brew) {
    std::string ids, points;
    for (const auto& reading : readings) {
        ids += (ids.empty() ? "" : ", ") + reading.id;
        points += (points.empty() ? "" : ", ") + std::string(word(reading.point));
    }
    return fmt::format("read {} of {}: {}", ids, brew.code, points);
}

Answer show(Call& call, const ReadingPlace& place) {
    call.goes(fmt::format("the readings of {} are shown", place.brew.code),
              fmt::format("say what was read: lotwort measure {} kettle-full 28L@95C 1.040@20C", place.brew.code));
    const report::Measured measured{place.brew.code, meanings(place.brew.readings, place), {}, nullptr};
    if (call.json()) return {report::measure_json(measured)};
    return {call.csv() ? report::measure_csv(measured) : report::measure_text(measured)};
}

Answer run(Call& call) {
    const bool sets_aside = call.args.has("set-aside"), corrects = call.args.has("correct");
    const bool reads = call.args.has("READING") && !corrects, mends = sets_aside || corrects;
    if (!mends && !reads) call.only_reads();
    if (sets_aside && (reads || corrects))
        throw Error(ErrorKind::usage, "a reading is set aside by itself", "book the new readings with another call");
    const Book book = call.ledger().definitions();
    const Brew brew = known_brew(call.ledger(), call.args.required("BREW"));
    const Brewhouse& brewhouse = known_brewhouse(book, brew.brewhouse);
    if (reads) demand_brewed(brew, call.on());
    const ReadingPlace place{brew, brewhouse, book.instruments};
    if (!mends && !reads) return show(call, place);

    call.goes(sets_aside ? "a reading is set aside as it is"
              : corrects ? "a reading is corrected, and keeps what is not said anew"
                         : "readings are booked",
              sets_aside ? "write --set-aside ID --reason TEXT"
              : corrects ? "write --correct ID gravity=1.045@20C"
                         : "--reason goes with --set-aside ID");
    const bool csv = call.csv();
    Book part;
    part.brews.push_back(head_of(brew));
    auto& readings = part.brews.front().readings;
    std::string what;
    if (mends) {
        Corrected mended = sets_aside ? set_aside(call, place) : corrected(call, place);
        readings = std::move(mended.readings);
        what = std::move(mended.what);
    } else {
        readings = parse_readings(call.args.all("READING"), place);
    }
    if (reads) lay_over_readings(call, place, readings);
    if (reads) put_before(call, brew, readings);
    if (reads)
        for (Reading& reading : readings)
            if (is_fermented_point(reading.point)) reading.on = call.on();
    // what is said now, beside what stands; what is put right by it is looked at no more
    std::vector<Reading> fresh, standing = brew.readings;
    if (reads) fresh = readings;
    if (corrects) fresh = {readings.back()};
    if (corrects) std::erase_if(standing, [&](const Reading& r) { return r.set_aside || r.id == readings.front().id; });
    demand_believable_ph(fresh);
    const int brews_in_fermenter = static_cast<int>(call.ledger().brews_of_fermenter(brew.code).size());
    doubt_full_vessels(call, fresh, brewhouse, brews_in_fermenter);
    const ReadNow now{fresh, standing, brews_in_fermenter};
    const auto recipe = recipe_of(brew, book);
    doubt_swapped(call, place, now);
    doubt_halves(call, place, now, volume_meant(call, brew, brewhouse));
    if (reads) doubt_fermenting(call, place, now, recipe);
    doubt_gravities(call, brew, fresh, book);
    if (reads) what = what_was_read(readings, brew);
    const auto entry = call.book(part, EntryKind::measure, what);
    const report::Booked booked{entry, call.dry_run(), "lotwort reconcile " + shell_word(brew.code)};
    report::Measured measured{brew.code, meanings(readings, place), {}, &booked};
    measured.remarks = reading_remarks(fresh);
    for (const auto& m : meanings(fresh, place))
        if (m.means.too_warm) measured.remarks.push_back(fmt::format("{}: {}", m.reading.id, *m.means.too_warm));
    for (const auto& doubt : gravity_doubts(fresh, standing, recipe, brewhouse, book.instruments))
        measured.remarks.push_back(report::gravity_remark(doubt, brew.code));
    if (reads)
        for (auto& remark : liquor_remarks(place, now)) measured.remarks.push_back(std::move(remark));
    for (auto& remark : twice_remarks(fresh, standing)) measured.remarks.push_back(std::move(remark));
    if (call.json()) return {report::measure_json(measured)};
    return {csv ? report::measure_csv(measured) : report::measure_text(measured)};
}

} // namespace

constinit const Command measure_command{
    .name = "measure",
    .group = Group::brew,
    .summary = "record a volume, gravity, temperature or weight of a brew",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .has_rows = true,
    .doubts = true,
    .run = run,
};

} // namespace lotwort::verbs
