// Cards, amounts and money as the models want them.
#pragma once

#include <lotwort/plan/needs.hpp>

namespace lotwort::plan {

// None where there is no card of that name.
[[nodiscard]] const Item* item_called(const std::vector<Item>& items, const std::string& name);
const Item* item_called(const std::vector<Item>&&, const std::string&) = delete;

// What brews taught of the lot's extract, else of its item's, as a share of what is stated: 1 where they taught
// nothing.
[[nodiscard]] double learned_share(const std::optional<Learned>& learned, const std::string& lot,
                                   const std::string& item);

// In the item's own unit: kg, L or pieces.
[[nodiscard]] double in_unit(Amount amount);

[[nodiscard]] double in_units(Money money);

} // namespace lotwort::plan
