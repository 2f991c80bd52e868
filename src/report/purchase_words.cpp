#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/offer.hpp>
#include <lotwort/report/purchase_words.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

constexpr double cent = 0.005;
constexpr double furthest = 3650.0; // days that anything is said to last

std::string money(double amount) {
    return money_text(Money{std::llround(amount * 100.0)});
}

// Never less than what lacks, by rounding.
std::string rounded_up(const plan::DrawnPurchase& drawn, const std::string& item, double units) {
    return to_text(drawn.amount_of(item, std::ceil(units * 1000.0 - 1e-4) / 1000.0));
}

bool is_awaited(const plan::DrawnPurchase& drawn) {
    return std::ranges::any_of(drawn.wanted.supplies, [](const plan::PurchaseSupply& s) { return s.ordered; });
}

} // namespace

std::vector<MoneyRow> money_rows(const plan::PurchasePlan& plan, Date until) {
    std::vector<MoneyRow> rows{{"packs", plan.goods}, {"deliveries", plan.deliveries}, {"to pay", plan.spent()}};
    if (plan.holding <= cent && plan.left_value <= cent) return rows;
    if (plan.holding > cent) rows.push_back({"and for keeping stock", plan.holding});
    if (plan.left_value > cent)
        rows.push_back({"less the worth of what is left on " + to_iso(until), -plan.left_value});
    rows.push_back({"the plan's cost", plan.total_cost});
    return rows;
}

namespace {

// "without Hillside, within the budget, "
std::string under(const std::string& asked) {
    return asked.empty() ? "" : asked + ", ";
}

bool is_bounded(const plan::PurchasePlan& plan) {
    return plan.bound > 0.0 || plan.total_cost <= cent;
}

// To the cent.
bool is_least(const plan::PurchasePlan& plan) {
    return plan.total_cost - plan.bound < cent;
}

constexpr const char* not_bounded = "the best that was found; how near it is to the least is not known";
constexpr const char* once = ", by a proof that was not looked at twice";

} // namespace

std::string bound_sentence(const plan::PurchasePlan& plan, const std::string& asked) {
    std::string text = not_bounded;
    if (is_bounded(plan)) {
        text = under(asked) + "no plan costs less";
        if (!is_least(plan))
            text += fmt::format(" than {}: this one is within {} %", money(plan.bound),
                                fixed(std::max(0.01, 100.0 * plan.gap), 2));
        if (!plan.looked_twice) text += once;
    }
    const bool is_what_is_paid = plan.holding <= cent && plan.left_value <= cent;
    return is_what_is_paid ? text : text + " (it is the plan's cost that is made least, not the sum to pay)";
}

std::string how_good(const plan::PurchasePlan& plan, const std::string& asked) {
    if (!is_bounded(plan)) return not_bounded;
    std::string text = under(asked);
    if (is_least(plan))
        text += "nothing costs less";
    else if (plan.total_cost - plan.put_together - plan.bound < cent)
        text += money(plan.put_together) + " dearer than the least there can be, for fewer orders";
    else
        text +=
            fmt::format("at most {} % dearer than the least there can be", fixed(std::max(0.01, 100.0 * plan.gap), 2));
    if (plan.left_value > cent) text += ", what is left counted at its worth";
    return plan.looked_twice ? text : text + once;
}

std::string late_sentence(const plan::DrawnPurchase& drawn, const plan::PurchaseLate& late) {
    std::string text = fmt::format("{} of {} for {} on {}: ", rounded_up(drawn, late.item, late.amount_short),
                                   late.item, late.brew, to_iso(late.date));
    if (late.for_money) return text + "the budget does not reach";
    if (!late.earliest) return text + "nobody sells it";
    const auto days = (*late.earliest - late.date).count();
    return text + fmt::format("to be had on {}, {} {} late", to_iso(*late.earliest), days, days == 1 ? "day" : "days");
}

std::vector<std::string> safety_sentences(const plan::DrawnPurchase& drawn, const plan::PurchasePlan& plan) {
    std::vector<std::string> says;
    for (const plan::SafetyShort& lacks : plan.safety_short) {
        if (std::ranges::find(plan.late, lacks.item, &plan::PurchaseLate::item) != plan.late.end()) continue;
        says.push_back(fmt::format(
            "safety stock of {}: after {} {} of {} lack{}; by its forecast no brew is short of it", lacks.item,
            to_iso(lacks.day), rounded_up(drawn, lacks.item, lacks.lacks), rounded_up(drawn, lacks.item, lacks.asked),
            drawn.wanted.budget ? ", for want of time or money" : ": nothing of it can come before then"));
    }
    return says;
}

std::string fill_sentence(const plan::PurchaseWish& wish, const plan::DrawnPurchase& drawn,
                          const plan::PurchasePlan& plan, const plan::PurchaseFill& fill, const std::string& currency) {
    const plan::PurchaseOrderPlan& order = plan.orders[fill.order];
    const plan::PurchaseLine& line = order.lines[fill.line];
    const Offer& offer = wish.offers[drawn.offers[line.offer]];
    const auto terms = std::ranges::find(drawn.wanted.suppliers, order.supplier, &plan::SupplierTerms::name);
    std::string to;
    switch (fill.what) {
    case plan::FilledFor::lower_price: {
        const auto& steps = drawn.wanted.offers[line.offer].steps;
        const auto step =
            std::find_if(steps.rbegin(), steps.rend(), [&](const auto& s) { return s.packs <= line.packs; });
        to = fmt::format("{} packs, for {} each", step->packs, money(line.price));
        break;
    }
    case plan::FilledFor::minimum_order:
        to = fmt::format("the least order of {} {}", money(terms->minimum_order), currency);
        break;
    case plan::FilledFor::free_delivery:
        to = fmt::format("free delivery from {} {} on", money(*terms->free_from), currency);
        break;
    }
    std::string sums = fmt::format("{} more now", money(fill.more_now));
    if (fill.more_now < -cent) sums = fmt::format("{} less now", money(-fill.more_now));
    if (fill.delivery_saved > cent) sums += fmt::format(", {} of delivery saved", money(fill.delivery_saved));
    sums += fill.saved_later > cent ? fmt::format(", {} saved on the next", money(fill.saved_later))
                                    : ", and no use is foreseen for it";
    return fmt::format("order by {} filled up to {}: {} x {} of {}; {}", to_iso(order.order_by), to, fill.packs,
                       pack_text(offer), offer.item, sums);
}

PurposeWords purpose_words(const plan::PurchaseWish& wish, const plan::DrawnPurchase& drawn,
                           const plan::PurchasePurpose& purpose) {
    const auto to_the_gram = [](double units) { return std::round(units * 1000.0) / 1000.0; };
    const auto amount = [&](double units) {
        const Amount whole = drawn.amount_of(purpose.item, to_the_gram(units));
        return whole.units == 0 ? "-" : to_text(whole);
    };
    const double brews = to_the_gram(purpose.for_brews), safety = to_the_gram(purpose.safety);
    const double left = to_the_gram(purpose.bought - brews - safety);
    PurposeWords words{amount(purpose.bought), amount(brews), amount(safety), amount(left), {}};
    const double a_day = wish.later ? wish.later->a_day(purpose.item) : 0.0;
    if (left > 0.0 && a_day > 0.0 && left / a_day < furthest)
        words.lasts_to = drawn.wanted.until + std::chrono::days(static_cast<int>(left / a_day));
    return words;
}

std::string nothing_sentence(const plan::DrawnPurchase& drawn, const plan::PurchasePlan& plan) {
    if (plan.late.empty())
        return plan.below_safety
                   ? "nothing to buy: the brews have all they need, the safety stock cannot be had in time"
                   : "nothing to buy: what is there and on its way will do";
    const bool for_money = std::ranges::all_of(plan.late, &plan::PurchaseLate::for_money);
    const bool never = std::ranges::none_of(plan.late, [](const auto& late) { return late.earliest.has_value(); });
    if (for_money) return "nothing is bought: what lacks cannot be had for the budget";
    if (never) return "nothing that can be bought helps: nobody sells what lacks";
    return is_awaited(drawn) ? "nothing that can be bought comes sooner than what is on its way"
                             : "nothing that can be bought helps";
}

} // namespace lotwort::report
