// Proof that a ledger is sound: what SQLite can check, and what only the ledger's own rules say.
#pragma once

#include "sqlite.hpp"
#include <lotwort/core/embedded.hpp>
#include <lotwort/store/ledger_values.hpp>
#include <vector>

namespace lotwort::store {

// Every fault found; none where the ledger is sound. Where the schema is not a ledger's, what differs in it, and no
// table is looked at. Error(ledger) where the disk cannot be read. The caller holds a transaction for reading.
[[nodiscard]] std::vector<LedgerFault> find_faults(Connection& connection, const std::vector<EmbeddedText>& migrations);

} // namespace lotwort::store
