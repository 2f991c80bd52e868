// The answer of `lotwort receive`.
#pragma once

#include <lotwort/brew/book.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/lot.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

struct Received {
    Lot lot;
    std::optional<Item> made;      // an item that did not exist before
    std::vector<std::string> near; // items there are whose names are near the new one's
    Booked booked;
    std::vector<std::string> remarks = {};
};

[[nodiscard]] std::string receive_text(const Received& received);
[[nodiscard]] std::string receive_json(const Received& received); // lotwort/receive/1

// Several lots at once: the rows of a delivery note, the packs of one lot, or what came of an order.
struct ReceivedNote {
    Book part;
    Booked booked;
    std::vector<std::string> says{};    // how it differs from the order
    std::vector<std::string> remarks{}; // names that may be another item's
};
[[nodiscard]] std::string receive_note_text(const ReceivedNote& received);
[[nodiscard]] std::string receive_note_json(const ReceivedNote& received); // lotwort/receive/1: "lots", "new_items", "differences"

} // namespace lotwort::report
