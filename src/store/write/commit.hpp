// The moment at which an entry is booked, and what can be said of it where that moment went wrong.
#pragma once

#include "file/sqlite.hpp"
#include <cstdint>

namespace lotwort::store {

// Commits what was written under the entry. Error(ledger): it is not booked, or its message names the entry that is to
// be looked for, because the disk failed so that nobody can tell. An entry is told of as booked where it can be read
// back, the folder is flushed, and the ledger's name still is that of this file.
void commit_entry(Connection& connection, Transaction& transaction, std::int64_t entry);

} // namespace lotwort::store
