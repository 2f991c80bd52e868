#include <algorithm>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/wort/hop_ageing.hpp>

namespace lotwort {

namespace {

// A record of the lot that states something of the hop, with the day it was found.
struct Found {
    Date on;
    const Certificate* stated;
};

// What a record of the lot states of the alpha, latest first; the certificate last, and only with its day.
std::optional<Found> alpha_found(const std::vector<const Retest*>& newest_first, const Lot& lot) {
    for (const Retest* retest : newest_first)
        if (retest->found.alpha) return Found{retest->found.analysed.value_or(retest->on), &retest->found};
    if (lot.certificate && lot.certificate->alpha && lot.certificate->analysed)
        return Found{*lot.certificate->analysed, &*lot.certificate};
    return std::nullopt;
}

std::vector<const Retest*> retests_until(const Lot& lot, Date day) {
    std::vector<const Retest*> retests;
    for (const Retest& retest : lot.retests)
        if (retest.on <= day) retests.push_back(&retest);
    std::ranges::stable_sort(retests, [](const Retest* a, const Retest* b) { return a->on > b->on; });
    return retests;
}
std::vector<const Retest*> retests_until(const Lot&&, Date) = delete;

// The storage index measured last after the alpha, by a retest that states no alpha of its own.
std::optional<Found> index_found_since(const std::vector<const Retest*>& newest_first, Date since) {
    for (const Retest* retest : newest_first) {
        const Date on = retest->found.analysed.value_or(retest->on);
        if (on > since && retest->found.hop_storage_index && !retest->found.alpha) return Found{on, &retest->found};
    }
    return std::nullopt;
}

constexpr int most_days = 7300; // twenty years, what the ageing formula takes: older hops have nothing left

int days_between(Date from, Date to) {
    return std::clamp(static_cast<int>((to - from).count()), 0, most_days);
}

wort::HopStorage storage_of(const Lot& lot, std::vector<std::string>& assumed) {
    wort::HopStorage storage;
    if (!lot.storage) assumed.emplace_back("stored at 10 °C, give or take 8: the lot states no storage_c");
    storage.temperature = lot.storage.value_or(Celsius(assumed_storage_c));
    storage.temperature_sd = CelsiusDifference(lot.storage ? stated_storage_sd_c : assumed_storage_sd_c);
    storage.packing = wort::packing_of(lot.packaging.value_or(""));
    if (storage.packing == wort::Packing::unknown)
        assumed.emplace_back("packed neither open nor under vacuum, but between: the lot's packaging does not say");
    assumed.emplace_back(
        "loses 35 % of its alpha in six months at 20 °C unpacked, give or take 12: no certificate says");
    return storage;
}

// While it was closed, to the day it was opened; from then on as in a plain bag, whatever the packaging was.
Date age_in_the_pack(wort::HopStorage& storage, Date from, Date opened, HopAge& out) {
    out.assumed.emplace_back("aged as in a plain bag since it was opened on " + to_iso(opened) +
                             ": the air was not drawn out again");
    if (opened > from) {
        storage.days = days_between(from, opened);
        const auto then = wort::aged_alpha(storage);
        storage.alpha = then.alpha;
        storage.alpha_sd = then.sd;
        storage.hsi_then = then.hsi;
        from = opened;
    }
    storage.packing = wort::Packing::bag;
    return from;
}

// To the day of the index by the index, and from there by time.
void age(HopAge& out, const Lot& lot, Date day, const Found& alpha, const std::optional<Found>& index) {
    wort::HopStorage storage = storage_of(lot, out.assumed);
    storage.alpha = Percent(out.stated_pct.value);
    storage.alpha_sd = Percent(out.stated_pct.sd);
    storage.hsi_then = alpha.stated->hop_storage_index;
    Date from = alpha.on;
    if (index) {
        storage.hsi_now = index->stated->hop_storage_index;
        const auto then = wort::aged_alpha(storage);
        storage.alpha = then.alpha;
        storage.alpha_sd = then.sd;
        storage.hsi_then = storage.hsi_now;
        storage.hsi_now.reset();
        from = index->on;
    }
    if (lot.opened && *lot.opened < day) from = age_in_the_pack(storage, from, *lot.opened, out);
    storage.days = days_between(from, day);
    const auto aged = wort::aged_alpha(storage);
    out.alpha_pct.value = aged.alpha.value();
    out.alpha_pct.sd = aged.sd.value();
    if (out.stated_pct.value > 0.0) out.share_left = out.alpha_pct.value / out.stated_pct.value;
    out.hsi = aged.hsi;
    out.by_index = index.has_value();
}

} // namespace

HopAge hop_age(const Item& item, const Lot& lot, Date day) {
    HopAge out;
    out.stated_pct = alpha_pct(item, lot, day);
    out.alpha_pct = out.stated_pct;
    const auto retests = retests_until(lot, day);
    const auto alpha = alpha_found(retests, lot);
    if (!alpha) {
        out.assumed.emplace_back("the stated alpha still holds: no day of analysis is stated");
        return out;
    }
    out.analysed = alpha->on;
    out.days = days_between(alpha->on, day);
    age(out, lot, day, *alpha, index_found_since(retests, alpha->on));
    return out;
}

HopAge hop_age(const Item& item) {
    HopAge out;
    out.stated_pct = alpha_pct(item);
    out.alpha_pct = out.stated_pct;
    out.assumed.emplace_back("the stated alpha still holds: no day of analysis is stated");
    return out;
}

} // namespace lotwort
