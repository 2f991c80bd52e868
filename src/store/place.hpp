// Putting a finished file in its place: whole, on the disk, and never half over another.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace lotwort::store {

// A name beside `path` that no other program uses, for a file in the making.
[[nodiscard]] std::string beside(const std::string& path);

void remove_quietly(const std::string& path) noexcept; // the file and its journal

// Flushes the file and its folder. Error(ledger) where the disk refuses.
void sync_file(const std::string& path);
void sync_folder_of(const std::string& path);

// Gives `made` the name `path`. False, and nothing done, where there is a file of that name.
[[nodiscard]] bool put_new(const std::string& made, const std::string& path);
void put_over(const std::string& made, const std::string& path);

// True where the two names are of one file.
// What a file system's number (statfs, f_type) is called where it is one of a network; empty for one of this machine.
[[nodiscard]] std::string_view network_name(std::uint64_t type);
// That of the folder a file lies in; empty too where nothing can be learned.
[[nodiscard]] std::string_view network_under(const std::string& path);

[[nodiscard]] bool same_file(const std::string& a, const std::string& b);

} // namespace lotwort::store
