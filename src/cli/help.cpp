#include <lotwort/cli/command.hpp>
#include <lotwort/cli/embedded.hpp>

namespace lotwort::cli {

namespace {

// A page as a terminal shows it: heading marks and fence lines off, what stood in a fence indented.
std::string plain(std::string_view page) {
    std::string out;
    bool fenced = false;
    while (!page.empty()) {
        const auto end = page.find('\n');
        std::string_view line = page.substr(0, end);
        page.remove_prefix(end == std::string_view::npos ? page.size() : end + 1);
        if (line.starts_with("```")) {
            fenced = !fenced;
            continue;
        }
        if (!fenced && line.starts_with('#')) line.remove_prefix(line.find_first_not_of("# "));
        if (fenced && !line.empty()) out += "    ";
        out += line;
        out += '\n';
    }
    return out;
}

} // namespace

std::string help_text(std::string_view page) {
    for (const auto& embedded : embedded_pages())
        if (embedded.name == page) return plain(embedded.text);
    return {};
}

} // namespace lotwort::cli
