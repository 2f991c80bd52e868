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

namespace {

std::string written_json(const std::string& file, const std::string& title, std::int64_t charts, std::int64_t bytes,
                         std::int64_t pages) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/report/1").field("file", file).field("title", title);
    w.field("charts", charts).field("bytes", bytes).field("pages", pages).end_object();
    return std::move(w).text();
}

} // namespace

std::string written_page_json(const WrittenPage& written) {
    return written_json(written.file, between(written.page, "<h1>", "</h1>"), charts_in(written.page),
                        static_cast<std::int64_t>(written.page.size()), 1);
}

void WrittenPages::add(const std::string& page) {
    ++pages;
    charts += charts_in(page);
    bytes += static_cast<std::int64_t>(page.size());
}

std::string written_pages_text(const WrittenPages& written) {
    return fmt::format("wrote {} pages with {} charts; begin with {}/index.html\n", written.pages, written.charts,
                       written.folder);
}

std::string written_pages_json(const WrittenPages& written) {
    return written_json(written.folder, "All pages", written.charts, written.bytes, written.pages);
}

} // namespace lotwort::report
