// The answers of `lotwort item kinds`.
#pragma once

#include <lotwort/stock/kinds.hpp>
#include <span>
#include <string>

namespace lotwort::report {

[[nodiscard]] std::string kind_text(const KindOfItem& kind);             // one, with its figures and source
[[nodiscard]] std::string kinds_text(std::span<const KindOfItem> kinds); // their names, by class
[[nodiscard]] std::string kinds_csv(std::span<const KindOfItem> kinds);
[[nodiscard]] std::string kinds_json(std::span<const KindOfItem> kinds); // lotwort/kinds/1

} // namespace lotwort::report
