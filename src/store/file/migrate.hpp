// Migrations: how an empty file becomes a ledger, and an older ledger one of this program.
#pragma once

#include "sqlite.hpp"
#include <lotwort/core/embedded.hpp>
#include <string>
#include <vector>

namespace lotwort::store {

// What the file says it is: 'LoTT' in its header.
inline constexpr std::int64_t application_id = 0x4c6f5454;

// Runs the migrations that the ledger has not seen, each in a transaction of its own that records name and
// checksum and ends with a foreign-key check. user_version counts them.
void migrate(Connection& connection, const std::vector<EmbeddedText>& migrations);

// Error(ledger) unless the file says that it is a ledger that this program knows: by its head alone, no table is looked
// at. How many migrations it has seen.
[[nodiscard]] std::size_t migrations_seen(Connection& connection, const std::vector<EmbeddedText>& migrations);

// As migrations_seen; Error(ledger) too where its schema or its record of migrations is not what these make. True where
// it is an older one.
[[nodiscard]] bool is_older(Connection& connection, const std::vector<EmbeddedText>& migrations);

} // namespace lotwort::store
