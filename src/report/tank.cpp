#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/tank.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string takes(const Tank& tank) {
    return shortest(std::round(tank.volume.value() * 10.0) / 10.0) + " L" +
           (tank.kind == TankKind::bright ? " bright" : "");
}

// A day by common practice is marked.
std::string till_text(const TankUse& use) {
    if (use.is_overdue) return "still";
    return use.till ? to_iso(*use.till) + (use.is_stated ? "" : "*") : "for good";
}

// Today's, or those of the next beer: brews of one beer stand together.
std::vector<TankUse> uses_of(const TankState& state, bool planned) {
    std::vector<TankUse> uses;
    for (const TankUse& use : state.uses)
        if (use.is_planned == planned && (!planned || uses.empty() || is_one_beer(uses.front(), use)))
            uses.push_back(use);
    return uses;
}

std::string codes_of(const std::vector<TankUse>& uses) {
    std::vector<std::string> codes;
    for (const TankUse& use : uses) codes.push_back(use.by);
    return fmt::format("{}", fmt::join(codes, ", "));
}

std::string holds_text(const TankState& state) {
    const auto now = uses_of(state, false);
    if (now.empty()) return state.is_to_be_cleaned ? "free, to be cleaned" : "free";
    return codes_of(now) + (now.back().recipe ? ", " + *now.back().recipe : "");
}

std::string till_text(const TankState& state) {
    const auto now = uses_of(state, false);
    if (!now.empty()) return till_text(now.back());
    return state.emptied ? "since " + to_iso(*state.emptied) : "";
}

std::string next_text(const TankState& state) {
    const auto next = uses_of(state, true);
    if (next.empty()) return "-";
    return fmt::format("{} from {} till {}", codes_of(next), to_iso(next.front().from), till_text(next.back()));
}

bool any_usual(const std::vector<TankState>& tanks) {
    for (const TankState& state : tanks)
        for (const TankUse& use : state.uses)
            if (!use.is_stated && use.till && !use.is_overdue) return true;
    return false;
}

} // namespace

Table tank_table(const std::vector<TankState>& tanks) {
    Table table{{{"TANK"}, {"TAKES", Align::right}, {"HOLDS", Align::left, true}, {"TILL"}, {"NEXT"}}, {}};
    for (const TankState& state : tanks)
        table.rows.push_back(
            {state.tank.name, takes(state.tank), holds_text(state), till_text(state), next_text(state)});
    return table;
}

std::string tank_text(const std::vector<TankState>& tanks, const Booked* booked) {
    std::string text =
        tanks.empty() ? "no tanks are kept yet; next: lotwort tank add FV1 20hL\n" : table_text(tank_table(tanks));
    if (any_usual(tanks))
        text += wrapped(fmt::format("* common practice, {} days in a fermenter, {} in a bright tank; a recipe's own: "
                                    "lotwort recipe change NAME --tank-days 21days",
                                    usual_tank_days, usual_bright_days),
                        2);
    return text + (booked != nullptr ? booked_line(*booked) : "");
}

std::string tank_csv(const std::vector<TankState>& tanks) {
    std::string csv = csv_row({"tank", "kind", "takes_l", "cleaned", "emptied", "in_use", "to_be_cleaned", "by",
                               "recipe", "planned", "from", "till", "till_stated", "overdue"});
    const auto yes = [](bool is) { return std::string(is ? "yes" : ""); };
    for (const TankState& state : tanks) {
        const std::vector<std::string> head{state.tank.name,
                                            std::string(word(state.tank.kind)),
                                            shortest(state.tank.volume.value()),
                                            date_text(state.tank.cleaned),
                                            date_text(state.emptied),
                                            yes(state.is_in_use),
                                            yes(state.is_to_be_cleaned)};
        std::vector<std::vector<std::string>> rows;
        for (const TankUse& use : state.uses)
            rows.push_back({use.by, use.recipe.value_or(""), yes(use.is_planned), to_iso(use.from), date_text(use.till),
                            yes(use.is_stated), yes(use.is_overdue)});
        if (rows.empty()) rows.push_back({"", "", "", "", "", "", ""});
        for (const auto& row : rows) {
            std::vector<std::string> cells = head;
            cells.insert(cells.end(), row.begin(), row.end());
            csv += csv_row(cells);
        }
    }
    return csv;
}

std::string tank_json(const std::vector<TankState>& tanks, const Booked* booked) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/tank/1").key("tanks").begin_array();
    for (const TankState& state : tanks) {
        w.begin_object().field("tank", state.tank.name).field("kind", word(state.tank.kind));
        w.field("takes_l", state.tank.volume).field("cleaned", state.tank.cleaned).field("emptied", state.emptied);
        w.field("in_use", state.is_in_use).field("to_be_cleaned", state.is_to_be_cleaned).key("uses").begin_array();
        for (const TankUse& use : state.uses)
            w.begin_object(JsonWriter::Layout::one_line)
                .field("by", use.by)
                .field("recipe", use.recipe)
                .field("planned", use.is_planned)
                .field("from", use.from)
                .field("till", use.till)
                .field("till_stated", use.is_stated)
                .field("overdue", use.is_overdue)
                .end_object();
        w.end_array().end_object();
    }
    w.end_array();
    if (booked != nullptr) booked_fields(w, *booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
