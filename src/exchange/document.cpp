#include "document.hpp"
#include <algorithm>
#include <charconv>

namespace lotwort {

namespace {

bool in_number(char c) {
    return (c >= '0' && c <= '9') || c == '-' || c == '+' || c == '.' || c == 'e' || c == 'E';
}

// The opening quote of the string literal that ends before byte `end`. A quote inside it stands behind an odd
// number of backslashes, the opening one never does.
std::size_t opening_quote(std::string_view json, std::size_t end) {
    std::size_t at = end - 1;
    while (at > 0) {
        --at;
        if (json[at] != '"') continue;
        std::size_t slashes = 0;
        while (slashes < at && json[at - slashes - 1] == '\\') ++slashes;
        if (slashes % 2 == 0) return at;
    }
    return at;
}

} // namespace

Place place_in(std::string_view text, std::size_t byte) {
    const std::string_view before = text.substr(0, std::min(byte, text.size()));
    const auto line_end = before.rfind('\n');
    const std::string_view line = line_end == std::string_view::npos ? before : before.substr(line_end + 1);
    const auto is_start = [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; };
    return {1 + static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n')),
            1 + static_cast<std::size_t>(std::count_if(line.begin(), line.end(), is_start))};
}

std::uint32_t Document::find(std::uint32_t at, std::string_view path) const {
    while (!path.empty()) {
        const std::size_t next = std::min(path.find_first_of(".[", 1), path.size());
        std::string_view step = path.substr(0, next);
        path.remove_prefix(next);
        const bool is_index = step.front() == '[';
        if (is_index && (step.size() < 2 || step.back() != ']')) return at; // the file's own word, and no path
        if (is_index) step.remove_suffix(1);
        if (is_index || step.front() == '.') step.remove_prefix(1);
        std::size_t index = 0;
        if (is_index) std::from_chars(step.data(), step.data() + step.size(), index);
        const Node& node = nodes[at];
        if (node.kind != (is_index ? NodeKind::array : NodeKind::object)) return at;
        std::uint32_t entry = at + 1;
        const auto is_it = [&] { return is_index ? index == 0 : text(entry) == step; };
        for (; entry < node.end && !is_it(); --index) entry = nodes[is_index ? entry : entry + 1].end;
        if (entry >= node.end) return at;
        at = is_index ? entry : entry + 1;
    }
    return at;
}

std::uint64_t Document::start_of(std::uint32_t i) const {
    const Node& node = nodes[i];
    if (json.empty()) return node.where;
    std::size_t at = node.where;
    switch (node.kind) {
    case NodeKind::text:
        return opening_quote(json, at);
    case NodeKind::integer:
    case NodeKind::number:
        while (at > 0 && in_number(json[at - 1])) --at;
        return at;
    case NodeKind::null:
        return at - 4;
    case NodeKind::truth:
        return at - (node.integer != 0 ? 4 : 5);
    case NodeKind::array:
    case NodeKind::object:
        return at - 1;
    }
    return at;
}

Place Document::place_at(std::uint64_t start) const {
    if (json.empty()) return {start >> 32U, start & 0xFFFFFFFFU};
    return place_in(json, start);
}

} // namespace lotwort
