// The exchange file (docs/exchange.md): one JSON document that holds a whole ledger or a part of one.
#pragma once

#include <lotwort/brew/book.hpp>
#include <string>
#include <string_view>

namespace lotwort {

// Reads one document. Error(refused) lists every fault found, each with line, column and field; `source`
// names the file in it. Readings without an id get one (r1, r2, ... by their place in the brew).
[[nodiscard]] Book read_exchange(std::string_view text, std::string_view source);

// The canonical document: fields in the order of their field lists, records in the book's order, shortest
// decimals that read back to the same number. write_exchange(read_exchange(x)) is a fixed point.
[[nodiscard]] std::string write_exchange(const Book& book);

// What `file` holds that `ledger` does not: the part to append, so that importing a file twice changes
// nothing. Error(refused) lists every record that the ledger holds with other figures (a lot of the same
// code and another mass), and every name that neither holds.
[[nodiscard]] Book new_in(const Book& file, const Book& ledger, std::string_view source);

} // namespace lotwort
