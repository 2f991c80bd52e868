#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/offer.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string days(const std::optional<int>& number) {
    return number ? fmt::format("{} {}", *number, *number == 1 ? "day" : "days") : "";
}

// "delivery 18.00, free from 400.00; orders from 100.00; 3 days; closed saturday, sunday"
std::string terms_text(const Supplier& supplier) {
    std::vector<std::string> terms;
    if (supplier.delivery) {
        std::string delivery = fmt::format("delivery {}", money_text(*supplier.delivery));
        if (supplier.free_delivery_from)
            delivery += fmt::format(", free from {}", money_text(*supplier.free_delivery_from));
        terms.push_back(delivery);
    }
    if (supplier.minimum_order && supplier.minimum_order->minor > 0)
        terms.push_back(fmt::format("orders from {}", money_text(*supplier.minimum_order)));
    if (supplier.lead_days) terms.push_back(fmt::format("lead time {}", days(supplier.lead_days)));
    if (supplier.buffer_days) terms.push_back(fmt::format("{} before use", days(supplier.buffer_days)));
    if (!supplier.closed_weekdays.empty())
        terms.push_back(fmt::format("closed on {}", fmt::join(supplier.closed_weekdays, ", ")));
    return terms.empty() ? "no terms stated" : fmt::format("{}", fmt::join(terms, "; "));
}

std::string until_text(const Offer& offer, Date today) {
    if (!offer.valid_until) return "";
    return to_iso(*offer.valid_until) + (*offer.valid_until < today ? " past" : "");
}

} // namespace

std::string pack_text(const Offer& offer) {
    const auto pack = pack_of(offer);
    return pack ? to_text(*pack) : "";
}

std::string pack_text(const OrderLine& line) {
    const auto pack = pack_of(line);
    return pack ? to_text(*pack) : "";
}

std::string offer_text(const OfferList& list) {
    std::string text;
    if (list.offers.empty() && list.suppliers.empty())
        text = "no offers yet; next: lotwort offer add SUPPLIER ITEM PACK PRICE\n";
    for (const Supplier& supplier : list.suppliers)
        text += wrapped(fmt::format("{}: {}", supplier.name, terms_text(supplier)), 2);
    Table table{{{"SUPPLIER", Align::left, true},
                 {"ITEM", Align::left, true},
                 {"PACK", Align::right},
                 {"FROM", Align::right},
                 {"PRICE", Align::right},
                 {"KEEPS", Align::right},
                 {"UNTIL"}},
                {}};
    for (const Offer& offer : list.offers)
        for (std::size_t k = 0; k < offer.price_steps.size(); ++k) {
            const PriceStep& step = offer.price_steps[k];
            const std::string packs = std::to_string(step.packs);
            if (k > 0)
                table.rows.push_back({"", "", "", packs, money_text(step.price)});
            else
                table.rows.push_back({offer.supplier, offer.item, pack_text(offer), packs, money_text(step.price),
                                      days(offer.shelf_life_days), until_text(offer, list.today)});
        }
    if (!table.rows.empty()) text += (text.empty() ? "" : "\n") + table_text(table);
    for (const std::string& sentence : list.says) text += wrapped(sentence, 2);
    if (list.booked != nullptr) text += booked_line(*list.booked);
    return text;
}

std::string offer_csv(const OfferList& list) {
    std::string csv = csv_row({"supplier", "item", "pack", "unit", "packs", "price", "currency", "lead_days",
                               "shelf_life_days", "valid_until"});
    for (const Offer& offer : list.offers)
        for (const PriceStep& step : offer.price_steps) {
            const Amount pack = pack_of(offer).value_or(Amount::pieces(0));
            csv += csv_row(
                {offer.supplier, offer.item, amount_number(pack), amount_unit(pack), std::to_string(step.packs),
                 money_text(step.price), list.currency, offer.lead_days ? std::to_string(*offer.lead_days) : "",
                 offer.shelf_life_days ? std::to_string(*offer.shelf_life_days) : "", date_text(offer.valid_until)});
        }
    return csv;
}

std::string offer_json(const OfferList& list) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/offer/1").field("currency", list.currency);
    w.key("suppliers").begin_array();
    for (const Supplier& supplier : list.suppliers) write_json(w, supplier);
    w.end_array().key("offers").begin_array();
    for (const Offer& offer : list.offers) write_json(w, offer);
    w.end_array();
    if (!list.says.empty()) w.field("remarks", list.says);
    if (list.booked != nullptr) booked_fields(w, *list.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
