#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/buy.hpp>
#include <lotwort/report/offer.hpp>
#include <lotwort/report/purchase_words.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <utility>

namespace lotwort::report {

namespace {

std::string money(double amount) {
    return money_text(Money{std::llround(amount * 100.0)});
}

} // namespace

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
            w.field("unit", amount_unit(shown.drawn->amount_of(offer.item, 0.0))).field("packs", line.packs);
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
    for (const plan::PurchaseLate& late : shown.plan->late) {
        w.begin_object(JsonWriter::Layout::one_line).field("item", late.item).field("brew", late.brew);
        w.field("date", late.date).key("earliest");
        if (late.earliest)
            w.value(*late.earliest).field("days", (*late.earliest - late.date).count());
        else
            w.null().field("reason", late.for_money ? "budget" : "no offer");
        write_amount_field(w, "short", shown.drawn->amount_of(late.item, late.amount_short));
        w.end_object();
    }
    w.end_array();
}

void purposes_json(JsonWriter& w, const ShownPurchase& shown) {
    w.key("purposes").begin_array();
    for (const plan::PurchasePurpose& purpose : shown.purposes) {
        w.begin_object(JsonWriter::Layout::one_line).field("item", purpose.item);
        const auto amount = [&](const char* name, double units) {
            write_amount_field(w, name, shown.drawn->amount_of(purpose.item, units));
        };
        amount("bought", purpose.bought);
        amount("for_brews", purpose.for_brews);
        amount("safety_stock", purpose.safety);
        amount("left", purpose.left);
        if (const auto to = purpose_words(*shown.wish, *shown.drawn, purpose).lasts_to) w.field("lasts_to", *to);
        w.field("brews", purpose.brews).end_object();
    }
    w.end_array().key("filled_up").begin_array();
    for (const plan::PurchaseFill& fill : shown.fills) {
        if (fill.order >= shown.orders.size()) continue;
        const plan::PurchaseOffer& offer =
            shown.drawn->wanted.offers[shown.plan->orders[fill.order].lines[fill.line].offer];
        const char* what[] = {"minimum order", "free delivery", "lower price"};
        w.begin_object(JsonWriter::Layout::one_line).field("order", shown.orders[fill.order].code);
        w.field("item", offer.item).field("pack", offer.pack).field("packs", fill.packs);
        w.field("for", what[static_cast<std::size_t>(fill.what)]);
        const auto sum = [&](const char* name, double amount) {
            write_money_field(w, name, Money{std::llround(amount * 100.0)});
        };
        sum("more_now", fill.more_now);
        sum("delivery_saved", fill.delivery_saved);
        sum("saved_later", fill.saved_later);
        w.end_object();
    }
    w.end_array().key("safety_short").begin_array();
    for (const plan::SafetyShort& lacks : shown.plan->safety_short) {
        w.begin_object(JsonWriter::Layout::one_line).field("item", lacks.item).field("date", lacks.day);
        write_amount_field(w, "safety_stock", shown.drawn->amount_of(lacks.item, lacks.asked));
        write_amount_field(w, "short", shown.drawn->amount_of(lacks.item, lacks.lacks));
        w.end_object();
    }
    w.end_array().key("later_brews").begin_array();
    for (const auto& [code, date] : shown.drawn->beyond)
        w.begin_object(JsonWriter::Layout::one_line).field("brew", code).field("date", date).end_object();
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
    double goods = 0.0, deliveries = 0.0; // of the orders that are shown
    for (std::size_t o = 0; o < shown.orders.size(); ++o) {
        goods += p.orders[o].goods;
        deliveries += p.orders[o].delivery;
    }
    w.field("goods", goods).field("deliveries", deliveries).field("to_pay", goods + deliveries);
    w.field("holding", p.holding);
    w.field("left_value", p.left_value).field("total_cost", p.total_cost).field("bound", p.bound).field("gap", p.gap);
    w.field("proven_optimal", p.proven_optimal).field("below_safety", p.below_safety);
    purposes_json(w, shown);
    rest_json(w, shown);
    w.field("remarks", shown.drawn->says);
    if (shown.booked != nullptr) booked_fields(w, *shown.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
