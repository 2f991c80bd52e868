// Entries: listing them, and taking one back.
#pragma once

#include "file/sqlite.hpp"
#include <lotwort/store/ledger_values.hpp>
#include <optional>
#include <vector>

namespace lotwort::store {

[[nodiscard]] std::vector<Entry> read_history(Connection& connection, const HistoryFilter& filter);
[[nodiscard]] std::optional<Entry> read_entry(Connection& connection, std::int64_t number);

[[nodiscard]] std::vector<Entry> read_touching(Connection& connection, const Book& part, std::int64_t since);

// The new entry's number; see Ledger::reverse. The caller holds the transaction.
// Its opposite movements, and the lots as they are on hold or off it without the entry.
[[nodiscard]] Book read_opposite(Connection& connection, std::int64_t number);
[[nodiscard]] std::int64_t write_reversal(Connection& connection, std::int64_t number, EntryHead head);

} // namespace lotwort::store
