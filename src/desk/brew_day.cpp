#include <algorithm>
#include <array>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/brew_day.hpp>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

namespace {

// Those that a day is measured at; what else was read is told with the rest.
constexpr std::array day_points{ReadingPoint::mash,      ReadingPoint::first_wort, ReadingPoint::kettle_full,
                                ReadingPoint::cast_out,  ReadingPoint::fermenter,  ReadingPoint::fermenting,
                                ReadingPoint::final_beer};

std::optional<Brew> brew_of(const Desk& desk, const std::string& code) {
    std::vector<Brew> brews = desk.ledger.brews();
    const auto found = std::ranges::find_if(
        brews, [&](const Brew& brew) { return brew.code == code || (brew.plan == code && !brew.abandoned); });
    return found == brews.end() ? std::nullopt : std::optional(std::move(*found));
}

void plan_of(const Desk& desk, const std::string& code, const Book& book, const std::vector<LotState>& lots,
             BrewDay& day) {
    if (!day.brew) {
        const Plan* open = find_plan(book, code);
        if (open == nullptr) {
            std::vector<std::string> known;
            for (const Plan& plan : book.plans) known.push_back(plan.code);
            refuse_unknown("open plan or brew", code, known, "lotwort plan");
        }
        day.planned = as_it_stands(*open, book, lots, learned_for(desk, book, brewhouse_of(*open, book).name));
        return;
    }
    if (!day.brew->plan) return;
    const std::vector<Plan> plans = desk.ledger.plans();
    const auto made = std::ranges::find(plans, *day.brew->plan, &Plan::code);
    if (made == plans.end()) return;
    try {
        day.planned = plan_as_made(*made, book, lots, learned_for(desk, book, brewhouse_of(*made, book).name));
    } catch (const Error&) { // its recipe has changed since, and what it foretold cannot be had again
    }
}

void expect(BrewDay& day, DayPoint& at) {
    if (!day.planned || day.planned->forecast.extract_grist_kg <= 0.0) return;
    const Forecast& f = day.planned->forecast;
    if (at.point == ReadingPoint::kettle_full) {
        at.litres = f.kettle_full_l;
        at.gravity = day.guide->kettle_gravity;
    } else if (at.point == ReadingPoint::cast_out) {
        at.litres = f.cast_out_l;
        at.gravity = SpecificGravity(f.original_gravity_sg.value);
    } else if (at.point == ReadingPoint::fermenter) {
        at.litres = f.volume_l.value;
        at.gravity = SpecificGravity(f.original_gravity_sg.value);
    } else if (at.point == ReadingPoint::final_beer) {
        at.gravity = SpecificGravity(f.final_gravity_sg.value);
    }
    const auto depth = std::ranges::find(day.guide->depths, at.point, &StickDepth::point);
    if (depth != day.guide->depths.end()) at.depth = *depth;
}

ReadPoint understood(const Reading& reading, const Brewhouse& brewhouse, const Book& book) {
    try {
        return {reading, meaning_of(reading, brewhouse, book.instruments)};
    } catch (const Error&) { // a depth below its table: what was read is shown all the same
        return {reading, {}};
    }
}

// Of the last reading of the kettle that has both, and the liquor that came after it.
std::optional<KettleMend> mend_of(const BrewDay& day, const ReconcileInput& input) {
    if (!day.planned) return std::nullopt;
    const auto kettle = std::ranges::find(day.points, ReadingPoint::kettle_full, &DayPoint::point);
    std::optional<double> litres, plato;
    const Reading* last = nullptr;
    for (const ReadPoint& read : kettle->read) {
        if (read.means.volume_20c_l) litres = read.means.volume_20c_l->value;
        if (read.means.extract_plato) plato = read.means.extract_plato->value;
        last = &read.reading;
    }
    if (!litres || !plato) return std::nullopt;
    const Estimate now = filled_up(input, *last, normal_estimate(wort::specific_gravity_of(*plato / 100.0), 0.0));
    return kettle_mend(*day.planned, SpecificGravity(now.value), Litres(*litres + liquor_after(input, *last)));
}

std::optional<double> efficiency_of(const Desk& desk, const Brew& brew, const Book& book) {
    try {
        return beer_as_read(reconcile_input(brew, book, lots_of(desk.ledger, brew, book))).efficiency;
    } catch (const Error&) { // an old brew whose instruments are gone
        return std::nullopt;
    }
}

// The kettle in place of the fermenter, before anything else comes in.
std::optional<double> kettle_efficiency_of(const Desk& desk, Brew brew, const BrewDay& day, const Book& book) {
    for (const Addition& addition : brew.additions) {
        const auto name = day.items.find(addition.lot);
        const Item* item = name == day.items.end() ? nullptr : find_item(book, name->second);
        if (addition.stage != Stage::mash && item != nullptr && item->kind == ItemKind::sugar) return std::nullopt;
    }
    std::erase_if(brew.readings, [](const Reading& r) { return r.point != ReadingPoint::kettle_full || r.set_aside; });
    for (Reading& reading : brew.readings) reading.point = ReadingPoint::fermenter;
    return brew.readings.empty() ? std::nullopt : efficiency_of(desk, brew, book);
}

} // namespace

std::optional<ReadingPoint> BrewDay::next() const {
    std::optional<ReadingPoint> last;
    for (const DayPoint& at : points)
        if (!at.read.empty()) last = at.point;
    for (const DayPoint& at : points) {
        const bool is_told = at.point == ReadingPoint::first_wort || at.point == ReadingPoint::fermenting;
        if (!is_told && (!last || at.point > *last)) return at.point;
    }
    return std::nullopt;
}

BrewDay brew_day_of(const Desk& desk, const std::string& code) {
    const Book book = desk.ledger.definitions();
    const std::vector<LotState> lots = desk.ledger.lots();
    BrewDay day;
    day.brew = brew_of(desk, code);
    plan_of(desk, code, book, lots, day);
    for (const LotState& state : lots) day.items[state.lot.code] = state.lot.item;
    const std::string house = day.brew ? day.brew->brewhouse : day.planned->plan.brewhouse.value_or("");
    const Brewhouse& brewhouse = known_brewhouse(book, house);
    if (day.planned) day.guide = sheet_guide(*day.planned, brewhouse, std::nullopt);
    for (const ReadingPoint point : day_points) {
        DayPoint at{point, {}, {}, {}, {}};
        expect(day, at);
        if (day.brew)
            for (const Reading& reading : day.brew->readings)
                if (reading.point == point && !reading.set_aside)
                    at.read.push_back(understood(reading, brewhouse, book));
        day.points.push_back(std::move(at));
    }
    if (day.brew) day.kettle = mend_of(day, reconcile_input(*day.brew, book, {}));
    if (day.brew) day.efficiency = efficiency_of(desk, *day.brew, book);
    if (day.brew) day.kettle_efficiency = kettle_efficiency_of(desk, *day.brew, day, book);
    if (day.brew) day.packages = desk.ledger.packages_of(day.brew->code);
    return day;
}

} // namespace lotwort
