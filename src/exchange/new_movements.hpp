// Movements of a file that the ledger does not hold yet.
#pragma once

#include <lotwort/core/fault_lines.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <string_view>
#include <vector>

namespace lotwort {

// What went into a brew.
struct Use {
    const Brew* brew = nullptr;
    std::size_t addition = 0; // by its place there
    bool in_both = false;     // the file has one like it
};

// Whether the movement is how it was booked.
[[nodiscard]] bool is_use(const Movement& movement, const Use& use);

struct NewMovements {
    std::vector<Movement> added;
    std::vector<Use> corrected;      // of the ledger, by `added`
    std::vector<Movement> withdrawn; // what went into brews, taken back in the ledger and not in the file
};

// Movements are told apart by what they say and by what took them back; ids only tie those of one file
// together. A movement stated twice is two movements. A reversal goes with what it takes back. That may stand in a
// brew of the ledger (a weight that was corrected since). Then the reversal goes alone and names the movement by its
// id there. It takes one that the file does not have before one that stands in both, for the file's is then a later
// one. Adds a line to `conflicts`, beginning with `source`, for each movement that the file takes back and that
// stands in the ledger.
[[nodiscard]] NewMovements new_movements(const std::vector<Movement>& file, const std::vector<Movement>& ledger,
                                         std::vector<Use> standing, const UseIds& use_ids, std::string_view source,
                                         const Places& places, FaultLines& conflicts);

} // namespace lotwort
