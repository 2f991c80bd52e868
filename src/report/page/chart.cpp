#include "chart.hpp"
#include "html_text.hpp"
#include <fmt/format.h>

namespace lotwort::report {

namespace {

constexpr std::size_t long_table = 8; // rows; a longer one is folded

}

std::string figure_of(const ChartWords& words, const std::string& drawing) {
    std::string inner = html::of_text("figcaption", words.title) + drawing;
    if (!words.note.empty()) inner += html::of_text("p", words.note, "class=\"note\"");
    const bool folded = words.figures.rows.size() > long_table;
    inner += html::element("details", html::of_text("summary", "The figures") + html::table(words.figures, words.title),
                           folded ? "" : "open=\"open\"");
    return html::element("figure", inner);
}

std::string charts(const std::string& figures) {
    if (figures.empty()) return "";
    const bool one = figures.find("<figure>") == figures.rfind("<figure>");
    return html::element("div", figures, one ? "class=\"charts one\"" : "class=\"charts\"");
}

} // namespace lotwort::report
