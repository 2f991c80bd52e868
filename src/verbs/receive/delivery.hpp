// One delivery as its words say: the lot, with its certificate, and the item where it is new.
#pragma once

#include "new_name.hpp"
#include "shelf.hpp"

namespace lotwort::verbs {

struct Delivery {
    Lot lot;
    std::optional<Item> made; // where nobody knew the item
    NewName named{};          // its name, and what else may be meant
};

// `shelf`: what the ledger has, and what came before it in the same entry; the lot's code is not given there yet.
// Error(refused) where a figure is of another kind of item, or no malt can hold it.
[[nodiscard]] Delivery parse_delivery(Call& call, Shelf& shelf);

// The same of an item and an amount that the words do not say, such as an order's.
[[nodiscard]] Delivery parse_delivery_of(Call& call, Shelf& shelf, const std::string& name,
                                         const std::function<Amount(const Item&)>& amount_of);

// Error(refused) for a value that no certificate of the kind states: it was read from the wrong paper.
void demand_fitting(const Item& item, const std::optional<Certificate>& found);

// --storage and --packaging: how it is kept.
void parse_keeping(const Call& call, Lot& lot);

// --packs: how many there are of the delivery's amount.
[[nodiscard]] std::optional<std::int64_t> parse_packs(const Call& call);

// One supplier's lot in several packs, as --packs says: each its own lot, so that each is opened, counted and held by
// itself.
[[nodiscard]] std::vector<Lot> packs_of(Call& call, Shelf& shelf, const Lot& lot);

} // namespace lotwort::verbs
