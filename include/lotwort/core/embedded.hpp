// A text file compiled into the program (src/embed.cmake).
#pragma once

#include <string_view>
#include <vector>

namespace lotwort {

struct EmbeddedText {
    std::string_view name; // the file's name without folder and ending
    std::string_view text;
};

} // namespace lotwort
