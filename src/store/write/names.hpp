// The names a book uses: each must be live in the ledger, or come with the book.
#pragma once

#include "file/sqlite.hpp"
#include <lotwort/brew/book.hpp>
#include <string>

namespace lotwort::store {

// Error(refused) where a record stands twice in the book or has no usable name. Also where one names an item,
// instrument, brewhouse, recipe, lot, plan or brew that neither the book nor the ledger holds. The nearest names are
// offered. Suppliers may be new: a delivery names them first.
void check_names(Connection& connection, const Book& part);

// "item `pale malt`", as messages call a record.
[[nodiscard]] std::string called(std::string_view what, std::string_view name);

} // namespace lotwort::store
