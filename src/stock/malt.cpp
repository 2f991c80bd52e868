#include <algorithm>
#include <array>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/propagate.hpp>
#include <lotwort/stock/extract_basis.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/stock/typical.hpp>

namespace lotwort {

namespace {

// Standard uncertainties of what is stated without one (docs/methods/malt.md).
constexpr double certified_extract_sd = 1.0;  // points of fine dry: a lot against its certificate
constexpr double certified_moisture_sd = 0.3; // points
constexpr double certified_share_sd = 0.05;   // colour, diastatic power, alpha: of the value
constexpr double item_share_sd = 0.10;        // the same of an item's stated value
constexpr double least_colour_sd = 0.3;       // EBC
constexpr double most_plausible_extract = 105.0;

// What a laboratory stated, newest first: retests not after the day, then the certificate.
struct Record {
    const Certificate* stated;
    Origin origin;
};

std::vector<Record> records_of(const Lot& lot, Date day) {
    std::vector<const Retest*> retests;
    for (const Retest& retest : lot.retests)
        if (retest.on <= day) retests.push_back(&retest);
    std::stable_sort(retests.begin(), retests.end(), [](const Retest* a, const Retest* b) { return a->on < b->on; });
    std::vector<Record> records;
    for (auto retest = retests.rbegin(); retest != retests.rend(); ++retest)
        records.push_back({&(*retest)->found, Origin::retest});
    if (lot.certificate) records.push_back({&*lot.certificate, Origin::certificate});
    return records;
}

// The index of the first record from `from` on that states the field; records.size() where none does.
template <class Value>
std::size_t first_with(const std::vector<Record>& records, std::optional<Value> Certificate::*field,
                       std::size_t from = 0) {
    while (from < records.size() && !(records[from].stated->*field)) ++from;
    return from;
}

double share_or_least(double value, double share, double least) {
    return std::max(share * std::abs(value), least);
}

// Colour, diastatic power: figures without a stated uncertainty.
template <class Unit>
Figure plain_figure(const std::vector<Record>& records, std::optional<Quantity<Unit>> Certificate::*field,
                    const std::optional<Quantity<Unit>>& of_item, double typical, double typical_sd, double least_sd) {
    const std::size_t at = first_with(records, field);
    if (at < records.size()) {
        const double value = (records[at].stated->*field)->value();
        return {value, share_or_least(value, certified_share_sd, least_sd), records[at].origin};
    }
    if (of_item)
        return {of_item->value(), share_or_least(of_item->value(), item_share_sd, 2.0 * least_sd), Origin::item};
    return {typical, typical_sd, Origin::typical};
}

// Moisture as known from the records from `from` on.
Figure moisture_figure(const Item& item, const std::vector<Record>& records, const Typical& typical, std::size_t from) {
    const std::size_t at = first_with(records, &Certificate::moisture, from);
    if (at < records.size()) {
        const Certificate& stated = *records[at].stated;
        const double sd = stated.moisture_sd ? stated.moisture_sd->value() : certified_moisture_sd;
        return {stated.moisture->value(), sd, records[at].origin};
    }
    if (item.moisture)
        return {item.moisture->value(), std::hypot(certified_moisture_sd, 0.5 * typical.moisture_sd_pct), Origin::item};
    return {typical.moisture_pct, std::hypot(certified_moisture_sd, typical.moisture_sd_pct), Origin::typical};
}

// An extract as stated, with the whole scatter of the true lot about it, both on its basis.
struct StatedExtract {
    double value = 0.0;
    double sd = 0.0;
    ExtractBasis basis = ExtractBasis::fine_dry;
    Origin origin = Origin::typical;
    std::size_t record = 0; // where it stands; records.size() where it is the item's or typical
};

// A scatter stated on one basis, in points of fine dry extract (moisture moves it by less than a twentieth).
double points_of_fine_dry(Percent sd, std::optional<ExtractBasis> basis) {
    return sd.value() * parts_of(basis.value_or(ExtractBasis::fine_dry)).per_cent_of_unit;
}

StatedExtract stated_extract(const Item& item, const std::vector<Record>& records, const Typical& typical) {
    const double default_sd = std::min(certified_extract_sd, typical.extract_sd_pct);
    const std::size_t at = first_with(records, &Certificate::extract);
    StatedExtract found;
    found.record = at;
    double lot_sd = default_sd,
           item_sd = item.extract_sd ? points_of_fine_dry(*item.extract_sd, item.extract_basis) : 0;
    if (at < records.size()) {
        const std::size_t based = first_with(records, &Certificate::extract_basis, at);
        if (based < records.size()) found.basis = *records[based].stated->extract_basis;
        found.value = records[at].stated->extract->value();
        found.origin = records[at].origin;
        const std::size_t scattered = first_with(records, &Certificate::extract_sd, at);
        if (scattered < records.size())
            lot_sd = points_of_fine_dry(*records[scattered].stated->extract_sd,
                                        scattered == at ? found.basis : records[scattered].stated->extract_basis);
    } else if (item.extract) {
        found.value = item.extract->value();
        found.basis = item.extract_basis.value_or(ExtractBasis::fine_dry);
        found.origin = Origin::item;
        if (!item.extract_sd) item_sd = 0.5 * typical.extract_sd_pct;
    } else {
        found.value = typical.extract_fine_dry_pct;
        item_sd = std::max(item_sd, typical.extract_sd_pct);
    }
    found.sd = std::hypot(lot_sd, item_sd) / parts_of(found.basis).per_cent_of_unit;
    return found;
}

Percent plausible(double fine_dry, const std::string& whose) {
    if (fine_dry >= 0.0 && fine_dry <= most_plausible_extract) return Percent(fine_dry);
    throw Error(ErrorKind::refused,
                whose + " is " + fixed(fine_dry, 1) + " % of dry matter, more than malt or sugar holds",
                "check the extract's basis: 81.5 is per cent, 308 is L deg/kg, 37 is points per pound and gallon");
}

// Extract on both bases. Inputs 0 to 3: the stated value, fine less coarse, moisture when analysed, moisture now.
void set_extract(MaltFigures& figures, const Item& item, const std::vector<Record>& records, const Typical& typical,
                 const std::string& whose) {
    using Real = Dual<4>;
    const StatedExtract stated = stated_extract(item, records, typical);
    const Figure now = figures.moisture_pct;
    const Figure then = moisture_figure(item, records, typical, stated.record);
    const bool same =
        first_with(records, &Certificate::moisture) == first_with(records, &Certificate::moisture, stated.record);
    const std::array<double, 4> sd{stated.sd, fine_coarse_difference_sd_pct, then.sd, now.sd};

    const Real moisture_now = Real::parameter(now.value, 3);
    const Real moisture_then = same ? moisture_now : Real::parameter(then.value, 2);
    const Real fine_dry = fine_dry_of(Real::parameter(stated.value, 0), stated.basis, moisture_then,
                                      Real::parameter(fine_coarse_difference_pct, 1));
    plausible(fine_dry.value, whose);
    const Real as_is = fine_dry / Real(100.0) * (Real(1.0) - moisture_now / Real(100.0));
    figures.extract_fine_dry_pct = {fine_dry.value, first_order_sd(fine_dry, sd), stated.origin};
    figures.extract_as_is = {as_is.value, first_order_sd(as_is, sd), stated.origin};
}

MaltFigures figures_of(const Item& item, const std::vector<Record>& records, const std::string& whose) {
    const Typical typical = typical_of(item);
    MaltFigures figures;
    figures.moisture_pct = moisture_figure(item, records, typical, 0);
    set_extract(figures, item, records, typical, whose);
    figures.colour_ebc = plain_figure(records, &Certificate::colour, item.colour, typical.colour_ebc,
                                      typical.colour_sd_ebc, least_colour_sd);
    figures.diastatic_power_wk = plain_figure(records, &Certificate::diastatic_power, item.diastatic_power,
                                              typical.diastatic_power_wk, typical.diastatic_power_sd_wk, 0.0);
    return figures;
}

Figure alpha_figure(const Item& item, const std::vector<Record>& records) {
    const Typical typical = typical_of(item);
    Figure alpha = plain_figure(records, &Certificate::alpha, item.alpha, typical.alpha_pct, typical.alpha_sd_pct, 0.0);
    const std::size_t at = first_with(records, &Certificate::alpha);
    const std::size_t scattered = first_with(records, &Certificate::alpha_sd, at);
    if (scattered < records.size()) alpha.sd = records[scattered].stated->alpha_sd->value();
    return alpha;
}

} // namespace

Percent fine_dry_extract(double value, ExtractBasis basis, Percent moisture) {
    if (!(moisture.value() >= 0.0 && moisture.value() <= 50.0))
        throw Error(ErrorKind::refused, "moisture outside 0 to 50 %", "malt as delivered holds 3 to 6 %");
    return plausible(fine_dry_of(value, basis, moisture.value(), fine_coarse_difference_pct), "this extract");
}

double extract_on_basis(Percent fine_dry, ExtractBasis basis, Percent moisture) {
    return stated_of_fine_dry(fine_dry.value(), basis, moisture.value(), fine_coarse_difference_pct);
}

MaltFigures malt_figures(const Item& item, const Lot& lot, Date day) {
    return figures_of(item, records_of(lot, day), "the extract of lot " + lot.code);
}

MaltFigures malt_figures(const Item& item) {
    return figures_of(item, {}, "the extract of item " + item.name);
}

Certificate with_scatter(const Item& item, Certificate certificate) {
    Certificate& c = certificate;
    if (c.extract && !c.extract_sd) {
        const double points = std::min(certified_extract_sd, typical_of(item).extract_sd_pct);
        c.extract_sd = Percent(points / parts_of(c.extract_basis.value_or(ExtractBasis::fine_dry)).per_cent_of_unit);
    }
    if (c.moisture && !c.moisture_sd) c.moisture_sd = Percent(certified_moisture_sd);
    if (c.alpha && !c.alpha_sd) c.alpha_sd = Percent(certified_share_sd * c.alpha->value());
    return certificate;
}

Figure alpha_pct(const Item& item, const Lot& lot, Date day) {
    return alpha_figure(item, records_of(lot, day));
}

Figure alpha_pct(const Item& item) {
    return alpha_figure(item, {});
}

} // namespace lotwort
