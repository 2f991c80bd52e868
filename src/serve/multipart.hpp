// A form with files: multipart/form-data (RFC 7578).
#pragma once

#include "fields.hpp"
#include <optional>
#include <string_view>

namespace lotwort::serve {

// The fields of a body, a file's by its content; its name is told to nobody. None where the body is no such form, has
// more than 300 parts, or a part's header has more than 2,000 bytes.
[[nodiscard]] std::optional<Fields> multipart_fields(std::string_view content_type, std::string_view body);

} // namespace lotwort::serve
