// Each page that report makes, from the ledger.
#include "kinds.hpp"
#include "../shared.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/core/natural_order.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/board.hpp>
#include <lotwort/desk/calendar.hpp>
#include <lotwort/desk/pages.hpp>
#include <lotwort/desk/statement.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/desk/substitute_request.hpp>
#include <lotwort/desk/trace.hpp>
#include <lotwort/report/order_letter.hpp>
#include <tuple>

namespace lotwort::verbs {

namespace {

std::optional<std::string> first_of(const Names& names) {
    return names.empty() ? std::nullopt : std::optional(names.front());
}

const std::string& name_of(const Names& names, std::string_view what, const std::string& example) {
    if (names.empty())
        throw Error(ErrorKind::usage, fmt::format("which {}?", what), "write: lotwort report " + example);
    return names.front();
}
const std::string& name_of(const Names&&, std::string_view, const std::string&) = delete;

void demand_no_name(const Names& names, std::string_view what) {
    if (!names.empty())
        throw Error(ErrorKind::usage, fmt::format("{} is one page and takes no name", what), "leave the name out");
}

std::string brew(Call& call, const Names& names) {
    return report::brew_page(brew_for_page(call.desk(), name_of(names, "brew", "brew B1")));
}

std::string lot(Call& call, const Names& names) {
    return report::lot_page(lot_for_page(call.desk(), name_of(names, "lot", "lot PAM-1")));
}

std::string brewhouse(Call& call, const Names& names) {
    return report::brewhouse_page(trend_for_page(call.desk(), first_of(names)), call.surroundings.today);
}

std::string stock(Call& call, const Names& names) {
    demand_no_name(names, "the stock");
    return report::stock_page(stock_for_page(call.desk()));
}

std::string statement(Call& call, const Names& names) {
    const Date today = call.surroundings.today;
    const auto month = first_of(names);
    if (!month) return report::statement_page(last_statement(call.desk()));
    const Period period = month_of(*month, today);
    return report::statement_page(statement_of(call.desk(), period.from, period.to));
}

std::string calendar(Call& call, const Names& names) {
    const Date today = call.surroundings.today;
    const Date first = first_of_month(first_of(names).value_or(to_iso(today).substr(0, 7)), today);
    return report::month_page(in_month(calendar_of(call.desk()), first), board_of(call.desk()).tanks(), first);
}

std::string purchase(Call& call, const Names& names) {
    demand_no_name(names, "what to buy");
    return report::purchase_page(purchase_for_page(call.desk()));
}

// As it goes to the supplier.
std::string order(Call& call, const Names& names) {
    const Book book = call.ledger().definitions();
    const Order& found = known_order(book, name_of(names, "order", "order O1"));
    const std::vector<LotState> lots = call.ledger().lots();
    return report::order_letter_page({{found, rest_of(found, lots), is_open(found, lots)},
                                      call.ledger().currency(),
                                      found.freight,
                                      call.args.has("prices")});
}

std::string substitution(Call& call, const Names& names) {
    const Book book = call.ledger().definitions();
    const auto plans = plans_to_fill(call.desk(), book, names);
    const plan::SubstituteRequest request = substitute_request(call.desk(), book, plans);
    const plan::Substitution found = plan::substitute(request);
    const report::ShownSubstitution show{.request = &request,
                                         .found = &found,
                                         .currency = call.ledger().currency(),
                                         .remarks = learned_remarks(request),
                                         .due = due_by_then(book, call.ledger().lots(), plans)};
    return report::substitution_page(show);
}

std::string plan(Call& call, const Names& names) {
    const Desk& desk = call.desk();
    demand_today(desk);
    const PlannedBrew planned = plan_for_sheet(desk, name_of(names, "plan", "plan P1"));
    const Book book = desk.ledger.definitions();
    const SheetGuide guide = sheet_guide(planned, known_brewhouse(book, *planned.plan.brewhouse), {});
    return report::plan_page({{planned, nullptr, placed(board_of(desk), planned.plan)}, guide});
}

std::string trace(Call& call, const Names& names) {
    report::TraceAnswer answer = traced(call.ledger(), name_of(names, "code", "trace PAM-1"));
    answer.today = call.surroundings.today;
    return report::trace_page(answer);
}

std::string brew_sheet(Call& call, const Names& names) {
    const PlannedBrew planned = plan_for_sheet(call.desk(), name_of(names, "plan", "brew-sheet P1"));
    const Book book = call.ledger().definitions();
    return report::brew_sheet_page(
        planned, sheet_guide(planned, known_brewhouse(book, *planned.plan.brewhouse), parse_grain(call, planned)));
}

std::string count_sheet(Call& call, const Names& names) {
    demand_no_name(names, "the count's sheet");
    auto rows = rows_at(call.ledger(), call.surroundings.today);
    std::erase_if(rows, [](const StockRow& row) { return row.on_hand.units == 0; });
    std::ranges::stable_sort(
        rows, {}, [](const StockRow& row) { return std::tuple(std::string_view(row.item), NaturalOrder{row.lot}); });
    return report::count_sheet_page(rows, call.surroundings.today);
}

// Of the lots named, or of all that are on hand.
std::string labels(Call& call, const Names& names) {
    std::vector<Lot> lots;
    for (const std::string& code : names) lots.push_back(known_lot(call.ledger(), code).lot);
    if (lots.empty())
        for (LotState& state : call.ledger().lots())
            if (state.on_hand.units > 0) lots.push_back(std::move(state.lot));
    if (names.empty()) std::ranges::stable_sort(lots, {}, [](const Lot& lot) { return NaturalOrder{lot.code}; });
    return report::labels_page(lots);
}

struct Kind {
    std::string_view what;
    std::string (*page)(Call&, const Names&);
    bool takes_many = false; // names
};
constexpr Kind kinds[] = {
    {"brew", brew},
    {"lot", lot},
    {"plan", plan},
    {"trace", trace},
    {"brewhouse", brewhouse},
    {"stock", stock},
    {"statement", statement},
    {"calendar", calendar},
    {"purchase", purchase},
    {"order", order},
    {"substitute", substitution, true},
    {"brew-sheet", brew_sheet},
    {"count-sheet", count_sheet},
    {"labels", labels, true},
};

void demand_one_name(const Names& names, const Kind& kind) {
    if (kind.takes_many || names.size() < 2) return;
    throw Error(ErrorKind::usage, fmt::format("a page is of one {}, and {} are named", kind.what, names.size()),
                fmt::format("write: lotwort report {} {}", kind.what, shell_word(names.front())));
}

} // namespace

std::string page_of(Call& call, const std::string& what, const Names& names) {
    if (what.empty()) return report::brewery_page(brewery_for_page(call.desk()));
    std::vector<std::string> known;
    for (const Kind& kind : kinds) {
        if (kind.what == what) {
            demand_one_name(names, kind);
            return kind.page(call, names);
        }
        known.emplace_back(kind.what);
    }
    refuse_unknown("page", what, known, "lotwort report --help");
}

} // namespace lotwort::verbs
