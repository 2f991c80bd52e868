#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/buy.hpp>
#include <lotwort/report/offer.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <utility>

namespace lotwort::report {

namespace {

using plan::PurchaseLate;

std::string money(double amount) {
    return money_text(Money{std::llround(amount * 100.0)});
}

// So much of an item, in whole milligrams, microlitres or pieces.
Amount amount_of(const ShownPurchase& shown, const std::string& item, double units) {
    const auto measure = shown.drawn->measure.find(item);
    if (measure == shown.drawn->measure.end() || measure->second == Measure::mass) return Amount::of(Kilograms(units));
    if (measure->second == Measure::volume) return Amount::of(Litres(units));
    return Amount::pieces(std::llround(units));
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

std::string late_text(const ShownPurchase& shown, const PurchaseLate& late) {
    const double to_the_gram = std::ceil(late.amount_short * 1000.0 - 1e-4) / 1000.0;
    std::string text = fmt::format("late: {} of {} for {} on {}", to_text(amount_of(shown, late.item, to_the_gram)),
                                   late.item, late.brew, to_iso(late.date));
    if (late.for_money) return text + ": the budget does not reach\n";
    if (!late.earliest) return text + ": nobody sells it\n";
    const auto days = (*late.earliest - late.date).count();
    return text +
           fmt::format(": to be had on {}, {} {} late\n", to_iso(*late.earliest), days, days == 1 ? "day" : "days");
}

std::string money_line(const ShownPurchase& shown) {
    const plan::PurchasePlan& p = *shown.plan;
    std::string text = fmt::format("goods {}, deliveries {}", money(p.goods), money(p.deliveries));
    if (p.holding > 0.005) text += fmt::format(", keeping {}", money(p.holding));
    if (p.left_value > 0.005) text += fmt::format("; left at the end, less its age: {}", money(p.left_value));
    text += fmt::format("; in all {} {}\n", money(p.total_cost), shown.currency);
    if (p.gap <= 1e-6) return text + "no plan costs less\n";
    return text + fmt::format("no plan costs less than {}: this one is within {} %\n", money(p.bound),
                              fixed(std::max(0.01, 100.0 * p.gap), 2));
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

std::string buy_text(const ShownPurchase& shown) {
    const plan::PurchasePlan& p = *shown.plan;
    std::string text;
    if (shown.drawn->wanted.needs.empty()) {
        text = "no brew is planned; next: lotwort plan RECIPE --on DATE\n";
    } else if (!p.found) {
        text = "no plan was found within the limit; give it longer: lotwort buy --limit 60s\n";
    } else {
        text = shown.orders.empty() ? "nothing to buy: what is there and on its way will do\n" : orders_text(shown);
        for (const PurchaseLate& late : p.late) text += wrapped(late_text(shown, late), 2);
        if (p.below_safety) text += "the safety stock is not kept everywhere: it cannot be had in time\n";
        if (!shown.orders.empty()) text += wrapped(money_line(shown), 2);
        text += brews_text(shown) + changes_text(shown);
    }
    for (const std::string& sentence : shown.drawn->says) text += wrapped(sentence, 2);
    if (shown.booked != nullptr) return text + booked_line(*shown.booked);
    return text + (shown.next.empty() ? "" : "next: " + shown.next + "\n");
}

std::string buy_csv(const ShownPurchase& shown) {
    std::string csv =
        csv_row({"order", "supplier", "order_by", "arrives", "item", "pack", "packs", "cost", "delivery", "currency"});
    for (std::size_t o = 0; o < shown.orders.size(); ++o) {
        const plan::PurchaseOrderPlan& planned = shown.plan->orders[o];
        std::string delivery = money(planned.delivery);
        for (const OrderLine& line : shown.orders[o].lines)
            csv += csv_row({shown.orders[o].code, planned.supplier, to_iso(planned.order_by), to_iso(planned.arrives),
                            line.item, pack_text(line), std::to_string(line.packs), money_text(line.cost),
                            std::exchange(delivery, ""), shown.currency});
    }
    return csv;
}

namespace {

void orders_json(JsonWriter& w, const ShownPurchase& shown) {
    w.key("orders").begin_array();
    for (std::size_t o = 0; o < shown.orders.size(); ++o) {
        const plan::PurchaseOrderPlan& planned = shown.plan->orders[o];
        w.begin_object().field("order", shown.orders[o].code).field("supplier", planned.supplier);
        w.field("order_by", planned.order_by).field("arrives", planned.arrives).key("lines").begin_array();
        for (std::size_t l = 0; l < planned.lines.size(); ++l) {
            const plan::PurchaseLine& line = planned.lines[l];
            const plan::PurchaseOffer& offer = shown.drawn->wanted.offers[line.offer];
            w.begin_object(JsonWriter::Layout::one_line).field("item", offer.item).field("pack", offer.pack);
            w.field("unit", amount_unit(amount_of(shown, offer.item, 0.0))).field("packs", line.packs);
            write_money_field(w, "price", Money{std::llround(line.price * 100.0)});
            write_money_field(w, "cost", shown.orders[o].lines[l].cost);
            w.end_object();
        }
        w.end_array();
        write_money_field(w, "goods", Money{std::llround(planned.goods * 100.0)});
        write_money_field(w, "delivery", Money{std::llround(planned.delivery * 100.0)});
        write_money_field(w, "cost", Money{std::llround(planned.cost() * 100.0)});
        w.end_object();
    }
    w.end_array();
}

void late_json(JsonWriter& w, const ShownPurchase& shown) {
    w.key("late").begin_array();
    for (const PurchaseLate& late : shown.plan->late) {
        w.begin_object(JsonWriter::Layout::one_line).field("item", late.item).field("brew", late.brew);
        w.field("date", late.date).key("earliest");
        if (late.earliest)
            w.value(*late.earliest).field("days", (*late.earliest - late.date).count());
        else
            w.null().field("reason", late.for_money ? "budget" : "no offer");
        write_amount_field(w, "short", amount_of(shown, late.item, late.amount_short));
        w.end_object();
    }
    w.end_array();
}

void rest_json(JsonWriter& w, const ShownPurchase& shown) {
    w.key("brews").begin_array();
    for (const plan::BrewPurchaseCost& brew : shown.brews) {
        w.begin_object(JsonWriter::Layout::one_line).field("brew", brew.brew).field("date", brew.date);
        w.field("from_stock", brew.from_stock).field("bought", brew.bought).field("delivery", brew.delivery);
        w.field("cost", brew.sum()).end_object();
    }
    w.end_array().key("pack_changes").begin_array();
    for (const plan::PackChange& change : shown.changes) {
        const plan::PurchaseOffer& offer = shown.drawn->wanted.offers[change.offer];
        w.begin_object(JsonWriter::Layout::one_line).field("supplier", offer.supplier).field("item", offer.item);
        w.field("pack", offer.pack).field("packs", change.packs).field("change", change.change).key("costs");
        if (change.costs)
            w.value(*change.costs);
        else
            w.null().field("reason", "a need is not met");
        w.end_object();
    }
    w.end_array();
}

} // namespace

std::string buy_json(const ShownPurchase& shown) {
    const plan::PurchasePlan& p = *shown.plan;
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/buy/1").field("today", shown.drawn->wanted.today);
    w.field("until", shown.drawn->wanted.until).field("currency", shown.currency).field("found", p.found);
    orders_json(w, shown);
    late_json(w, shown);
    w.field("goods", p.goods).field("deliveries", p.deliveries).field("holding", p.holding);
    w.field("left_value", p.left_value).field("total_cost", p.total_cost).field("bound", p.bound).field("gap", p.gap);
    w.field("proven_optimal", p.proven_optimal).field("below_safety", p.below_safety);
    rest_json(w, shown);
    w.field("remarks", shown.drawn->says);
    if (shown.booked != nullptr) booked_fields(w, *shown.booked);
    w.end_object();
    return std::move(w).text();
}

std::string buy_list(const ShownPurchase& shown) {
    std::string text;
    for (std::size_t o = 0; o < shown.orders.size(); ++o) {
        const Order& order = shown.orders[o];
        const plan::PurchaseOrderPlan& planned = shown.plan->orders[o];
        text += fmt::format("{}Order {} to {}\nplease deliver on {}\n\n", o == 0 ? "" : "\n", order.code,
                            order.supplier, to_iso(planned.arrives));
        Table table{{{"  PACKS", Align::right},
                     {"PACK", Align::right},
                     {"ITEM", Align::left, true},
                     {"PRICE", Align::right},
                     {"COST", Align::right}},
                    {}};
        for (std::size_t l = 0; l < order.lines.size(); ++l)
            table.rows.push_back({std::to_string(order.lines[l].packs), pack_text(order.lines[l]), order.lines[l].item,
                                  money(planned.lines[l].price), money_text(order.lines[l].cost)});
        text += table_text(table);
        if (planned.delivery > 0.0) text += fmt::format("  delivery {}\n", money(planned.delivery));
        text += fmt::format("  together {} {}\n", money(planned.cost()), shown.currency);
    }
    return text.empty() ? "nothing to order\n" : text;
}

} // namespace lotwort::report
