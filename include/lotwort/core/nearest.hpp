// "no item `pale mlat`": a name nobody knows is most often a slip of the finger, so the names nearest to it
// are offered.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

// Letters A to Z as a to z; all else as it stands.
[[nodiscard]] std::string lowered(std::string_view text);

// How many single letters must be put in, left out, changed or swapped with their neighbour to make one of
// the other; letters A to Z count as a to z. (Optimal string alignment: no letter is moved twice.)
[[nodiscard]] std::size_t edit_distance(std::string_view a, std::string_view b);

// The names within a third of the typed length (and at least one letter) of `typed`, or that hold it or that
// it holds; nearest first, names of one distance in the order of the alphabet; at most `most`.
[[nodiscard]] std::vector<std::string> nearest(std::string_view typed, const std::vector<std::string>& names,
                                               std::size_t most = 3);

// "did you mean `a`, `b` or `c`?"; empty where nothing is near.
[[nodiscard]] std::string did_you_mean(std::string_view typed, const std::vector<std::string>& names);

} // namespace lotwort
