#include <algorithm>
#include <lotwort/cli/embedded.hpp>
#include <lotwort/cli/program.hpp>
#include <lotwort/report/table.hpp>

namespace lotwort::cli {

namespace {

// Words of a paragraph or of an item of a list, set again to the width of a terminal.
class Paragraph {
public:
    explicit Paragraph(std::string& out) : out_(out) {}

    void add(std::string_view line) {
        while (!line.empty()) {
            const auto end = line.find(' ');
            const std::string_view word = line.substr(0, end);
            line.remove_prefix(end == std::string_view::npos ? line.size() : end + 1);
            if (!word.empty()) add_word(word);
        }
    }
    void begin_item() {
        finish();
        hanging_ = "  "; // what follows an item's first line stands under its text, behind the dash
    }
    void finish() {
        if (!line_.empty()) out_ += line_ + "\n";
        line_.clear();
        width_ = 0;
        hanging_.clear();
    }

private:
    void add_word(std::string_view word) {
        const std::size_t wide = report::display_width(word);
        if (width_ > 0 && width_ + 1 + wide > report::line_width) {
            out_ += line_ + "\n";
            line_ = hanging_;
            width_ = hanging_.size();
        } else if (width_ > 0) {
            line_ += ' ';
            ++width_;
        }
        line_ += word;
        width_ += wide;
    }

    std::string& out_;
    std::string line_;
    std::string hanging_;
    std::size_t width_ = 0;
};

// What stands in a fence as it is: indented, where all of it fits a terminal so.
std::string fenced_text(const std::vector<std::string_view>& lines) {
    const bool fits = std::ranges::all_of(
        lines, [](std::string_view line) { return report::display_width(line) + 4 <= report::line_width; });
    std::string out;
    for (const auto line : lines) out += line.empty() ? "\n" : (fits ? "    " : "") + std::string(line) + "\n";
    return out;
}

// A page as a terminal shows it: heading marks and fence lines off, text set to its width.
std::string plain(std::string_view page) {
    std::string out;
    Paragraph paragraph(out);
    std::optional<std::vector<std::string_view>> fence;
    while (!page.empty()) {
        const auto end = page.find('\n');
        std::string_view line = page.substr(0, end);
        page.remove_prefix(end == std::string_view::npos ? page.size() : end + 1);
        if (line.starts_with("```")) {
            paragraph.finish();
            if (fence) {
                out += fenced_text(*fence);
                fence.reset();
            } else {
                fence.emplace();
            }
        } else if (fence) {
            fence->push_back(line);
        } else if (line.empty()) {
            paragraph.finish();
            out += '\n';
        } else if (line.starts_with('#')) {
            paragraph.finish();
            paragraph.add(line.substr(line.find_first_not_of("# ")));
            paragraph.finish();
        } else {
            if (line.starts_with("- ")) paragraph.begin_item();
            paragraph.add(line);
        }
    }
    paragraph.finish();
    return out;
}

} // namespace

std::string help_text(std::string_view page) {
    for (const auto& embedded : embedded_pages())
        if (embedded.name == page) return plain(embedded.text);
    return {};
}

} // namespace lotwort::cli
