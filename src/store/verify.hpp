// Proof that a ledger is sound: what SQLite can check, and what only the ledger's own rules say.
#pragma once

#include "sqlite.hpp"
#include <lotwort/core/embedded.hpp>
#include <lotwort/store/ledger.hpp>
#include <vector>

namespace lotwort::store {

// Every fault found; none where the ledger is sound. The caller holds a transaction for reading.
[[nodiscard]] std::vector<LedgerFault> find_faults(Connection& connection, const std::vector<EmbeddedText>& migrations);

} // namespace lotwort::store
