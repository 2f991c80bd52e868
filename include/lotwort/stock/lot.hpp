// A lot: one delivery of one item, with its certificate of analysis, and what is known of it since.
#pragma once

#include <lotwort/core/amount.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/stock/item.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// Money in hundredths of the ledger's one currency.
struct Money {
    std::int64_t minor = 0;
    friend bool operator==(const Money&, const Money&) = default;
    friend auto operator<=>(const Money&, const Money&) = default;
};

// What a laboratory stated of a lot. Every field may be missing; a missing one widens the answer.
struct Certificate {
    std::optional<Percent> extract; // on extract_basis
    std::optional<ExtractBasis> extract_basis;
    std::optional<Percent> extract_sd; // percentage points on the stated basis: the whole scatter of the true lot
    std::optional<Percent> moisture;
    std::optional<Percent> moisture_sd;
    std::optional<Ebc> colour;
    std::optional<WindischKolbach> diastatic_power;
    std::optional<Percent> protein;
    std::optional<Percent> alpha;
    std::optional<Percent> alpha_sd;
    std::optional<double> hop_storage_index; // A275/A325
    std::optional<double> oil_ml_per_100g;
    std::optional<Date> analysed;
    friend bool operator==(const Certificate&, const Certificate&) = default;
};

template <>
struct FieldsOf<Certificate> {
    static constexpr auto list = Fields{
        field("extract_pct", &Certificate::extract, {0.0, 500.0}),
        field("extract_basis", &Certificate::extract_basis),
        field("extract_sd_pct", &Certificate::extract_sd, {0.0, 50.0}),
        field("moisture_pct", &Certificate::moisture, {0.0, 30.0}),
        field("moisture_sd_pct", &Certificate::moisture_sd, {0.0, 10.0}),
        field("colour_ebc", &Certificate::colour, {0.0, 3000.0}),
        field("diastatic_power_wk", &Certificate::diastatic_power, {0.0, 1000.0}),
        field("protein_pct", &Certificate::protein, {0.0, 30.0}),
        field("alpha_pct", &Certificate::alpha, {0.0, 30.0}),
        field("alpha_sd_pct", &Certificate::alpha_sd, {0.0, 10.0}),
        field("hsi", &Certificate::hop_storage_index, {0.1, 3.0}),
        field("oil_ml_per_100g", &Certificate::oil_ml_per_100g, {0.0, 10.0}),
        field("analysed", &Certificate::analysed),
    };
};

// A later laboratory value. It replaces only the fields it has, from its day on.
struct Retest {
    Date on;
    Certificate found;
    friend bool operator==(const Retest&, const Retest&) = default;
};

// So much of a lot.
struct Portion {
    std::string lot;
    Amount amount;
    friend bool operator==(const Portion&, const Portion&) = default;
};

template <>
struct FieldsOf<Portion> {
    static constexpr auto list = Fields{field("lot", &Portion::lot), field("mass_kg", &Portion::amount, {0.0, 1e6})};
};

struct Lot {
    std::string code;
    std::string item;
    std::optional<std::string> supplier;
    std::optional<std::string> supplier_lot;
    Date received;
    Amount received_amount;     // as received; what is on hand is this and the lot's movements
    std::optional<Money> price; // for the whole lot
    std::optional<Date> best_before;
    std::optional<int> crop_year;
    std::optional<Certificate> certificate;
    std::vector<Retest> retests;
    std::optional<Celsius> storage;
    std::optional<std::string> packaging;
    std::optional<std::string> held; // why the lot must not be used; none: it may be
    std::optional<Date> opened;      // the day its pack was opened, and with it what the packaging keeps out let in
    std::vector<Portion> made_from;  // lots of the same item, shared out or put together; their sum was received
    std::optional<std::string> harvested_from; // the brew that a yeast was taken from
    std::optional<int> generation;             // of a yeast: how many brews it has been through
    std::optional<Date> packed;                // of a yeast: its cells are counted from this day on
    std::optional<double> cells_billion;       // as packed or harvested, a piece, a gram or a millilitre by its measure
    std::optional<std::string> silo;           // that it lies in
    friend bool operator==(const Lot&, const Lot&) = default;
};

// received_amount is written as mass_kg, volume_l or count, by its measure.
template <>
struct FieldsOf<Lot> {
    static constexpr auto list = Fields{
        field("code", &Lot::code),
        field("item", &Lot::item),
        field("supplier", &Lot::supplier),
        field("supplier_lot", &Lot::supplier_lot),
        field("received", &Lot::received),
        field("mass_kg", &Lot::received_amount, {0.0, 1e6}),
        field("price", &Lot::price, {0.0, 1e9}),
        field("best_before", &Lot::best_before),
        field("crop_year", &Lot::crop_year, {1900.0, 2199.0}),
        field("certificate", &Lot::certificate),
        field("retests", &Lot::retests),
        field("storage_c", &Lot::storage, {-80.0, 60.0}),
        field("packaging", &Lot::packaging),
        field("held", &Lot::held),
        field("opened", &Lot::opened),
        field("made_from", &Lot::made_from),
        field("harvested_from", &Lot::harvested_from),
        field("generation", &Lot::generation, {1.0, 100.0}),
        field("packed", &Lot::packed),
        field("cells_billion", &Lot::cells_billion, {0.001, 1e6}),
        field("silo", &Lot::silo),
    };
};

// Where a lot stands on a day: on hand is the receipt and all movements, promised what open plans reserve.
struct LotState {
    Lot lot;
    Amount on_hand;
    Amount promised;
    std::int64_t returned = 0; // to the supplier, in units of on_hand's measure; what was taken back is left out
    [[nodiscard]] Amount free() const { return on_hand - promised; }
};

} // namespace lotwort
