// A text with its line breaks and runs of blanks made one space: where a line ends is another test's affair.
#pragma once

#include <string>

namespace lotwort::test {

inline std::string flowing(const std::string& text) {
    std::string out;
    for (const char c : text)
        if (c != ' ' && c != '\n')
            out += c;
        else if (!out.ends_with(' '))
            out += ' ';
    return out;
}

inline bool holds(const std::string& text, const std::string& part) {
    return flowing(text).find(part) != std::string::npos;
}

} // namespace lotwort::test
