// The texts of migrations/*.sql, in the order of their names.
#pragma once

#include <lotwort/core/embedded.hpp>

namespace lotwort {

[[nodiscard]] const std::vector<EmbeddedText> &embedded_migrations();

} // namespace lotwort
