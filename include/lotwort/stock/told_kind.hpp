// Whether a name alone says what kind of thing an item is.
#pragma once

#include <lotwort/stock/typical.hpp>
#include <optional>
#include <string_view>

namespace lotwort {

// As guess_kind, and none where no kind has that name and no word of it tells: "raspberry".
[[nodiscard]] std::optional<GuessedKind> told_kind(std::string_view name, bool has_alpha = false);

} // namespace lotwort
