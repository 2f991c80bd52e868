// Proof that a ledger is sound: what SQLite can check, and what only the ledger's own rules say.
#pragma once

#include "sqlite.hpp"
#include <lotwort/core/embedded.hpp>
#include <lotwort/store/ledger.hpp>
#include <vector>

namespace lotwort::store {

// Every fault found; none where the ledger is sound. The caller holds a transaction for reading.
[[nodiscard]] std::vector<LedgerFault> find_faults(Connection& connection, const std::vector<EmbeddedText>& migrations);

// Where a statement of ours fails because the schema is no longer ours, the file is damaged and the program is
// not at fault: Error(ledger) in place of the Bug.
void tell_damage(Connection& connection, const std::vector<EmbeddedText>& migrations);

template <class Act>
decltype(auto) with_damage_told(Connection& connection, const std::vector<EmbeddedText>& migrations, Act&& act) {
    try {
        return act();
    } catch (const Bug&) {
        tell_damage(connection, migrations);
        throw;
    }
}

} // namespace lotwort::store
