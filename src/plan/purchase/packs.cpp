#include "packs.hpp"
#include "days.hpp"

namespace lotwort::plan {

double step_price(const PurchaseOffer& offer, int packs) {
    double price = offer.steps.front().price;
    for (const PurchaseStep& step : offer.steps)
        if (packs >= step.packs) price = step.price;
    return price;
}

Mip with_packs(const PurchaseCase& wanted, const PurchaseModel& model, const PacksOf& packs_of) {
    Mip mip = model.mip;
    for (std::size_t c = 0; c < mip.columns().size(); ++c) mip.set_whole(static_cast<int>(c), false);
    std::vector<double> goods(model.groups.size(), 0.0);
    for (const PurchaseSource& source : model.sources) {
        if (source.supply) continue;
        const int packs = packs_of(source);
        const PurchaseOffer& offer = wanted.offers[source.offer];
        goods[source.group] += packs * step_price(offer, packs);
        for (std::size_t k = 0; k < source.packs.size(); ++k) {
            const bool of_step =
                packs >= offer.steps[k].packs && (k + 1 == offer.steps.size() || packs < offer.steps[k + 1].packs);
            mip.set_bounds(source.packs[k], of_step ? packs : 0.0, of_step ? packs : 0.0);
        }
    }
    for (std::size_t g = 0; g < model.groups.size(); ++g) {
        const PurchaseGroup& group = model.groups[g];
        const double open = goods[g] > 0.0 ? 1.0 : 0.0;
        if (group.open >= 0) mip.set_bounds(group.open, open, open);
        if (group.free < 0) continue;
        const double free = goods[g] >= *terms_of(wanted, group.supplier).free_from ? 1.0 : 0.0;
        mip.set_bounds(group.free, free, free);
    }
    return mip;
}

} // namespace lotwort::plan
