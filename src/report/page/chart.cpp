#include "chart.hpp"
#include "html_text.hpp"
#include <fmt/format.h>

namespace lotwort::report {

namespace {

constexpr std::size_t long_table = 8;     // rows; a longer one is folded, and opens on paper
constexpr std::size_t never_printed = 16; // more would be a page of paper for each chart

} // namespace

std::string figure_of(const ChartWords& words, const std::string& drawing) {
    std::string shown = html::of_text("figcaption", words.title) + drawing;
    if (!words.note.empty()) shown += html::of_text("p", words.note, "class=\"note\"");
    const std::size_t rows = words.figures.rows.size();
    const std::string_view folding = rows <= long_table     ? "open=\"open\""
                                     : rows > never_printed ? "class=\"screen\""
                                                            : "";
    return html::element(
        "figure",
        html::element("div", shown, "class=\"drawing\"") +
            html::element("details", html::of_text("summary", "The figures") + html::table(words.figures, words.title),
                          folding));
}

std::string charts(const std::string& figures) {
    if (figures.empty()) return "";
    const bool one = figures.find("<figure>") != figures.npos && figures.find("<figure>") == figures.rfind("<figure>");
    return html::element("div", figures, one ? "class=\"charts one\"" : "class=\"charts\"");
}

} // namespace lotwort::report
