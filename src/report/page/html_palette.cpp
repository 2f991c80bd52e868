#include <lotwort/report/palette.hpp>

namespace lotwort::report {

namespace {

// Paper the colour of a malt sack, ink of a pencil, copper of a kettle, the green of a bine.
constexpr Colour colours[] = {
    {"paper", Ink::ground, "#fbf8f1", "#171a18"}, {"card", Ink::ground, "#ffffff", "#1f2421"},
    {"ink", Ink::text, "#22282a", "#ece8dd"},     {"faint", Ink::text, "#565c58", "#b1b6ac"},
    {"copper", Ink::text, "#8f3d17", "#eda27b"},  {"bine", Ink::mark, "#3f6b2a", "#a6cf86"},
    {"alert", Ink::mark, "#9c2f3f", "#f2949f"},   {"wash", Ink::fill, "#dfe9d4", "#33452a"},
    {"waste", Ink::fill, "#f2ddd0", "#4d3426"},   {"liquor", Ink::mark, "#1c5a86", "#93c4ec"},  {"dusk", Ink::mark, "#67408a", "#cfacea"},
    {"rule", Ink::hair, "#d9d3c4", "#3a413c"},
};

} // namespace

std::span<const Colour> palette() {
    return colours;
}

} // namespace lotwort::report
