#include "stand_ins.hpp"
#include <algorithm>
#include <cmath>
#include <iterator>
#include <lotwort/brew/forecast_words.hpp>
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/plan/stand_in.hpp>
#include <lotwort/stock/item_figures.hpp>

namespace lotwort::verbs {

namespace {

// A hop boiled for another time gives another bitterness.
bool is_as_long(const Weighing& note, const PlannedLine& line) {
    return !note.minutes || !line.minutes || *note.minutes == *line.minutes;
}

// What the reservation of a line already is, or would be of an addition that no line asks for.
std::optional<int> line_of(const PlannedBrew& meant, const std::string& item, const Addition& addition) {
    const auto asks = [&](const PlannedLine& line) {
        return line.item == addition.instead_of.value_or(item) && line.stage == addition.stage &&
               (!addition.minutes || !line.minutes || line.minutes == addition.minutes);
    };
    const auto like = [&](const PlannedLine& line) { return line.stage == addition.stage; };
    auto at = std::ranges::find_if(meant.lines, asks);
    if (at == meant.lines.end()) at = std::ranges::find_if(meant.lines, like);
    return at == meant.lines.end() ? std::nullopt : std::optional(at->line);
}

// Boiled, or standing, another time than any line of the recipe.
bool is_a_hop_of_its_own(const PlanRequest& request, const std::string& item, const Addition& addition,
                         const std::optional<int>& line, const PlannedBrew& meant) {
    const auto known = std::ranges::find(request.items, item, &Item::name);
    if (known == request.items.end() || known->kind != ItemKind::hop || addition.amount.measure != Measure::mass)
        return false;
    if (!line) return true;
    const PlannedLine& at = meant.lines[static_cast<std::size_t>(*line)];
    return addition.minutes && at.minutes && *addition.minutes != *at.minutes;
}

} // namespace

std::map<int, Amount> mark_stand_ins(const PlannedBrew& planned, const PlannedBrew& wanted, const Book& book,
                                     const std::vector<LotState>& lots, Date day, std::vector<Weighing>& notes) {
    std::map<int, Amount> counted;
    for (const PlannedLine& line : wanted.lines) {
        const auto has = std::ranges::find(planned.lines, line.line, &PlannedLine::line);
        if (line.needed.measure != Measure::mass || has == planned.lines.end()) continue;
        std::int64_t lacks = line.needed.units;
        for (const TakenLot& taken : has->allotment.taken) lacks -= taken.amount.units;
        const Item asked = item_as_known(known_item(book, line.item), lots, day);
        for (Weighing& note : notes) {
            if (lacks <= 0) break;
            if (note.planned_only || note.instead_of || note.amount.measure != Measure::mass) continue;
            if (note.stage && *note.stage != line.stage) continue;
            const Lot& lot = lot_among(lots, note.lot).lot;
            const Item& other = known_item(book, lot.item);
            if (other.name == asked.name || !is_as_long(note, line)) continue;
            const auto ratio = plan::counts_as(line, asked, other, lot, day);
            if (!ratio) continue;
            note.instead_of = line.item;
            if (!note.stage) note.stage = line.stage;
            if (!note.minutes) note.minutes = line.minutes;
            const Amount as{Measure::mass, std::llround(*ratio * static_cast<double>(note.amount.units))};
            const auto [at, is_new] = counted.emplace(line.line, as);
            if (!is_new) at->second = at->second + as;
            lacks -= as.units;
        }
    }
    return counted;
}

PlannedBrew as_weighed(PlanRequest request, const PlannedBrew& meant, const std::vector<Addition>& additions) {
    Plan weighed = meant.plan;
    weighed.reserved.clear();
    const int first_other = static_cast<int>(request.recipe.grist.size() + request.recipe.hops.size());
    std::vector<Reservation> of_added; // hops at a time of their own
    for (const Addition& addition : additions) {
        const std::string& item = lot_among(request.lots, addition.lot).lot.item;
        const auto line = line_of(meant, item, addition);
        if (addition.amount.units <= 0) continue;
        if (is_a_hop_of_its_own(request, item, addition, line, meant)) {
            HopLine more;
            more.item = item;
            more.stage = addition.stage;
            more.minutes = addition.minutes;
            more.mass = addition.amount.grams();
            request.recipe.hops.push_back(more);
            of_added.push_back({first_other + static_cast<int>(of_added.size()), addition.lot, addition.amount});
            continue;
        }
        if (!line) continue;
        Reservation made{*line, addition.lot, addition.amount};
        if (meant.lines[static_cast<std::size_t>(*line)].item != item)
            made.instead_of = meant.lines[static_cast<std::size_t>(*line)].item;
        weighed.reserved.push_back(std::move(made));
    }
    for (Reservation& made : weighed.reserved) // what the recipe has after its hops
        if (made.line >= first_other) made.line += static_cast<int>(of_added.size());
    std::ranges::move(of_added, std::back_inserter(weighed.reserved));
    std::ranges::stable_sort(weighed.reserved, {}, &Reservation::line);
    return as_booked(request, weighed);
}

std::string as_weighed_words(const PlanRequest& request, const PlannedBrew& meant,
                             const std::vector<Addition>& additions) {
    const PlannedBrew now = as_weighed(request, meant, additions);
    if (now.forecast.extract_grist_kg <= 0.0) return "";
    const ForecastGlass glass = glass_of(now.forecast), as_meant = glass_of(meant.forecast);
    return are_alike(glass, as_meant) ? "" : "as weighed: " + difference_words(glass, as_meant);
}

} // namespace lotwort::verbs
