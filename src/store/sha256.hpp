// SHA-256 (FIPS 180-4), for the checksums of the migrations.
#pragma once

#include <string>
#include <string_view>

namespace lotwort::store {

// 64 hexadecimal digits, lower case.
[[nodiscard]] std::string sha256(std::string_view message);

} // namespace lotwort::store
