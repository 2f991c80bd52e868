#include "report_gather.hpp"
#include "brew_cost.hpp"
#include "stock_day.hpp"
#include "brew_learn.hpp"
#include "brew_plan.hpp"
#include "lot_answer.hpp"
#include "purchase_request.hpp"
#include "stock_list.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort::cli {

namespace {

constexpr int window_days = 90;        // of use, for the stock's cover
constexpr std::size_t last_brews = 20; // in the list of the whole brewery

// What brews took of each item, by day. A brew that was given up took nothing.
std::vector<DayAmount> used(const std::vector<Brew>& brews, const std::vector<LotState>& lots, Date from) {
    std::map<std::string, std::string> items;
    for (const LotState& state : lots) items[state.lot.code] = state.lot.item;
    std::vector<DayAmount> uses;
    for (const Brew& brew : brews) {
        if (brew.abandoned || brew.date <= from) continue;
        for (const Addition& addition : brew.additions)
            if (const auto item = items.find(addition.lot); item != items.end())
                uses.push_back({item->second, addition.on.value_or(brew.date), addition.amount});
    }
    return uses;
}

std::vector<DayAmount> arriving(const std::vector<Order>& orders, const std::vector<LotState>& lots) {
    std::vector<DayAmount> due;
    for (const Order& order : orders) {
        if (!order.arrives) continue;
        for (const OrderRest& rest : rest_of(order, lots))
            if (rest.awaited.units > 0) due.push_back({order.lines[rest.line].item, *order.arrives, rest.awaited});
    }
    return due;
}

report::StockPage stock_of(Call& call, const std::vector<Brew>& brews, const std::vector<LotState>& lots,
                           const Book& book) {
    demand_today(call);
    const Date today = call.surroundings.today;
    auto rows = rows_at(call.ledger(), today);
    report::StockPage page;
    page.lots = stock_list(rows, {true, false, std::nullopt}, today, book.currency);
    page.items = stock_list(std::move(rows), {false, true, std::nullopt}, today, book.currency);
    page.covers = covers(page.items, brews, lots, book.orders, today);
    page.window_days = window_days;
    std::erase_if(page.items.lines, [](const report::StockLine& line) { return line.on_hand.units == 0; });
    return page;
}

report::Trend trend_of(Call& call, const Book& book, const std::optional<std::string>& brewhouse) {
    LearnScope scope;
    report::Trend trend;
    if (brewhouse) {
        scope.brewhouse = known_brewhouse(book, *brewhouse).name;
        scope.only_this_brewhouse = true;
    }
    const LearnRequest request = learn_request(call, book, scope);
    if (request.brews.size() > 2000) call.progress(fmt::format("learning from {} brews", request.brews.size()));
    trend.learned = learn(request);
    call.progress("");
    trend.brewhouse = scope.brewhouse.value_or(trend.learned.next.brewhouse);
    for (const auto& level : trend.learned.levels)
        if (level.brewhouse != trend.brewhouse) trend.brewhouse = "all brewhouses";
    return trend;
}

} // namespace

std::vector<Cover> covers(const report::StockList& items, const std::vector<Brew>& brews,
                          const std::vector<LotState>& lots, const std::vector<Order>& orders, Date today) {
    CoverRequest request;
    request.today = today;
    request.window_days = window_days;
    for (const report::StockLine& line : items.lines)
        request.stock.push_back({line.item, line.kind, line.free, line.best_before});
    request.used = used(brews, lots, today - std::chrono::days(window_days));
    request.arriving = arriving(orders, lots);
    return stock_cover(request);
}

report::BrewPage brew_for_page(Call& call, const std::string& code) {
    const Brew brew = known_brew(call.ledger(), code);
    const Book book = call.ledger().definitions();
    const std::vector<Brew> tied = call.ledger().brews_of_fermenter(brew.code);
    LotBook lots;
    for (const Brew& other : tied) lots.merge(lots_of(call.ledger(), other, book));
    report::BrewPage page;
    page.shown.brew = brew;
    for (const auto& [lot, used] : lots) page.shown.items[lot] = used.lot.item;
    page.shown.cost = brew_cost(brew, call.ledger());
    page.reconciled.date = brew.date;
    page.reconciled.recipe = brew.recipe.value_or("");
    page.reconciled.brewhouse = brew.brewhouse;
    page.reconciled.result.brew = brew.code;
    if (brew.abandoned) return page;
    try {
        page.reconciled.result = reconcile(tied_input(brew, Fermenters(tied), book, lots));
    } catch (const Error& e) { // a depth below its dip table: the rest of the page still stands
        page.reconciled.fault = e.what();
    }
    return page;
}

report::LotPage lot_for_page(Call& call, const std::string& code) {
    const LotState state = known_lot(call.ledger(), code);
    report::LotPage page{lot_answer(call, state, call.surroundings.today), std::nullopt, call.surroundings.today};
    if (page.answer.malt) {
        const Book book = call.ledger().definitions();
        for (const auto& lot : learn(learn_request(call, book, {})).lots)
            if (lot.lot == state.lot.code) page.learned = lot;
    }
    return page;
}

report::Trend trend_for_page(Call& call, const std::optional<std::string>& brewhouse) {
    return trend_of(call, call.ledger().definitions(), brewhouse);
}

report::StockPage stock_for_page(Call& call) {
    return stock_of(call, call.ledger().brews(), call.ledger().lots(), call.ledger().definitions());
}

report::BreweryPage brewery_for_page(Call& call) {
    const Book book = call.ledger().definitions();
    const std::vector<Brew> brews = call.ledger().brews();
    report::BreweryPage page;
    page.stock = stock_of(call, brews, call.ledger().lots(), book);
    page.trend = trend_of(call, book, std::nullopt);
    page.brews = brews.size();
    const auto shown = std::min(brews.size(), last_brews);
    page.last_brews.assign(brews.rbegin(), brews.rbegin() + static_cast<std::ptrdiff_t>(shown));
    return page;
}

report::PurchasePage purchase_for_page(Call& call) {
    demand_today(call);
    const Book book = call.ledger().definitions();
    report::PurchasePage page;
    page.currency = book.currency.empty() ? call.ledger().currency() : book.currency;
    page.wish = purchase_wish(call, book);
    page.drawn = plan::draw_purchase(page.wish);
    plan::MipOptions limits;
    limits.relative_gap = 1e-5;
    limits.seconds = 10.0;
    call.progress("looking for the cheapest orders");
    if (!page.drawn.wanted.needs.empty()) page.plan = plan::plan_purchases(page.drawn.wanted, limits);
    call.progress("");
    page.purposes = plan::purposes_of(page.drawn.wanted, page.plan);
    page.fills = plan::fills_of(page.drawn.wanted, page.plan);
    for (std::string& said : lacks_in_stock(book, page.drawn, page.plan)) page.drawn.says.push_back(std::move(said));
    return page;
}

PlannedBrew plan_for_sheet(Call& call, const std::string& code) {
    const Book book = call.ledger().definitions();
    const Plan* plan = find_plan(book, code);
    if (plan == nullptr) refuse_unknown("open plan", code, plan_codes(book.plans), "lotwort plan");
    return open_plan(*plan, book, call.ledger().lots(), learned_for(call, book, brewhouse_of(*plan, book).name));
}

} // namespace lotwort::cli
