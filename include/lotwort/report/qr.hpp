// A text as a QR code (ISO/IEC 18004), level M: a telephone reads it from a label or a screen, a sixth of it spoilt.
#pragma once

#include <string>
#include <string_view>

namespace lotwort::report {

// A drawing, black on white whatever the page's colours are, with the four light modules around it that readers want;
// `says` is what it tells those who cannot see it. Error(refused) of a text too long for any code: 2,331 bytes.
[[nodiscard]] std::string qr_svg(std::string_view text, std::string_view says);

// The same for a terminal of whatever colours: two rows of modules a line, in half blocks, colours set by the
// terminal's own sequences.
[[nodiscard]] std::string qr_terminal(std::string_view text);

} // namespace lotwort::report
