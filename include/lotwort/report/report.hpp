// The answer of `lotwort report` where the page went to a file.
#pragma once

#include <string>

namespace lotwort::report {

struct WrittenPage {
    std::string file;
    std::string page; // HTML
};

[[nodiscard]] std::string written_page_text(const WrittenPage& written);
[[nodiscard]] std::string written_page_json(const WrittenPage& written); // lotwort/report/1: file, title, charts, bytes

} // namespace lotwort::report
