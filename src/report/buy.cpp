#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/buy.hpp>
#include <lotwort/report/offer.hpp>
#include <lotwort/report/order_letter.hpp>
#include <lotwort/report/purchase_words.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <utility>

namespace lotwort::report {

namespace {

using plan::PurchaseLate;

std::string money(double amount) {
    return money_text(Money{std::llround(amount * 100.0)});
}

// Of the orders that are shown.
struct Sums {
    double goods = 0.0, deliveries = 0.0;
    [[nodiscard]] double both() const { return goods + deliveries; }
};

Sums sums_of(const ShownPurchase& shown) {
    Sums sums;
    for (std::size_t o = 0; o < shown.orders.size(); ++o) {
        sums.goods += shown.plan->orders[o].goods;
        sums.deliveries += shown.plan->orders[o].delivery;
    }
    return sums;
}

// What of the plan is ordered after --until.
std::string later_text(const ShownPurchase& shown) {
    const std::size_t later = shown.plan->orders.size() - shown.orders.size();
    if (later == 0) return "";
    return fmt::format("{} more {} later, the first by {}: {} {}\n", later, later == 1 ? "order" : "orders",
                       to_iso(shown.plan->orders[shown.orders.size()].order_by),
                       money(shown.plan->spent() - sums_of(shown).both()), shown.currency);
}

std::string orders_text(const ShownPurchase& shown) {
    Table table{{{"ORDER BY"},
                 {"ARRIVES"},
                 {"FROM", Align::left, true},
                 {"ITEM", Align::left, true},
                 {"PACKS", Align::right},
                 {"PACK", Align::right},
                 {"COST", Align::right}},
                {}};
    for (std::size_t o = 0; o < shown.orders.size(); ++o) {
        const Order& order = shown.orders[o];
        const plan::PurchaseOrderPlan& planned = shown.plan->orders[o];
        std::string by = to_iso(planned.order_by), arrives = to_iso(planned.arrives), from = order.supplier;
        for (const OrderLine& line : order.lines)
            table.rows.push_back({std::exchange(by, ""), std::exchange(arrives, ""), std::exchange(from, ""), line.item,
                                  std::to_string(line.packs), pack_text(line), money_text(line.cost)});
        if (planned.delivery > 0.0) table.rows.push_back({"", "", "", "delivery", "", "", money(planned.delivery)});
    }
    return table_text(table);
}

// Sums that add up from line to line.
std::string money_text_of(const ShownPurchase& shown) {
    Table table{{{"MONEY", Align::left, true}, {shown.currency, Align::right}}, {}};
    if (shown.until) {
        const Sums sums = sums_of(shown);
        table.rows = {
            {"packs", money(sums.goods)}, {"deliveries", money(sums.deliveries)}, {"to pay", money(sums.both())}};
        return "\n" + table_text(table);
    }
    for (const MoneyRow& row : money_rows(*shown.plan, shown.drawn->wanted.until))
        table.rows.push_back({row.what, money(row.amount)});
    std::string text = "\n" + table_text(table) + wrapped(bound_sentence(*shown.plan, shown.asked), 2);
    if (const auto& budget = shown.wish->budget)
        text += fmt::format("of the budget of {} {} are left\n", money(*budget), money(*budget - shown.plan->spent()));
    return text;
}

// "P1, P2 and 4 more"
std::string some_of(const std::vector<std::string>& names) {
    constexpr std::size_t most = 3;
    if (names.size() <= most) return fmt::format("{}", fmt::join(names, ", "));
    return fmt::format("{}, {} and {} more", names[0], names[1], names.size() - 2);
}

std::string purposes_text(const ShownPurchase& shown) {
    if (shown.purposes.empty()) return "";
    Table table{{{"WHAT FOR", Align::left, true},
                 {"BOUGHT", Align::right},
                 {"BREWS", Align::right},
                 {"SAFETY", Align::right},
                 {"LEFT", Align::right},
                 {"LASTS TO"},
                 {"USED BY", Align::left, true}},
                {}};
    bool lasts = false;
    for (const plan::PurchasePurpose& purpose : shown.purposes) {
        const PurposeWords words = purpose_words(*shown.wish, *shown.drawn, purpose);
        table.rows.push_back({purpose.item, words.bought, words.for_brews, words.safety, words.left,
                              words.lasts_to      ? to_iso(*words.lasts_to)
                              : words.left == "-" ? ""
                                                  : "-",
                              some_of(purpose.brews)});
        lasts = lasts || words.lasts_to;
    }
    const std::string how = lasts ? wrapped("LASTS TO: brews are taken to use it " + shown.wish->later->how, 2) : "";
    return "\n" + table_text(table) + how;
}

std::string brews_text(const ShownPurchase& shown) {
    if (shown.brews.empty()) return "";
    Table table{{{"BREW"},
                 {"DATE"},
                 {"FROM STOCK", Align::right},
                 {"BOUGHT", Align::right},
                 {"DELIVERY", Align::right},
                 {"COST", Align::right}},
                {}};
    bool unpriced = false;
    for (const plan::BrewPurchaseCost& brew : shown.brews) {
        table.rows.push_back({brew.brew, to_iso(brew.date), money(brew.from_stock) + (brew.unpriced ? "*" : ""),
                              money(brew.bought), money(brew.delivery), money(brew.sum())});
        unpriced = unpriced || brew.unpriced;
    }
    return "\n" + table_text(table) + (unpriced ? "* lots without a price count nothing\n" : "");
}

// "a pack more of 25 kg of pale ale malt by Hillside: 3.10 dearer"
std::string changes_text(const ShownPurchase& shown) {
    if (shown.changes.empty()) return "";
    std::string text = "\nA pack more or less, and all else for the best:\n";
    for (const plan::PackChange& change : shown.changes) {
        const Offer& offer = shown.wish->offers[shown.drawn->offers[change.offer]];
        text += fmt::format("  {} instead of {} x {} of {} by {}: ", change.packs + change.change, change.packs,
                            pack_text(offer), offer.item, offer.supplier);
        if (!change.costs)
            text += "a need is not met\n";
        else
            text += fmt::format("{} {}\n", money(std::abs(*change.costs)), *change.costs < -0.005 ? "less" : "more");
    }
    return text;
}

} // namespace

namespace {

std::string no_needs_text(const ShownPurchase& shown) {
    if (shown.drawn->beyond.empty())
        return "no brew is planned" + std::string(shown.wish->brews.empty() ? "" : " from today on") +
               ": nothing is needed, and no safety stock for it\nnext: lotwort plan RECIPE --on DATE\n";
    std::vector<std::string> later;
    for (const auto& [code, date] : shown.drawn->beyond) later.push_back(fmt::format("{} on {}", code, to_iso(date)));
    return wrapped(fmt::format("no brew is planned within {}; later {} {}", counted(*shown.wish->horizon_days, "day"),
                               later.size() == 1 ? "is" : "are", some_of(later)),
                   2);
}

// "2 orders, 612.40 EUR to pay, the first by 2026-03-13 from Hillside; all comes in time"
std::string answer_text(const ShownPurchase& shown) {
    const plan::PurchasePlan& p = *shown.plan;
    if (shown.orders.empty())
        return shown.until && !p.orders.empty() ? fmt::format("nothing is to be ordered by {}\n", to_iso(*shown.until))
                                                : wrapped(nothing_sentence(*shown.drawn, p), 2);
    const plan::PurchaseOrderPlan& first = p.orders.front();
    std::string text = fmt::format(
        "{}, {} {} to pay, {}by {} from {}", counted(std::ssize(shown.orders), "order"), money(sums_of(shown).both()),
        shown.currency, shown.orders.size() == 1 ? "" : "the first ", to_iso(first.order_by), first.supplier);
    if (!shown.until && p.late.empty()) text += "; all comes in time";
    return wrapped(text, 2) + (shown.until ? "" : wrapped(how_good(p, shown.asked), 2));
}

std::string plan_answer_text(const ShownPurchase& shown) {
    const plan::PurchasePlan& p = *shown.plan;
    std::string text = answer_text(shown);
    for (const PurchaseLate& late : p.late) text += wrapped("late: " + late_sentence(*shown.drawn, late), 2);
    if (!shown.orders.empty()) text += "\n" + orders_text(shown);
    for (const std::string& said : safety_sentences(*shown.drawn, p)) text += wrapped(said, 2);
    for (const plan::PurchaseFill& fill : shown.fills)
        if (fill.order < shown.orders.size())
            text += wrapped(fill_sentence(*shown.wish, *shown.drawn, p, fill, shown.currency), 2);
    if (shown.until) return text + later_text(shown) + (shown.full ? money_text_of(shown) : "");
    text += purposes_text(shown) + changes_text(shown);
    return shown.full ? text + (shown.orders.empty() ? "" : money_text_of(shown)) + brews_text(shown) : text;
}

} // namespace

namespace {

constexpr std::ptrdiff_t first_screen = 24;

// What of the text is on the first screen, with `below` after it.
std::string on_first_screen(const std::string& text, const std::string& below) {
    const auto lines = [](const std::string& some) { return std::ranges::count(some, '\n'); };
    if (lines(text) + lines(below) <= first_screen) return text + below;
    std::ptrdiff_t room = first_screen - lines(below) - 1;
    std::size_t end = 0;
    for (; room > 0; --room) end = text.find('\n', end) + 1;
    const std::string rest = text.substr(end);
    return text.substr(0, end) + fmt::format("and {} with --full\n", counted(lines(rest), "more line")) + below;
}

} // namespace

std::string buy_text(const ShownPurchase& shown) {
    std::string text;
    if (shown.drawn->wanted.needs.empty())
        text = no_needs_text(shown);
    else if (!shown.plan->found)
        text = "no plan was found within the limit\n";
    else
        text = plan_answer_text(shown);
    for (const std::string& sentence : shown.drawn->says) text += wrapped(sentence, 2);
    const std::string below = shown.booked != nullptr ? booked_line(*shown.booked)
                              : shown.next.empty()    ? ""
                                                      : "next: " + shown.next + "\n";
    return shown.full ? text + below : on_first_screen(text, below);
}

std::string buy_list(const ShownPurchase& shown, bool prices) {
    std::string text;
    for (std::size_t o = 0; o < shown.orders.size(); ++o) {
        const Money delivery{std::llround(shown.plan->orders[o].delivery * 100.0)};
        const OrderLetter letter{
            {shown.orders[o], rest_of(shown.orders[o], {}), true}, shown.currency, delivery, prices};
        text += (o == 0 ? "" : "\n") + order_letter_text(letter);
    }
    return text.empty() ? "nothing to order\n" : text;
}

} // namespace lotwort::report
