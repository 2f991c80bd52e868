// The answer of `lotwort report` where the page went to a file.
#pragma once

#include <cstdint>
#include <string>

namespace lotwort::report {

struct WrittenPage {
    std::string file;
    std::string page; // HTML
};

[[nodiscard]] std::string written_page_text(const WrittenPage& written);
[[nodiscard]] std::string
written_page_json(const WrittenPage& written); // lotwort/report/1: file, title, charts, bytes, pages

// A folder of them.
struct WrittenPages {
    std::string folder;
    std::int64_t pages = 0, charts = 0, bytes = 0;
    void add(const std::string& page);
};
[[nodiscard]] std::string written_pages_text(const WrittenPages& written);
[[nodiscard]] std::string written_pages_json(const WrittenPages& written); // lotwort/report/1: the same, of the folder

} // namespace lotwort::report
