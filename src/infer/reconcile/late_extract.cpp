#include <lotwort/brew/late_extract.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/late_extract.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort {

wort::LateExtract late_extract(const ReconcileInput& input) {
    wort::LateExtract late;
    const bool alone = input.earlier_in_fermenter.empty() && input.later_in_fermenter.empty() &&
                       input.untied_before + input.untied_after == 0;
    if (!alone) return late;
    for (const Addition& addition : input.brew.additions) {
        const bool is_late = addition.stage == Stage::fermenter || addition.stage == Stage::dry;
        if (!is_late || addition.package || addition.amount.measure != Measure::mass) continue;
        const auto used = input.lots.find(addition.lot);
        if (used == input.lots.end() || !counts_late(used->second.item, &used->second.lot)) continue;
        const auto& [item, lot] = used->second;
        try {
            const auto figures = malt_figures(item, lot, addition.on.value_or(input.brew.date));
            add_late(late, item, addition.amount.kilograms().value(), figures.extract_as_is.value);
        } catch (const Error&) { // its paper makes no sense: lotwort lot says so
            continue;
        }
    }
    return late;
}

} // namespace lotwort
