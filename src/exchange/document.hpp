// A document as it was written, before anyone asks what it means: its values in order, each with the place
// it stands at. JSON and TOML both become one of these, so that the records are read by one reader.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

struct Place {
    std::size_t line = 1;
    std::size_t column = 1; // in characters, not bytes
    friend auto operator<=>(const Place&, const Place&) = default;
};

enum class NodeKind : std::uint8_t { null, truth, integer, number, text, array, object };

// One value. The values inside an array or object follow it, up to `end`; in an object a text node (the
// name) and a value take turns.
struct Node {
    NodeKind kind = NodeKind::null;
    std::uint32_t end = 0;   // index of the first node after this one and all inside it
    std::uint32_t size = 0;  // of a text: its bytes; of an array: the values directly inside
    std::uint64_t where = 0; // JSON: the byte after its first token; TOML: line << 32 | column
    union {
        double number;
        std::int64_t integer;
        std::uint64_t text_from;
    };
    Node() : number(0.0) {}
};

class Document {
public:
    std::vector<Node> nodes; // [0] is the whole document
    std::string texts;       // all text nodes' bytes, decoded
    std::string_view source; // the file's name
    std::string_view json;   // the text that `where` counts in; empty for TOML

    [[nodiscard]] const Node& operator[](std::uint32_t i) const { return nodes[i]; }
    [[nodiscard]] std::string_view text(std::uint32_t i) const {
        return std::string_view(texts).substr(nodes[i].text_from, nodes[i].size);
    }
    // The number of an integer or number node.
    [[nodiscard]] double number(std::uint32_t i) const {
        return nodes[i].kind == NodeKind::integer ? static_cast<double>(nodes[i].integer) : nodes[i].number;
    }
    // The part of a value that a path leads to (`offers[2].price`), or as far as the path can be followed.
    [[nodiscard]] std::uint32_t find(std::uint32_t at, std::string_view path) const;
    // Where a value begins, as a number that grows through the file; place_at makes a place of it.
    [[nodiscard]] std::uint64_t start_of(std::uint32_t i) const;
    // Counts lines from the top: for the few places that are told, not for every value.
    [[nodiscard]] Place place_at(std::uint64_t start) const;
};

// The place of a byte of a text.
[[nodiscard]] Place place_in(std::string_view text, std::size_t byte);

// What every format refuses: a hostile or mistaken nesting, and a file no brewery fills.
inline constexpr std::size_t deepest_nesting = 64;
inline constexpr std::size_t most_values = 6'000'000;  // names included
inline constexpr std::size_t largest_toml = 1'000'000; // bytes

// Throws Error(refused) at the first place where the text is no JSON (or TOML).
[[nodiscard]] Document parse_json(std::string_view text, std::string_view source);
[[nodiscard]] Document parse_toml(std::string_view text, std::string_view source);

} // namespace lotwort
