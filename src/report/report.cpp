#include <fmt/format.h>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/report.hpp>

namespace lotwort::report {

namespace {

std::string between(const std::string& text, std::string_view before, std::string_view after) {
    const auto from = text.find(before);
    const auto to = text.find(after, from);
    if (from == std::string::npos || to == std::string::npos) return "";
    return text.substr(from + before.size(), to - from - before.size());
}

std::int64_t charts_in(const std::string& page) {
    std::int64_t count = 0;
    for (auto at = page.find("<figure>"); at != std::string::npos; at = page.find("<figure>", at + 1)) ++count;
    return count;
}

} // namespace

std::string written_page_text(const WrittenPage& written) {
    const auto charts = charts_in(written.page);
    return fmt::format("wrote {}{}\n", written.file,
                       charts == 0   ? ""
                       : charts == 1 ? ", with a chart"
                                     : fmt::format(", with {} charts", charts));
}

std::string written_page_json(const WrittenPage& written) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/report/1").field("file", written.file);
    w.field("title", between(written.page, "<h1>", "</h1>")).field("charts", charts_in(written.page));
    w.field("bytes", static_cast<std::int64_t>(written.page.size()));
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
