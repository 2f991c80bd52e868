#include "checks.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/extract_basis.hpp>
#include <lotwort/stock/malt.hpp>
#include <map>
#include <set>
#include <tuple>

namespace lotwort {

namespace {

constexpr std::array<std::string_view, 8> units{"sg", "plato", "brix", "c", "l", "cm", "kg", "g"};
constexpr std::array<std::string_view, 7> weekdays{"monday", "tuesday",  "wednesday", "thursday",
                                                   "friday", "saturday", "sunday"};

template <class List>
bool is_in(std::string_view word, const List& list) {
    return std::ranges::find(list, word) != list.end();
}

// As it is little, and yet with its moisture taken off more than there is of dry matter.
template <class Holder>
void check_dry_extract(const Holder& holder, ExtractBasis basis, const Report& report) {
    try {
        (void)fine_dry_extract(holder.extract->value(), basis, holder.moisture.value_or(Percent(0.0)));
    } catch (const Error& fault) {
        report("extract_pct", fault.what());
    }
}

// L deg/kg or ppg under a per cent basis is the slip that makes an extract of 300 %.
template <class Holder>
void check_extract(const Holder& holder, const Report& report) {
    if (!holder.extract) return;
    const ExtractBasis basis = holder.extract_basis.value_or(ExtractBasis::fine_dry);
    if (holder.extract->value() <= most_stated(basis)) return check_dry_extract(holder, basis, report);
    if (basis > ExtractBasis::coarse_as_is)
        return report("extract_pct", fmt::format("{} is more than pure sugar gives on the basis {}, {:.1f}",
                                                 holder.extract->value(), word(basis), most_stated(basis)));
    report("extract_pct", fmt::format("{} is more than the malt itself; on the basis {} it is a per cent by mass",
                                      holder.extract->value(), word(basis)));
}

bool is_time_of_day(std::string_view at) {
    const auto digit = [&](std::size_t i) { return at[i] >= '0' && at[i] <= '9'; };
    if (at.size() != 5 || at[2] != ':' || !digit(0) || !digit(1) || !digit(3) || !digit(4)) return false;
    return at.substr(0, 2) < "24" && at.substr(3, 2) < "60";
}

} // namespace

void check(const Item& item, const Report& report) {
    check_extract(item, report);
    if (item.malt_class && item.kind != ItemKind::malt) report("class", "is of a malt alone");
    for (std::size_t i = 0; i < item.stands_for.size(); ++i)
        if (item.stands_for[i].item == item.name) report("stands_for", "an item cannot stand in for itself");
}

void check(const Instrument& instrument, const Report& report) {
    if (instrument.unit && !is_in(*instrument.unit, units))
        report("unit", fmt::format("`{}` is none of {}", *instrument.unit, fmt::join(units, ", ")));
}

void check(const Vessel& vessel, const Report& report) {
    for (std::size_t i = 1; i < vessel.dip_table.size(); ++i) {
        const DipMark& below = vessel.dip_table[i - 1];
        const DipMark& mark = vessel.dip_table[i];
        if (mark.depth <= below.depth || mark.volume < below.volume) {
            report("dip_table", fmt::format("must rise: [{}, {}] stands above [{}, {}]", mark.depth.value(),
                                            mark.volume.value(), below.depth.value(), below.volume.value()));
            return;
        }
    }
}

void check(const Certificate& certificate, const Report& report) {
    check_extract(certificate, report);
}

void check(const Retest& retest, const Report& report) {
    if (retest.found.extract_basis) check_extract(retest.found, report); // else it is on the certificate's
}

void check(const Lot& lot, const Report& report) {
    if (lot.received_amount.units == 0) report("", "a lot of nothing; leave it out");
    Amount sum{lot.received_amount.measure, 0};
    for (const Portion& source : lot.made_from) {
        if (source.amount.measure == sum.measure) sum = sum + source.amount;
        if (source.lot == lot.code) report("made_from", "a lot is not made of itself");
    }
    if (!lot.made_from.empty() && sum.units != lot.received_amount.units)
        report("made_from", fmt::format("comes to {}, and the lot is {}", to_text(sum), to_text(lot.received_amount)));
    if (lot.opened && *lot.opened < lot.received) report("opened", "is before the lot was received");
    for (std::size_t i = 0; i < lot.retests.size(); ++i)
        if (lot.retests[i].on < lot.received)
            report(fmt::format("retests[{}].on", i), "is before the lot was received");
}

void check(const GristLine& line, const Report& report) {
    if (line.share.has_value() == line.mass.has_value()) report("", "needs either share_pct or mass_kg");
}

void check(const HopLine& line, const Report& report) {
    if (line.mass.has_value() == line.bitterness.has_value()) report("", "needs either mass_g or bitterness_ibu");
    if (line.stage != Stage::boil && line.stage != Stage::stand && line.stage != Stage::dry)
        report("stage", fmt::format("hops go into boil, stand or dry, not {}", word(line.stage)));
    if (line.bitterness && line.stage == Stage::dry)
        report("bitterness_ibu", "a dry addition gives no bitterness that could be asked for; state mass_g");
}

void check(const OtherLine& line, const Report& report) {
    const int stated = (line.mass ? 1 : 0) + (line.volume ? 1 : 0) + (line.count ? 1 : 0);
    if (stated != 1) report("", "needs exactly one of mass_kg, volume_l, count");
}

void check(const Recipe& recipe, const Report& report) {
    for (std::size_t i = 0; i < recipe.hops.size(); ++i) {
        const HopLine& hop = recipe.hops[i];
        if (hop.stage == Stage::boil && hop.minutes && recipe.boil && *recipe.boil < *hop.minutes)
            report(fmt::format("hops[{}].minutes", i),
                   fmt::format("{:.6g} min in a boil of {:.6g} min", hop.minutes->value(), recipe.boil->value()));
    }
    double sum = 0.0;
    std::size_t shares = 0;
    for (const GristLine& line : recipe.grist) {
        if (!line.share) continue;
        ++shares;
        sum += line.share->value();
    }
    if (shares == 0) return;
    if (shares != recipe.grist.size())
        report("grist", "mixes share_pct and mass_kg; state one of them on every line");
    else if (sum < 99.5 || sum > 100.5)
        report("grist", fmt::format("the shares sum to {:.6g} %, not 100", sum));
    if (!recipe.original_gravity)
        report("original_gravity_sg", "is missing: a grist by shares gets its masses from it");
}

void check(const Reading& reading, const Report& report) {
    const int volumes = (reading.volume ? 1 : 0) + (reading.depth ? 1 : 0) + (reading.mass ? 1 : 0);
    const int gravities = (reading.gravity_sg ? 1 : 0) + (reading.gravity_plato ? 1 : 0) + (reading.brix ? 1 : 0);
    if (volumes > 1) report("", "states more than one of volume_l, depth_cm, mass_kg; make two readings of it");
    if (gravities > 1) report("", "states more than one of gravity_sg, gravity_plato, brix; make two readings of it");
    const bool other = reading.temperature || reading.ph || reading.mill_gap || reading.bitterness;
    if (volumes + gravities == 0 && !other)
        report("", "reads nothing; state a volume, a gravity, a temperature or a ph");
    if (reading.mill_gap && reading.point != ReadingPoint::mash) report("mill_gap_mm", "belongs to the mash");
    if (reading.bitterness && reading.point != ReadingPoint::final_beer)
        report("bitterness_ibu", "belongs to the final beer");
    if (reading.at && !is_time_of_day(*reading.at))
        report("at", fmt::format("`{}` is no time of day; write HH:MM, such as 09:30", *reading.at));
}

void check(const Brew& brew, const Report& report) {
    if (!brew.abandoned && !brew.unused.empty())
        report("unused", "nothing comes back from a brew that was not abandoned");
}

void check(const Supplier& supplier, const Report& report) {
    for (const std::string& day : supplier.closed_weekdays)
        if (!is_in(day, weekdays))
            report("closed_weekdays", fmt::format("`{}` is none of {}", day, fmt::join(weekdays, ", ")));
}

void check(const Offer& offer, const Report& report) {
    const int packs = (offer.pack ? 1 : 0) + (offer.pack_volume ? 1 : 0) + (offer.pack_count ? 1 : 0);
    if (packs != 1) report("", "needs exactly one of pack_kg, pack_l, pack_count");
    if (offer.pack && offer.pack->value() == 0.0) report("pack_kg", "a pack of nothing");
    if (offer.pack_volume && offer.pack_volume->value() == 0.0) report("pack_l", "a pack of nothing");
    if (offer.price_steps.empty()) report("price_steps", "needs at least one price");
    for (std::size_t i = 1; i < offer.price_steps.size(); ++i)
        if (offer.price_steps[i].packs <= offer.price_steps[i - 1].packs)
            report("price_steps", "must rise in packs, each step once");
}

void check(const Movement& movement, const Report& report) {
    const std::int64_t change = movement.change.units;
    const bool reversal = movement.kind == MovementKind::reversal;
    if (reversal && !movement.reverses) report("reverses", "is missing: a reversal names what it takes back");
    if (!reversal && movement.reverses) report("kind", "must be reversal where `reverses` is stated");
    const bool takes = movement.kind == MovementKind::brew || movement.kind == MovementKind::discard ||
                       movement.kind == MovementKind::return_to_supplier || movement.kind == MovementKind::move;
    if (takes && change > 0) report("", "takes from the lot, so its amount is negative");
    if (movement.kind == MovementKind::receipt && change <= 0) report("", "adds to the lot, so its amount is positive");
    if (movement.kind == MovementKind::unused && change < 0) report("", "adds to the lot, so its amount is positive");
    if (movement.kind != MovementKind::brew && (movement.stage || movement.minutes))
        report("kind", "must be brew where stage or minutes is stated");
    if (movement.kind != MovementKind::brew && movement.kind != MovementKind::unused && movement.brew)
        report("kind", "must be brew or unused where brew is stated");
}

namespace {

double in_units(Money money) {
    return static_cast<double>(money.minor) / 100.0;
}

void check_currency(std::string_view currency, const Report& report) {
    const bool capitals = std::ranges::all_of(currency, [](char c) { return c >= 'A' && c <= 'Z'; });
    if (!currency.empty() && (currency.size() != 3 || !capitals))
        report("currency", fmt::format("`{}` is no currency; write three capital letters, such as EUR", currency));
}

// An offer is known by supplier, item and what a pack holds.
void check_offers_apart(const std::vector<Offer>& offers, const Report& report) {
    using Pack = std::tuple<std::optional<Kilograms>, std::optional<Litres>, std::optional<int>>;
    std::set<std::tuple<std::string_view, std::string_view, Pack>> seen;
    for (std::size_t i = 0; i < offers.size(); ++i) {
        const Offer& offer = offers[i];
        if (seen.emplace(offer.supplier, offer.item, Pack(offer.pack, offer.pack_volume, offer.pack_count)).second)
            continue;
        report(fmt::format("offers[{}]", i),
               fmt::format("a second offer of the same pack of `{}` by `{}`", offer.item, offer.supplier));
    }
}

// Delivery and minimum order are a supplier's, wherever they are stated.
void check_terms_agree(const Book& book, std::string_view field, std::optional<Money> Supplier::*of_supplier,
                       std::optional<Money> Offer::*of_offer, const Report& report) {
    std::map<std::string_view, std::optional<Money>> stated;
    for (const Supplier& supplier : book.suppliers) stated[supplier.name] = supplier.*of_supplier;
    for (std::size_t i = 0; i < book.offers.size(); ++i) {
        const Offer& offer = book.offers[i];
        const std::optional<Money>& here = offer.*of_offer;
        std::optional<Money>& before = stated[offer.supplier];
        if (here && before && *here != *before)
            report(fmt::format("offers[{}].{}", i, field),
                   fmt::format("{} here, but {} elsewhere for supplier `{}`", in_units(*here), in_units(*before),
                               offer.supplier));
        if (!before) before = here;
    }
}

} // namespace

void check(const ExchangeDocument& document, const Report& report) {
    const Book& book = document.book;
    check_currency(book.currency, report);
    check_offers_apart(book.offers, report);
    check_terms_agree(book, "delivery", &Supplier::delivery, &Offer::delivery, report);
    check_terms_agree(book, "minimum_order", &Supplier::minimum_order, &Offer::minimum_order, report);
}

} // namespace lotwort
