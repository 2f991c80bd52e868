// The name of an item that is about to be made because nobody said that it is one: a slip of the finger, or another
// name of what is there, would make a second item.
#pragma once

#include "shared.hpp"
#include <lotwort/stock/typical.hpp>
#include <span>

namespace lotwort::verbs {

struct NewName {
    std::string name;        // as typed, or what was meant
    std::string near_item{}; // an item there is that may be meant, where nobody could be asked
    std::string near_kind{}; // else a kind of lotwort item kinds
};

// Nobody has an item `typed` yet; `items` are those there are. At a terminal it is asked whether the one nearest to it
// is meant, and the name is the answer's.
[[nodiscard]] NewName new_name(const Call& call, const std::string& typed, const std::vector<std::string>& items);

// What is said of a name that may be another; empty where it is near none.
[[nodiscard]] std::string near_remark(const NewName& name);

// What its name tells, or an option that only a malt has (of_malt), or who sits at the terminal: berries are no base
// malt.
[[nodiscard]] GuessedKind kind_of_name(const Call& call, const NewName& named, std::span<const char* const> of_malt);

// An item of what its name tells, where no option could tell it. Refused where the name does not.
[[nodiscard]] Item told_item(const NewName& named);

} // namespace lotwort::verbs
