// One delivery as its words say: the lot, with its certificate, and the item where it is new.
#pragma once

#include "shared.hpp"

namespace lotwort::cli {

struct Delivery {
    Lot lot;
    std::optional<Item> made;      // where nobody knew the item
    std::vector<std::string> near; // names like that of the new item
};

// `taken`: codes given to other lots of the same entry. Error(refused) where a figure is of another kind of item, or no
// malt can hold it.
[[nodiscard]] Delivery parse_delivery(Call& call, const std::vector<std::string>& taken = {});

// The same of an item and an amount that the words do not say, such as an order's.
[[nodiscard]] Delivery parse_delivery_of(Call& call, const std::string& name,
                                         const std::function<Amount(const Item&)>& amount_of,
                                         const std::vector<std::string>& taken = {});

// Error(refused) for a value that no certificate of the kind states: it was read from the wrong paper.
void demand_fitting(const Item& item, const std::optional<Certificate>& found);

// --storage and --packaging: how it is kept.
void parse_keeping(const Call& call, Lot& lot);

// The item's initials and the first number that no lot has.
[[nodiscard]] std::string free_code(Call& call, const std::string& item, std::vector<std::string> taken);

// --packs: how many there are of the delivery's amount.
[[nodiscard]] std::optional<std::int64_t> parse_packs(const Call& call);

// One supplier's lot in several packs, as --packs says: each its own lot, so that each is opened, counted and held by
// itself.
[[nodiscard]] std::vector<Lot> packs_of(Call& call, const Lot& lot);

} // namespace lotwort::cli
