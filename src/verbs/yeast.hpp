// The cells of a yeast as they are typed: 100billion/pack, 10billion/g, 1.2billion/mL.
#pragma once

#include "shared.hpp"
#include <lotwort/stock/item.hpp>

namespace lotwort::verbs {

struct TypedCells {
    double billion = 0.0;
    CellsPer per = CellsPer::pack;
};
[[nodiscard]] TypedCells parse_cells(const std::string& text);

// What a lot states of its cells fits how it is counted. Error(refused) where it does not.
[[nodiscard]] double cells_of_lot(const TypedCells& typed, const Lot& lot);

// Packs are what yeast is counted in: "2packs" and "2 sachets" as "2pieces"; anything else as it is.
[[nodiscard]] std::string packs_counted(const std::string& typed);

// Million cells per mL and °P: 0.75.
[[nodiscard]] double parse_pitch(const std::string& text);

} // namespace lotwort::verbs
