#include <cstdint>
#include <cstring>
#include <lotwort/exchange/utf8.hpp>

namespace lotwort {

namespace {

unsigned byte_at(std::string_view text, std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
}

bool is_tail(unsigned byte) {
    return (byte & 0xC0U) == 0x80U;
}

// The length of the well-formed sequence that starts at i; 0 where there is none. Rows of table 3-7: only the
// second byte's bounds depend on the first.
std::size_t sequence_length(std::string_view text, std::size_t i) {
    const unsigned first = byte_at(text, i);
    const unsigned second = byte_at(text, i + 1);
    if (first < 0x80) return 1;
    if (first < 0xC2) return 0;
    if (first < 0xE0) return is_tail(second) ? 2 : 0;
    if (first < 0xF0) {
        const unsigned least = first == 0xE0 ? 0xA0 : 0x80;
        const unsigned most = first == 0xED ? 0x9F : 0xBF;
        return second >= least && second <= most && is_tail(byte_at(text, i + 2)) ? 3 : 0;
    }
    if (first < 0xF5) {
        const unsigned least = first == 0xF0 ? 0x90 : 0x80;
        const unsigned most = first == 0xF4 ? 0x8F : 0xBF;
        const bool tails = is_tail(byte_at(text, i + 2)) && is_tail(byte_at(text, i + 3));
        return second >= least && second <= most && tails ? 4 : 0;
    }
    return 0;
}

} // namespace

std::optional<std::size_t> find_invalid_utf8(std::string_view text) {
    constexpr std::uint64_t high_bits = 0x8080808080808080ULL;
    std::size_t i = 0;
    while (i < text.size()) {
        // nearly all of a document is ASCII: eight bytes at a time
        std::uint64_t eight = 0;
        while (i + sizeof eight <= text.size()) {
            std::memcpy(&eight, text.data() + i, sizeof eight);
            if ((eight & high_bits) != 0) break;
            i += sizeof eight;
        }
        if (i == text.size()) break;
        const std::size_t length = sequence_length(text, i);
        if (length == 0) return i;
        i += length;
    }
    return std::nullopt;
}

} // namespace lotwort
