// The colours of a page, by what they are for: ink on paper in daylight, the same marks at night.
//
// Text keeps a contrast of 4.5 to 1 with what it stands on and a mark one of 3 to 1 (WCAG 2.1, criteria 1.4.3 and
// 1.4.11), in both; tests/report/test_palette.cpp works it out from these values. No mark is told from another by
// colour alone: lines differ in dash, points in shape.
#pragma once

#include <span>
#include <string_view>

namespace lotwort::report {

enum class Ink {
    ground, // what is written and drawn on
    text,   // words and figures
    mark,   // lines, points and edges that carry a value
    fill,   // the inside of bands and streams; an edge in a mark's colour bounds it
    hair,   // rules of tables and grids, for the eye only
};

struct Colour {
    std::string_view name; // of the CSS property, without its dashes
    Ink ink;
    std::string_view light; // #rrggbb
    std::string_view dark;
};

[[nodiscard]] std::span<const Colour> palette();

} // namespace lotwort::report
