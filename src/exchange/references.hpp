// What one record says of another: every name a file uses must be known, in the file or in the ledger.
#pragma once

#include "faults.hpp"
#include <lotwort/core/date.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <optional>
#include <string_view>

namespace lotwort {

// A line for every fault of these kinds:
// - a name that neither holds, with the nearest that one of them does;
// - an amount in another measure than its lot is kept in;
// - a reversal that is not the opposite of what it names;
// - what no verb would book either: a day after `today`, names of items or lots that differ in capitals alone;
// - a certificate or a measure of another kind of item, a harvest of what is no yeast.
[[nodiscard]] FaultLines broken_references(const Book& file, const Book& ledger, std::string_view source,
                                           const Places& places, std::optional<Date> today);

} // namespace lotwort
