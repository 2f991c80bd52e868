#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/certificate_kind.hpp>
#include <lotwort/stock/extract_basis.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/stock/rules.hpp>

namespace lotwort {

namespace {

constexpr std::array<std::string_view, 7> weekdays{"monday", "tuesday",  "wednesday", "thursday",
                                                   "friday", "saturday", "sunday"};

// As it is little, and yet with its moisture taken off more than there is of dry matter.
template <class Holder>
void check_dry_extract(const Holder& holder, ExtractBasis basis, const TellBroken& tell) {
    const Percent moisture = holder.moisture.value_or(Percent(0.0));
    if (!(moisture.value() >= 0.0 && moisture.value() <= 50.0)) return; // told of by its range
    try {
        (void)fine_dry_extract(holder.extract->value(), basis, moisture);
    } catch (const Error& fault) {
        tell("extract_pct", fault.what());
    }
}

// L deg/kg or ppg under a per cent basis is the slip that makes an extract of 300 %.
template <class Holder>
void check_extract(const Holder& holder, const TellBroken& tell) {
    if (!holder.extract) return;
    const ExtractBasis basis = holder.extract_basis.value_or(ExtractBasis::fine_dry);
    if (holder.extract->value() <= most_stated(basis)) return check_dry_extract(holder, basis, tell);
    if (basis > ExtractBasis::coarse_as_is)
        return tell("extract_pct", fmt::format("{} is more than pure sugar gives on the basis {}, {:.1f}",
                                               holder.extract->value(), word(basis), most_stated(basis)));
    tell("extract_pct", fmt::format("{} is more than the malt itself; on the basis {} it is a per cent by mass",
                                    holder.extract->value(), word(basis)));
}

} // namespace

void check_rules(const Item& item, const TellBroken& tell) {
    check_extract(item, tell);
    if (item.malt_class && item.kind != ItemKind::malt) tell("class", "is of a malt alone");
    if (item.kind != ItemKind::yeast) {
        if (item.cells_billion) tell("cells_billion", "is of a yeast alone");
        if (item.cells_loss) tell("cells_loss_pct_per_month", "is of a yeast alone");
        if (item.pitch_rate) tell("pitch_million_per_ml_plato", "is of a yeast alone");
    }
    if (item.cells_per && !item.cells_billion) tell("cells_per", "says of what cells_billion is");
    for (std::size_t i = 0; i < item.stands_for.size(); ++i)
        if (item.stands_for[i].item == item.name) tell("stands_for", "an item cannot stand in for itself");
}

void check_rules(const Certificate& certificate, const TellBroken& tell) {
    check_extract(certificate, tell);
}

void check_rules(const Retest& retest, const TellBroken& tell) {
    if (retest.found.extract_basis) check_extract(retest.found, tell); // else it is on the certificate's
}

void check_rules(const Lot& lot, const TellBroken& tell) {
    if (lot.received_amount.units == 0) tell("", "a lot of nothing; leave it out");
    Amount sum{lot.received_amount.measure, 0};
    for (const Portion& source : lot.made_from) {
        if (source.amount.measure == sum.measure) sum = sum + source.amount;
        if (source.lot == lot.code) tell("made_from", "a lot is not made of itself");
    }
    if (!lot.made_from.empty() && sum.units != lot.received_amount.units)
        tell("made_from", fmt::format("comes to {}, and the lot is {}", to_text(sum), to_text(lot.received_amount)));
    if (lot.crop_year && *lot.crop_year > year_of(lot.received)) tell("crop_year", "is after the lot was received");
    if (lot.packed && lot.received < *lot.packed) tell("packed", "is after the lot was received");
    if (lot.opened && *lot.opened < lot.received) tell("opened", "is before the lot was received");
    for (std::size_t i = 0; i < lot.retests.size(); ++i)
        if (lot.retests[i].on < lot.received) tell(fmt::format("retests[{}].on", i), "is before the lot was received");
}

void check_rules(const Supplier& supplier, const TellBroken& tell) {
    for (const std::string& day : supplier.closed_weekdays)
        if (std::ranges::find(weekdays, day) == weekdays.end())
            tell("closed_weekdays", fmt::format("`{}` is none of {}", day, fmt::join(weekdays, ", ")));
}

void check_rules(const Offer& offer, const TellBroken& tell) {
    const int packs = (offer.pack ? 1 : 0) + (offer.pack_volume ? 1 : 0) + (offer.pack_count ? 1 : 0);
    if (packs != 1) tell("", "needs exactly one of pack_kg, pack_l, pack_count");
    if (offer.pack && offer.pack->value() == 0.0) tell("pack_kg", "a pack of nothing");
    if (offer.pack_volume && offer.pack_volume->value() == 0.0) tell("pack_l", "a pack of nothing");
    if (offer.price_steps.empty()) tell("price_steps", "needs at least one price");
    for (std::size_t i = 1; i < offer.price_steps.size(); ++i)
        if (offer.price_steps[i].packs <= offer.price_steps[i - 1].packs)
            tell("price_steps", "must rise in packs, each step once");
}

void check_rules(const Movement& movement, const TellBroken& tell) {
    const std::int64_t change = movement.change.units;
    const bool reversal = movement.kind == MovementKind::reversal;
    if (reversal && !movement.reverses) tell("reverses", "is missing: a reversal names what it takes back");
    if (!reversal && movement.reverses) tell("kind", "must be reversal where `reverses` is stated");
    const bool takes = movement.kind == MovementKind::brew || movement.kind == MovementKind::discard ||
                       movement.kind == MovementKind::return_to_supplier || movement.kind == MovementKind::move;
    if (takes && change > 0) tell("", "takes from the lot, so its amount is negative");
    if (movement.kind == MovementKind::receipt && change <= 0) tell("", "adds to the lot, so its amount is positive");
    if (movement.kind == MovementKind::unused && change < 0) tell("", "adds to the lot, so its amount is positive");
    if (movement.kind != MovementKind::brew && (movement.stage || movement.minutes))
        tell("kind", "must be brew where stage or minutes is stated");
    if (movement.kind != MovementKind::brew && movement.kind != MovementKind::unused && movement.brew)
        tell("kind", "must be brew or unused where brew is stated");
}

void check_fit(const Lot& lot, const Item& item, const TellBroken& tell) {
    if (is_kept_by_mass(item.kind) && lot.received_amount.measure != Measure::mass)
        tell("", fmt::format("{} of {}: malt, sugar and hops are received by mass", to_text(lot.received_amount),
                             lot.item));
    if (lot.certificate && item.kind == ItemKind::malt && speaks_of_hop(*lot.certificate))
        tell("certificate", fmt::format("{} is a malt, and alpha acids are of hops", lot.item));
    if (lot.certificate && item.kind == ItemKind::hop && speaks_of_malt(*lot.certificate))
        tell("certificate", fmt::format("{} is a hop, and the certificate speaks of a malt", lot.item));
    if ((lot.packed || lot.cells_billion) && item.kind != ItemKind::yeast)
        tell(lot.packed ? "packed" : "cells_billion", fmt::format("{} is no yeast", lot.item));
    if (lot.harvested_from && item.kind != ItemKind::yeast)
        tell("harvested_from", fmt::format("{} is no yeast, and is not harvested", lot.item));
}

} // namespace lotwort
