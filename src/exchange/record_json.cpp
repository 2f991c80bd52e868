#include "record_writer.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/record_json.hpp>

namespace lotwort {

#define LOTWORT_WRITE_JSON(record)                                                                                     \
    void write_json(JsonWriter& w, const record& value) {                                                              \
        write_record(w, value);                                                                                        \
    }
LOTWORT_WRITE_JSON(Item)
LOTWORT_WRITE_JSON(Certificate)
LOTWORT_WRITE_JSON(Retest)
LOTWORT_WRITE_JSON(Lot)
LOTWORT_WRITE_JSON(Instrument)
LOTWORT_WRITE_JSON(Brewhouse)
LOTWORT_WRITE_JSON(Recipe)
LOTWORT_WRITE_JSON(Brew)
LOTWORT_WRITE_JSON(Reading)
LOTWORT_WRITE_JSON(Supplier)
LOTWORT_WRITE_JSON(Offer)
LOTWORT_WRITE_JSON(Order)
LOTWORT_WRITE_JSON(Movement)
#undef LOTWORT_WRITE_JSON

void write_json(JsonWriter& w, const Plan& plan) {
    w.begin_object().field("plan", plan.code);
    for_each_exchange_field<Plan>([&](const auto& f) {
        if (f.name != "code") write_field(w, plan, f);
    });
    w.end_object();
}

void write_amount_field(JsonWriter& w, std::string_view stem, Amount amount) {
    const std::string name(stem);
    switch (amount.measure) {
    case Measure::mass:
        w.key(name + "_kg").number_text(decimal_text(amount.units, 6));
        return;
    case Measure::volume:
        w.key(name + "_l").number_text(decimal_text(amount.units, 6));
        return;
    case Measure::count:
        w.key(name + "_count").value(amount.units);
        return;
    }
    report_bug("amount has a measure", std::source_location::current());
}

void write_money_field(JsonWriter& w, std::string_view name, Money money) {
    w.key(name).number_text(decimal_text(money.minor, 2));
}

} // namespace lotwort
