// An XML reader that knows no more than that what is opened is closed: enough to hold our pages to it.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::test {

struct Node {
    std::string name;
    std::map<std::string, std::string> attributes;
    std::vector<Node> children;
    std::string text; // its own and its spans', entities undone
    [[nodiscard]] std::vector<const Node*> all(const std::string& wanted) const; // of its descendants
};

// The document's root; a fault names the place. No DTD but the first line, no comments, the five entities.
struct Parsed {
    std::optional<Node> root;
    std::string fault;
};
[[nodiscard]] Parsed parse_markup(const std::string& text);

} // namespace lotwort::test
