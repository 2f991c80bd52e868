#include <algorithm>
#include <fmt/format.h>
#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/brew_list.hpp>
#include <lotwort/desk/explained.hpp>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/lot_answer.hpp>
#include <lotwort/desk/next_steps.hpp>
#include <lotwort/desk/pages.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/purchase_wish.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/desk/stock_list.hpp>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/report/search.hpp>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort {

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

std::vector<report::OnOrder> on_order(const std::vector<Order>& orders, const std::vector<LotState>& lots) {
    std::vector<report::OnOrder> out;
    for (const Order& order : orders)
        for (const OrderRest& rest : rest_of(order, lots))
            if (rest.awaited.units > 0)
                out.push_back({order.lines[rest.line].item, order.code, order.supplier, rest.awaited, order.arrives});
    std::ranges::stable_sort(out, {}, [](const report::OnOrder& o) { return o.due.value_or(Date::max()); });
    return out;
}

report::StockPage stock_of(const Desk& desk, const std::vector<Brew>& brews, const std::vector<LotState>& lots,
                           const Book& book) {
    demand_today(desk);
    const Date today = desk.today;
    auto rows = rows_at(desk.ledger, today);
    report::StockPage page;
    page.lots = stock_list(rows, {true, false, std::nullopt}, today, book.currency);
    page.items = stock_list(std::move(rows), {false, true, std::nullopt}, today, book.currency);
    page.covers = covers(page.items, brews, lots, book, today);
    page.on_order = on_order(book.orders, lots);
    page.window_days = window_days;
    std::erase_if(page.items.lines, [](const report::StockLine& line) { return line.on_hand.units == 0; });
    return page;
}

report::Trend trend_of(const Desk& desk, const Book& book, const std::optional<std::string>& brewhouse) {
    LearnScope scope;
    if (brewhouse) {
        scope.brewhouse = known_brewhouse(book, *brewhouse).name;
        scope.only_this_brewhouse = true;
    }
    return learned_trend(desk, book, scope, report::usual_forecasts);
}

} // namespace

std::vector<Cover> covers(const report::StockList& items, const std::vector<Brew>& brews,
                          const std::vector<LotState>& lots, const Book& book, Date today) {
    CoverRequest request;
    request.today = today;
    request.window_days = window_days;
    for (const report::StockLine& line : items.lines)
        request.stock.push_back({line.item, line.kind, line.free, line.best_before});
    request.used = used(brews, lots, today - std::chrono::days(window_days));
    request.arriving = arriving(book.orders, lots);
    for (const Plan& plan : book.plans)
        request.planned_until = std::max(request.planned_until.value_or(plan.date), plan.date);
    return stock_cover(request);
}

namespace {

report::BrewPage page_of(const Desk& desk, const Brew& brew, const ReconcileInput& input) {
    report::BrewPage page;
    page.shown.brew = brew;
    for (const auto& [lot, used] : input.lots) page.shown.items[lot] = used.item.name;
    page.shown.cost = brew_cost(brew, desk.ledger);
    page.shown.fermentation = fermentation_of(input);
    page.reconciled.date = brew.date;
    page.reconciled.recipe = brew.recipe.value_or("");
    page.reconciled.brewhouse = brew.brewhouse;
    page.reconciled.result.brew = brew.code;
    if (brew.abandoned) return page;
    try {
        page.reconciled.result = reconcile(input);
    } catch (const Error& e) { // a depth below its dip table: the rest of the page still stands
        page.reconciled.fault = e.what();
    }
    return page;
}

void explain_on(report::BrewPage& page, const Desk& desk, const Book& book) {
    if (page.shown.brew.abandoned || !page.reconciled.fault.empty()) return;
    try {
        page.explanation = explained(desk, book, page.shown.brew);
    } catch (const Error&) { // no malt was deducted
    }
}

} // namespace

std::vector<report::BrewPage> brews_for_pages(const Desk& desk, const std::vector<std::string>& codes,
                                              std::size_t explained_last) {
    const Book book = desk.ledger.definitions();
    const std::vector<Brew> brews = desk.ledger.brews();
    const LotBook lots = lot_book(desk.ledger.lots(), book);
    const Fermenters fermenters(brews);
    std::vector<ReconcileInput> inputs;
    for (const std::string& code : codes)
        inputs.push_back(tied_input(*std::ranges::find(brews, code, &Brew::code), fermenters, book, lots));
    teach_from_others(desk, book, inputs);
    std::vector<report::BrewPage> pages;
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        if (i % 50 == 49) desk.tell(fmt::format("{} of {} brews", i + 1, inputs.size()));
        pages.push_back(page_of(desk, *std::ranges::find(brews, codes[i], &Brew::code), inputs[i]));
        if (i + explained_last >= inputs.size()) explain_on(pages.back(), desk, book);
    }
    desk.tell("");
    return pages;
}

report::BrewPage brew_for_page(const Desk& desk, const std::string& code) {
    return brews_for_pages(desk, {known_brew(desk.ledger, code).code}, 1).front();
}

std::vector<report::LotPage> lots_for_pages(const Desk& desk) {
    const Book book = desk.ledger.definitions();
    const Learning learned = learn(learn_request(desk, book, {}));
    std::vector<report::LotPage> pages;
    for (const LotState& state : desk.ledger.lots()) {
        if (pages.size() % 50 == 49) desk.tell(fmt::format("{} lots", pages.size() + 1));
        report::LotPage page{lot_answer(desk, state, desk.today), std::nullopt, desk.today};
        const auto found = std::ranges::find(learned.lots, state.lot.code, &LearnedLot::lot);
        if (page.answer.malt && found != learned.lots.end()) page.learned = *found;
        pages.push_back(std::move(page));
    }
    desk.tell("");
    return pages;
}

report::LotPage lot_for_page(const Desk& desk, const std::string& code) {
    const LotState state = known_lot(desk.ledger, code);
    report::LotPage page{lot_answer(desk, state, desk.today), std::nullopt, desk.today};
    if (page.answer.malt) {
        const Book book = desk.ledger.definitions();
        for (const auto& lot : learned_lots(desk, book))
            if (lot.lot == state.lot.code) page.learned = lot;
    }
    return page;
}

report::Trend trend_for_page(const Desk& desk, const std::optional<std::string>& brewhouse) {
    return trend_of(desk, desk.ledger.definitions(), brewhouse);
}

report::StockPage stock_for_page(const Desk& desk) {
    return stock_of(desk, desk.ledger.brews(), desk.ledger.lots(), desk.ledger.definitions());
}

namespace {

// Of the last brews, those whose readings do not agree, each balanced by what the others taught.
std::vector<report::ReconciledBrew> contradictory(const Desk& desk, const Book& book,
                                                  const std::vector<report::ListedBrew>& listed) {
    const std::vector<Brew> brews = desk.ledger.brews();
    const LotBook lots = lot_book(desk.ledger.lots(), book);
    const Fermenters fermenters(brews);
    std::vector<ReconcileInput> inputs;
    for (const auto& brew : listed)
        if (!brew.brew.abandoned && !brew.brew.readings.empty())
            inputs.push_back(
                tied_input(*std::ranges::find(brews, brew.brew.code, &Brew::code), fermenters, book, lots));
    teach_from_others(learn_request(desk, book, {}), inputs);
    std::vector<report::ReconciledBrew> out;
    for (const auto& input : inputs) {
        report::ReconciledBrew brew;
        try {
            brew.result = reconcile(input);
        } catch (const Error&) { // its own page says what is wrong
            continue;
        }
        brew.date = input.brew.date;
        if (!brew.result.test.passed) out.push_back(std::move(brew));
    }
    return out;
}

} // namespace

report::BreweryPage brewery_for_page(const Desk& desk) {
    const Book book = desk.ledger.definitions();
    const std::vector<Brew> brews = desk.ledger.brews();
    report::BreweryPage page;
    page.next = next_steps(desk);
    page.stock = stock_of(desk, brews, desk.ledger.lots(), book);
    page.trend = trend_of(desk, book, std::nullopt);
    page.brews = brews.size();
    auto listed = listed_brews(desk.ledger);
    std::ranges::reverse(listed);
    listed.resize(std::min(listed.size(), last_brews));
    page.last_brews = std::move(listed);
    page.contradictory = contradictory(desk, book, page.last_brews);
    return page;
}

report::PurchasePage purchase_for_page(const Desk& desk) {
    demand_today(desk);
    const Book book = desk.ledger.definitions();
    report::PurchasePage page;
    page.currency = book.currency.empty() ? desk.ledger.currency() : book.currency;
    page.wish = purchase_wish(desk, book);
    page.drawn = plan::draw_purchase(page.wish);
    plan::MipOptions limits;
    limits.relative_gap = 1e-5;
    limits.seconds = 10.0;
    limits.stop = desk.stop;
    limits.progress = [&desk](const plan::MipProgress& now) { desk.tell(report::search_said(now)); };
    desk.tell("looking for the cheapest orders");
    if (!page.drawn.wanted.needs.empty()) page.plan = plan::plan_purchases(page.drawn.wanted, limits);
    desk.tell("");
    page.purposes = plan::purposes_of(page.drawn.wanted, page.plan);
    page.fills = plan::fills_of(page.drawn.wanted, page.plan);
    for (std::string& said : lacks_in_stock(book, page.wish, page.drawn, page.plan))
        page.drawn.says.push_back(std::move(said));
    return page;
}

PlannedBrew plan_for_sheet(const Desk& desk, const std::string& code) {
    const Book book = desk.ledger.definitions();
    const Plan* plan = find_plan(book, code);
    if (plan == nullptr) refuse_unknown("open plan", code, plan_codes(book.plans), "lotwort plan");
    return as_it_stands(*plan, book, desk.ledger.lots(), learned_for(desk, book, brewhouse_of(*plan, book).name));
}

} // namespace lotwort
