// Whose schema a ledger has: what the migrations make, nothing more and nothing less. Rules that the tables keep (no
// lot below nothing, no row altered) are kept only while each trigger is there; and a view in a table's place may
// answer anything, or never.
#pragma once

#include "sqlite.hpp"
#include <lotwort/core/embedded.hpp>
#include <lotwort/store/ledger_values.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::store {

// SHA-256 of all that stands in the schema as today's migrations leave it: what nearly every ledger has. A test holds
// it against them.
inline constexpr std::string_view usual_schema = "f9a580044fef56e8bfea7aa484b073c039d1ea354eceb6cdc968ae15aaefd541";
[[nodiscard]] std::string schema_digest(Connection& connection);

// Every object of the schema as its SQL text with white space and comments evened out, in order of name.
[[nodiscard]] std::vector<std::string> schema_of(Connection& connection);

// What differs from the schema that so many migrations make, object by object. Only the schema is looked at.
[[nodiscard]] std::vector<LedgerFault> schema_faults(Connection& connection,
                                                     const std::vector<EmbeddedText>& migrations, std::size_t count);

// Error(ledger) where anything differs.
void demand_schema(Connection& connection, const std::vector<EmbeddedText>& migrations, std::size_t count);

// The same of a ledger of this program, in a transaction: looks only where the schema has changed since it last did.
void demand_schema_still(Connection& connection);

} // namespace lotwort::store
