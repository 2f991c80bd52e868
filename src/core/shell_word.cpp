#include <algorithm>
#include <lotwort/core/shell_word.hpp>

namespace lotwort {

namespace {

// Letters of other alphabets are bytes from 0x80 on, and mean nothing to a shell.
bool is_plain(char c) {
    const bool is_alphanumeric = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
    return is_alphanumeric || static_cast<unsigned char>(c) >= 0x80 ||
           std::string_view("-_./:,+@%=").find(c) != std::string_view::npos;
}

} // namespace

std::string shell_word(std::string_view text) {
    if (!text.empty() && std::all_of(text.begin(), text.end(), is_plain)) return std::string(text);
    if (text.find_first_of("\"$`\\!") == std::string_view::npos) return "\"" + std::string(text) + "\"";
    std::string word = "'";
    for (const char c : text) word += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return word + "'";
}

} // namespace lotwort
