#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/next_steps.hpp>
#include <lotwort/desk/pages.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/stock_list.hpp>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort {

namespace {

using report::NextStep;
using std::chrono::days;

constexpr std::size_t most_of_a_kind = 3;
constexpr days soon{14}, count_is_old{30}, brew_is_old{60};

// The ledger as all questions look at it.
struct Picture {
    Date today;
    Book book;
    std::vector<LotState> lots;
    std::vector<Brew> brews;
};

// The first ones, and how many more there are.
void append(std::vector<NextStep>& all, std::vector<NextStep> some) {
    const std::size_t more = some.size() - std::min(some.size(), most_of_a_kind);
    some.resize(some.size() - more);
    if (more > 0) some.back().why += fmt::format(" (and {} more like it)", more);
    all.insert(all.end(), some.begin(), some.end());
}

std::vector<NextStep> plans_due(const Picture& at) {
    std::vector<NextStep> steps;
    std::vector<Plan> ahead;
    for (const Plan& plan : at.book.plans) {
        if (plan.date > at.today && plan.date <= at.today + soon) ahead.push_back(plan);
        if (plan.date <= at.today)
            steps.push_back(
                {fmt::format("{} is to be brewed{}: {}", plan.code,
                             plan.date == at.today ? " today" : ", was planned for " + to_iso(plan.date), plan.recipe),
                 "lotwort brew " + shell_word(plan.code) + " --sheet"});
    }
    for (const auto& lack : lacks_of(at.book, at.lots, at.today)) {
        if (lack.missing.units <= 0 || std::ranges::find(ahead, lack.plan, &Plan::code) == ahead.end()) continue;
        steps.push_back(
            {fmt::format("{} of {} lacks {} of {}", lack.plan, to_iso(lack.date), to_text(lack.missing), lack.item),
             "lotwort substitute " + shell_word(lack.plan)});
    }
    return steps;
}

bool has_wort_in_fermenter(const Brew& brew) {
    bool volume = false, gravity = false;
    for (const Reading& r : brew.readings) {
        if (r.point != ReadingPoint::fermenter || r.set_aside) continue;
        volume = volume || r.volume || r.depth || r.mass;
        gravity = gravity || r.gravity_sg || r.gravity_plato || r.brix;
    }
    return volume && gravity;
}

std::vector<NextStep> brews_unmeasured(const Picture& at) {
    std::vector<NextStep> steps;
    for (auto brew = at.brews.rbegin(); brew != at.brews.rend(); ++brew) {
        if (brew->abandoned || brew->date < at.today - brew_is_old) continue;
        if (brew->readings.empty())
            steps.push_back({fmt::format("{} of {} has no readings", brew->code, to_iso(brew->date)),
                             fmt::format("lotwort measure {} kettle-full VOLUME GRAVITY fermenter VOLUME GRAVITY",
                                         shell_word(brew->code))});
        else if (!brew->fermented_with && !has_wort_in_fermenter(*brew))
            steps.push_back({fmt::format("{} of {} cannot be balanced well: its volume and gravity in the fermenter "
                                         "are not both known",
                                         brew->code, to_iso(brew->date)),
                             fmt::format("lotwort measure {} fermenter VOLUME GRAVITY", shell_word(brew->code))});
    }
    return steps;
}

std::vector<NextStep> orders_overdue(const Picture& at) {
    std::vector<NextStep> steps;
    for (const Order& order : at.book.orders)
        if (order.arrives && *order.arrives < at.today && is_open(order, at.lots))
            steps.push_back(
                {fmt::format("order {} from {} was due on {}", order.code, order.supplier, to_iso(*order.arrives)),
                 "lotwort receive --order " + shell_word(order.code)});
    return steps;
}

std::vector<NextStep> running_out(const Desk& desk, const Picture& at) {
    const auto items = stock_list(desk.ledger.stock(), {false, true, std::nullopt}, at.today, "");
    auto all = covers(items, at.brews, at.lots, at.book, at.today);
    std::erase_if(all, [&](const Cover& c) { return !c.lasts_until || *c.lasts_until > at.today + soon; });
    std::ranges::stable_sort(all, {}, [](const Cover& c) { return *c.lasts_until; });
    std::vector<NextStep> steps;
    for (const Cover& c : all)
        steps.push_back({c.of.free.units <= 0 ? fmt::format("nothing of {} is free", c.of.item)
                                              : fmt::format("{} runs out about {} at the use of late: {} free",
                                                            c.of.item, to_iso(*c.lasts_until), to_text(c.of.free)),
                         fmt::format("lotwort stock {}", shell_word(c.of.item))});
    return steps;
}

std::vector<NextStep> past_their_best(const Picture& at) {
    std::vector<std::string> codes;
    for (const LotState& state : at.lots)
        if (state.on_hand.units > 0 && state.lot.best_before && *state.lot.best_before < at.today)
            codes.push_back(state.lot.code);
    if (codes.empty()) return {};
    return {{codes.size() == 1
                 ? fmt::format("lot {} is past its best before", codes.front())
                 : fmt::format("{} and {} more are past their best before", codes.front(), codes.size() - 1),
             "lotwort discard " + shell_word(codes.front()) + " AMOUNT --reason \"past its best before\""}};
}

std::vector<NextStep> count_due(const Desk& desk, const Picture& at) {
    const auto holds = [](const LotState& state) { return state.on_hand.units > 0; };
    if (std::ranges::none_of(at.lots, holds)) return {};
    HistoryFilter counts;
    counts.last = 1;
    counts.kind = EntryKind::count;
    const auto last = desk.ledger.history(counts);
    Date since = at.today;
    if (!last.empty())
        since = last.front().head.on;
    else
        for (const LotState& state : at.lots) since = std::min(since, state.lot.received);
    if (at.today - since <= count_is_old) return {};
    return {{last.empty() ? fmt::format("nothing has been counted since the first delivery, on {}", to_iso(since))
                          : fmt::format("the last count was on {}", to_iso(since)),
             "lotwort count --sheet"}};
}

std::vector<NextStep> first_steps(const Picture& at) {
    if (at.lots.empty()) return {{"it holds no stock yet", "lotwort receive \"pale ale malt\" 25kg"}};
    if (at.book.brewhouses.empty()) return {{"it knows no brewhouse yet", "lotwort brewhouse add shed 23L"}};
    if (at.book.recipes.empty()) return {{"it holds no recipe yet", first_recipe_command(at.book)}};
    if (at.book.plans.empty() && at.brews.empty())
        return {{"nothing is planned yet",
                 fmt::format("lotwort plan {} --on DATE", shell_word(at.book.recipes.front().name))}};
    return {};
}

} // namespace

std::string first_recipe_command(const Book& book) {
    const auto is_base = [](const Item& item) { return item.kind == ItemKind::malt && item.malt_class == "base"; };
    const auto malt = std::ranges::find_if(book.items, is_base);
    return fmt::format("lotwort recipe add first {}L --gravity 1.048 --malt {}",
                       readable(book.brewhouses.empty() ? 23.0 : book.brewhouses.front().volume.value()),
                       shell_word((malt == book.items.end() ? "pale ale malt" : malt->name) + "=100%"));
}

std::vector<NextStep> next_steps(const Desk& desk) {
    const Picture at{desk.today, desk.ledger.definitions(), desk.ledger.lots(), desk.ledger.brews()};
    std::vector<NextStep> steps;
    append(steps, first_steps(at));
    append(steps, plans_due(at));
    append(steps, brews_unmeasured(at));
    append(steps, orders_overdue(at));
    append(steps, running_out(desk, at));
    append(steps, past_their_best(at));
    append(steps, count_due(desk, at));
    return steps;
}

} // namespace lotwort
