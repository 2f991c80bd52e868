#include "cards.hpp"
#include <algorithm>

namespace lotwort::plan {

double in_units(Money money) {
    return static_cast<double>(money.minor) / 100.0;
}

double in_unit(Amount amount) {
    switch (amount.measure) {
    case Measure::mass:
        return amount.kilograms().value();
    case Measure::volume:
        return amount.litres().value();
    case Measure::count:
        return static_cast<double>(amount.units);
    }
    return 0.0;
}

const Item* item_called(const std::vector<Item>& items, const std::string& name) {
    const auto found = std::ranges::find(items, name, &Item::name);
    return found == items.end() ? nullptr : &*found;
}

double learned_share(const std::optional<Learned>& learned, const std::string& lot, const std::string& item) {
    if (!learned) return 1.0;
    auto at = learned->malt(lot);
    if (!at) at = learned->malt(item);
    return at ? 1.0 + learned->mean[*at] : 1.0;
}

} // namespace lotwort::plan
