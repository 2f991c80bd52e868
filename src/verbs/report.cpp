// report: answers as pages that need nothing but a browser or a printer.
#include "shared.hpp"
#include "table.hpp"
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
#include <lotwort/report/report.hpp>
#include <tuple>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"WHAT",
     "brew, lot, plan, trace, brewhouse, stock, statement, calendar, purchase, substitute, brew-sheet, "
     "count-sheet or labels; the whole brewery unless given",
     true},
    {"NAME", "of the brew, lot, brewhouse or plan, a code to trace; the month; the lots to label", true, true},
};

constexpr Option options[] = {
    {"out", "FILE", "where the page goes; standard output unless given"},
    {"grain", "TEMPERATURE", "with brew-sheet: the grain's, for the strike; else as usual in that season"},
    {"force", "", "replace the file if it exists"},
};

const std::string& name_of(const Call& call, std::string_view what, const std::string& example) {
    const auto& names = call.args.all("NAME");
    if (names.empty())
        throw Error(ErrorKind::usage, fmt::format("which {}?", what), "write: lotwort report " + example);
    return names.front();
}
const std::string& name_of(const Call&&, std::string_view, const std::string&) = delete;

void demand_no_name(const Call& call, std::string_view what) {
    if (call.args.has("NAME"))
        throw Error(ErrorKind::usage, fmt::format("{} is one page and takes no name", what), "leave the name out");
}

std::string brew(Call& call) {
    return report::brew_page(brew_for_page(call.desk(), name_of(call, "brew", "brew B1")));
}

std::string lot(Call& call) {
    return report::lot_page(lot_for_page(call.desk(), name_of(call, "lot", "lot PAM-1")));
}

std::string brewhouse(Call& call) {
    return report::brewhouse_page(trend_for_page(call.desk(), call.args.text("NAME")), call.surroundings.today);
}

std::string stock(Call& call) {
    demand_no_name(call, "the stock");
    return report::stock_page(stock_for_page(call.desk()));
}

std::string statement(Call& call) {
    const Date today = call.surroundings.today;
    const auto month = call.args.text("NAME");
    const Period period = month ? month_of(*month, today) : last_month(today);
    return report::statement_page(statement_of(call.desk(), period.from, period.to));
}

std::string calendar(Call& call) {
    const Date today = call.surroundings.today;
    const Date first = first_of_month(call.args.text("NAME").value_or(to_iso(today).substr(0, 7)), today);
    return report::month_page(in_month(calendar_of(call.desk()), first), board_of(call.desk()).tanks(), first);
}

std::string purchase(Call& call) {
    demand_no_name(call, "what to buy");
    return report::purchase_page(purchase_for_page(call.desk()));
}

std::string substitution(Call& call) {
    const Book book = call.ledger().definitions();
    const auto plans = plans_to_fill(call.desk(), book, call.args.all("NAME"));
    const plan::SubstituteRequest request = substitute_request(call.desk(), book, plans);
    const plan::Substitution found = plan::substitute(request);
    const report::ShownSubstitution show{.request = &request,
                                         .found = &found,
                                         .currency = call.ledger().currency(),
                                         .remarks = learned_remarks(request),
                                         .due = due_by_then(book, call.ledger().lots(), plans)};
    return report::substitution_page(show);
}

std::string plan(Call& call) {
    const Desk& desk = call.desk();
    demand_today(desk);
    const PlannedBrew planned = plan_for_sheet(desk, name_of(call, "plan", "plan P1"));
    const Book book = desk.ledger.definitions();
    const SheetGuide guide = sheet_guide(planned, known_brewhouse(book, *planned.plan.brewhouse), {});
    return report::plan_page({{planned, nullptr, placed(board_of(desk), planned.plan)}, guide});
}

std::string trace(Call& call) {
    report::TraceAnswer answer = traced(call.ledger(), name_of(call, "code", "trace PAM-1"));
    answer.today = call.surroundings.today;
    return report::trace_page(answer);
}

std::string brew_sheet(Call& call) {
    const PlannedBrew planned = plan_for_sheet(call.desk(), name_of(call, "plan", "brew-sheet P1"));
    const Book book = call.ledger().definitions();
    return report::brew_sheet_page(
        planned, sheet_guide(planned, known_brewhouse(book, *planned.plan.brewhouse), parse_grain(call, planned)));
}

std::string count_sheet(Call& call) {
    demand_no_name(call, "the count's sheet");
    auto rows = rows_at(call.ledger(), call.surroundings.today);
    std::erase_if(rows, [](const StockRow& row) { return row.on_hand.units == 0; });
    std::ranges::stable_sort(
        rows, {}, [](const StockRow& row) { return std::tuple(std::string_view(row.item), NaturalOrder{row.lot}); });
    return report::count_sheet_page(rows, call.surroundings.today);
}

// Of the lots named, or of all that are on hand.
std::string labels(Call& call) {
    std::vector<Lot> lots;
    for (const std::string& code : call.args.all("NAME")) lots.push_back(known_lot(call.ledger(), code).lot);
    if (lots.empty())
        for (LotState& state : call.ledger().lots())
            if (state.on_hand.units > 0) lots.push_back(std::move(state.lot));
    if (!call.args.has("NAME"))
        std::ranges::stable_sort(lots, {}, [](const Lot& lot) { return NaturalOrder{lot.code}; });
    return report::labels_page(lots);
}

struct Kind {
    std::string_view what;
    std::string (*page)(Call&);
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
    {"substitute", substitution, true},
    {"brew-sheet", brew_sheet},
    {"count-sheet", count_sheet},
    {"labels", labels, true},
};

void demand_one_name(const Call& call, const Kind& kind) {
    const auto& names = call.args.all("NAME");
    if (kind.takes_many || names.size() < 2) return;
    throw Error(ErrorKind::usage, fmt::format("a page is of one {}, and {} are named", kind.what, names.size()),
                fmt::format("write: lotwort report {} {}", kind.what, shell_word(names.front())));
}

std::string page_of(Call& call) {
    const auto what = call.args.text("WHAT");
    if (!what) return report::brewery_page(brewery_for_page(call.desk()));
    std::vector<std::string> names;
    for (const Kind& kind : kinds) {
        if (kind.what == *what) {
            demand_one_name(call, kind);
            return kind.page(call);
        }
        names.emplace_back(kind.what);
    }
    refuse_unknown("page", *what, names, "lotwort report --help");
}

Answer run(Call& call) {
    const auto out = call.args.text("out");
    const auto file = out && *out != "-" ? out : std::nullopt;
    if (call.json() && !file)
        throw Error(
            ErrorKind::usage, "a page is no JSON",
            "add --out FILE to have it written and told of; reconcile, trend and stock --json have the figures");
    std::string page = page_of(call);
    if (!file) {
        call.goes("the page goes to standard output", "add --out FILE");
        return {std::move(page), 0, true};
    }
    write_file(call, *file, page);
    const report::WrittenPage written{*file, page};
    return {call.json() ? report::written_page_json(written) : report::written_page_text(written)};
}

} // namespace

constinit const Command report_command{
    .name = "report",
    .group = Group::look_back,
    .summary = "a page of the same answers, with charts, and the sheets to print",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .run = run,
};

} // namespace lotwort::verbs
