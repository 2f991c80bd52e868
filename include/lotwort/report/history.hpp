// The answers of `lotwort history` and `lotwort reverse`.
#pragma once

#include <lotwort/report/booked.hpp>
#include <lotwort/stock/entry.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

[[nodiscard]] std::string history_text(const std::vector<Entry>& entries); // newest first
[[nodiscard]] std::string entry_text(const Entry& entry);                  // one, nothing of it cut
[[nodiscard]] std::string history_csv(const std::vector<Entry>& entries);
[[nodiscard]] std::string history_json(const std::vector<Entry>& entries); // lotwort/history/1

} // namespace lotwort::report
