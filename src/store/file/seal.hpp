// The chain of seals over the entries (migrations/0001_ledger.sql): what was booked under an entry, hashed with the
// seal of the entry before. What is hashed is read back from the tables, not taken from what was to be written.
#pragma once

#include "sqlite.hpp"
#include <lotwort/store/ledger_values.hpp>
#include <optional>
#include <string_view>
#include <vector>

namespace lotwort::store {

// The newest row of each table, before an entry is written: what lies above it afterwards is the entry's.
class TableEnds {
public:
    explicit TableEnds(Connection& connection);
    // Seals the entry that was written since.
    void seal(Connection& connection, std::int64_t entry) const;

private:
    std::vector<std::int64_t> ends_;
};

[[nodiscard]] std::optional<Seal> newest_seal(Connection& connection);
[[nodiscard]] std::optional<std::int64_t> entry_sealed(Connection& connection, std::string_view digits);

// Entries whose rows are not what was sealed, and entries that were never sealed.
void check_seals(Connection& connection, std::vector<LedgerFault>& faults);

} // namespace lotwort::store
