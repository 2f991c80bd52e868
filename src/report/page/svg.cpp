#include "svg.hpp"
#include "html_text.hpp"
#include <cmath>
#include <fmt/format.h>
#include <lotwort/report/table.hpp>

namespace lotwort::report {

std::string drawn(double value) {
    const auto tenths = std::llround(10.0 * value);
    return tenths % 10 == 0
               ? fmt::format("{}", tenths / 10)
               : fmt::format("{}{}.{}", tenths < 0 ? "-" : "", std::abs(tenths) / 10, std::abs(tenths) % 10);
}

std::string shortened(std::string_view words, std::size_t characters) {
    if (display_width(words) <= characters) return std::string(words);
    std::string out;
    std::size_t taken = 0;
    for (const char c : words) {
        const bool begins = (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
        if (begins && ++taken >= characters) break;
        out += c;
    }
    return out + "…";
}

namespace {

std::string pairs(const std::vector<Point>& points) {
    std::string text;
    for (const Point& p : points) text += fmt::format("{}{},{}", text.empty() ? "" : " ", drawn(p.x), drawn(p.y));
    return text;
}

} // namespace

void Svg::line(Point from, Point to, std::string_view style) {
    body_ += fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" class=\"{}\"/>\n", drawn(from.x), drawn(from.y),
                         drawn(to.x), drawn(to.y), style);
}

void Svg::polyline(const std::vector<Point>& points, std::string_view style) {
    body_ += fmt::format("<polyline points=\"{}\" class=\"{}\"/>\n", pairs(points), style);
}

void Svg::polygon(const std::vector<Point>& points, std::string_view style) {
    body_ += fmt::format("<polygon points=\"{}\" class=\"{}\"/>\n", pairs(points), style);
}

void Svg::circle(Point centre, double radius, std::string_view style) {
    body_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" class=\"{}\"/>\n", drawn(centre.x), drawn(centre.y),
                         drawn(radius), style);
}

void Svg::cross(Point c, double arm, std::string_view style) {
    path(fmt::format("M{} {}L{} {}M{} {}L{} {}", drawn(c.x - arm), drawn(c.y - arm), drawn(c.x + arm), drawn(c.y + arm),
                     drawn(c.x - arm), drawn(c.y + arm), drawn(c.x + arm), drawn(c.y - arm)),
         style);
}

void Svg::path(std::string_view d, std::string_view style) {
    body_ += fmt::format("<path d=\"{}\" class=\"{}\"/>\n", d, style);
}

void Svg::rect(Point corner, double width, double height, std::string_view style) {
    body_ += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" class=\"{}\"/>\n", drawn(corner.x),
                         drawn(corner.y), drawn(width), drawn(height), style);
}

void Svg::open(std::string_view words) {
    body_ += "<g>" + html::of_text("title", words);
}

void Svg::close() {
    body_ += "</g>\n";
}

void Svg::text(Point at, std::string_view words, Anchor anchor, std::string_view style) {
    if (words.empty()) return;
    std::string attributes = fmt::format("x=\"{}\" y=\"{}\"", drawn(at.x), drawn(at.y));
    if (anchor != Anchor::start)
        attributes += fmt::format(" text-anchor=\"{}\"", anchor == Anchor::middle ? "middle" : "end");
    if (!style.empty()) attributes += fmt::format(" class=\"{}\"", style);
    body_ += html::of_text("text", words, attributes);
}

std::string Svg::finished(double height, std::string_view id, std::string_view title,
                          std::string_view description) const {
    const std::string names = html::of_text("title", title, fmt::format("id=\"{}-title\"", id)) +
                              html::of_text("desc", description, fmt::format("id=\"{}-desc\"", id));
    return html::element("svg", "\n" + names + body_,
                         fmt::format("xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" "
                                     "aria-labelledby=\"{}-title {}-desc\"",
                                     drawn(chart_width), drawn(height), id, id));
}

} // namespace lotwort::report
