// A drawing in SVG: marks and letters by their coordinates, with a title and a description for those who cannot see it.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lotwort::report {

inline constexpr double chart_width = 360.0; // of every chart, in its own units

struct Point {
    double x = 0.0, y = 0.0;
};

enum class Anchor { start, middle, end };

// Classes are those of the page's style sheet: line, band, axis, ...
class Svg {
public:
    void line(Point from, Point to, std::string_view style);
    void polyline(const std::vector<Point>& points, std::string_view style);
    void polygon(const std::vector<Point>& points, std::string_view style);
    void circle(Point centre, double radius, std::string_view style);
    void cross(Point centre, double arm, std::string_view style);
    void path(std::string_view d, std::string_view style); // for curves
    void rect(Point corner, double width, double height, std::string_view style);
    // What is drawn until close() says these words where a pointer rests on it.
    void open(std::string_view words);
    void close();
    void text(Point at, std::string_view words, Anchor anchor = Anchor::start, std::string_view style = {});

    // The drawing, `height` units high; `id` is unique in the page.
    [[nodiscard]] std::string finished(double height, std::string_view id, std::string_view title,
                                       std::string_view description) const;

private:
    std::string body_;
};

// A number of the drawing, to a tenth of a unit.
[[nodiscard]] std::string drawn(double value);

// At most `characters` of the words, an ellipsis in place of the rest.
[[nodiscard]] std::string shortened(std::string_view words, std::size_t characters);

} // namespace lotwort::report
