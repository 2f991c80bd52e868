// The answers of `lotwort item`.
#pragma once

#include <lotwort/report/booked.hpp>
#include <lotwort/stock/item.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

[[nodiscard]] std::string new_item_text(const Item& item);                // "wheat malt is new: kept as wheat malt"
[[nodiscard]] std::string item_text(const Item& item);                    // one item whole
[[nodiscard]] std::string item_list_text(const std::vector<Item>& items); // a line each
[[nodiscard]] std::string item_list_csv(const std::vector<Item>& items);
[[nodiscard]] std::string item_list_json(const std::vector<Item>& items); // lotwort/item/1

// After `item add` and `item change`: the item as it now is, and what is worth a look at its name.
[[nodiscard]] std::string item_booked_text(const Item& item, const Booked& booked, const std::string& remark);
[[nodiscard]] std::string item_booked_json(const Item& item, const Booked& booked, const std::string& remark);

} // namespace lotwort::report
