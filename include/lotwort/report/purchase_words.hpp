// What the text and the page of a purchase plan say alike.
#pragma once

#include <lotwort/plan/purchase_demand.hpp>
#include <lotwort/plan/purchase_purpose.hpp>

namespace lotwort::report {

// The sums of a plan, line by line: "packs", "deliveries", "to pay", ... and how good it is, in a sentence.
struct MoneyRow {
    std::string what;
    double amount = 0.0;
};
[[nodiscard]] std::vector<MoneyRow> money_rows(const plan::PurchasePlan& plan, Date until);
// asked: what else it was told to keep to, "without Hillside"; of all other plans nothing is said.
[[nodiscard]] std::string bound_sentence(const plan::PurchasePlan& plan, const std::string& asked);

// The same in half a line: "nothing costs less", or how far from that it may be.
[[nodiscard]] std::string how_good(const plan::PurchasePlan& plan, const std::string& asked);

// "late: 3 kg of pale ale malt for P1 on 2026-03-24: to be had on 2026-03-26, 2 days late", without the first word.
[[nodiscard]] std::string late_sentence(const plan::DrawnPurchase& drawn, const plan::PurchaseLate& late);
// The safety stocks that are not kept though no brew is short of the item: one that is told as late is told already.
[[nodiscard]] std::vector<std::string> safety_sentences(const plan::DrawnPurchase& drawn,
                                                        const plan::PurchasePlan& plan);
// "order by 2026-03-13 filled up: 2 x 25 kg of pale ale malt more than brews and safety stock ask for, for Hillside's
// free delivery from 200.00 EUR on"
[[nodiscard]] std::string fill_sentence(const plan::PurchaseWish& wish, const plan::DrawnPurchase& drawn,
                                        const plan::PurchasePlan& plan, const plan::PurchaseFill& fill,
                                        const std::string& currency);
// What an item's packs are for, to the gram; "-" where it is nothing. What is left makes the others add up.
struct PurposeWords {
    std::string bought, for_brews, safety, left;
    std::optional<Date> lasts_to; // that, as brews are taken to use it; none: nothing is left, or nobody uses it
};
[[nodiscard]] PurposeWords purpose_words(const plan::PurchaseWish& wish, const plan::DrawnPurchase& drawn,
                                         const plan::PurchasePurpose& purpose);
// What holds where nothing is ordered.
[[nodiscard]] std::string nothing_sentence(const plan::DrawnPurchase& drawn, const plan::PurchasePlan& plan);

} // namespace lotwort::report
