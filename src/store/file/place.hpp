// What the place of a file is: whether a ledger is there, on which disk it lies, whether two names are one file.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace lotwort::store {

// Error(ledger) where there is no ledger of that name, a folder, an empty file, one that may not be read, or the file
// that standard output goes to. `path` as it was named.
void demand_file(const std::string& path);

void remove_quietly(const std::string& path) noexcept; // the file and its journal

// Flushes the folder that the file is in: 0, or the number of the fault.
[[nodiscard]] int sync_folder_of(const std::string& path);

// Whether the file begins as a ledger does, by its first bytes alone (SQLite's file format, "application ID").
[[nodiscard]] bool is_ledger(const std::string& path);

// True where the two names are of one file.
[[nodiscard]] bool same_file(const std::string& a, const std::string& b);

// What a file system's number (statfs, f_type) is called where it is one of a network; empty for one of this machine.
[[nodiscard]] std::string_view network_name(std::uint64_t type);
// That of the folder a file lies in; empty too where nothing can be learned.
[[nodiscard]] std::string_view network_under(const std::string& path);

} // namespace lotwort::store
