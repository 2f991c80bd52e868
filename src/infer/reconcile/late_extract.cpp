#include <algorithm>
#include <lotwort/brew/late_extract.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/late_extract.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort {

namespace {

bool is_alone(const ReconcileInput& input) {
    return input.earlier_in_fermenter.empty() && input.later_in_fermenter.empty() &&
           input.untied_before + input.untied_after == 0;
}

bool counts(const ReconcileInput& input, const Addition& addition) {
    const bool is_late = addition.stage == Stage::fermenter || addition.stage == Stage::dry;
    if (!is_late || addition.package || addition.amount.measure != Measure::mass) return false;
    const auto used = input.lots.find(addition.lot);
    return used != input.lots.end() && counts_late(used->second.item, &used->second.lot);
}

// The day on which the beer's gravity was read last.
std::optional<Date> read_on(const ReconcileInput& input) {
    std::optional<Date> last;
    for (const Reading& r : input.brew.readings)
        if (r.point == ReadingPoint::final_beer && !r.set_aside && r.on && (r.gravity_sg || r.gravity_plato || r.brix))
            last = std::max(last.value_or(*r.on), *r.on);
    return last;
}

} // namespace

std::vector<const Addition*> given_late(const ReconcileInput& input) {
    std::vector<const Addition*> given;
    if (!is_alone(input)) return given;
    for (const Addition& addition : input.brew.additions)
        if (counts(input, addition)) given.push_back(&addition);
    return given;
}

std::vector<const Addition*> given_since_read(const ReconcileInput& input) {
    const auto read = read_on(input);
    std::vector<const Addition*> given = given_late(input);
    std::erase_if(given, [&](const Addition* one) { return !read || !one->on || *one->on <= *read; });
    return given;
}

wort::LateExtract late_extract(const ReconcileInput& input) {
    wort::LateExtract late;
    const auto since = given_since_read(input);
    for (const Addition* addition : given_late(input)) {
        if (std::ranges::find(since, addition) != since.end()) continue;
        const auto& [item, lot] = input.lots.at(addition->lot);
        try {
            const auto figures = malt_figures(item, lot, addition->on.value_or(input.brew.date));
            add_late(late, item, addition->amount.kilograms().value(), figures.extract_as_is.value);
        } catch (const Error&) { // its paper makes no sense: lotwort lot says so
            continue;
        }
    }
    return late;
}

} // namespace lotwort
