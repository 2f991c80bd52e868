#include "page.hpp"
#include <algorithm>
#include <lotwort/cli/program.hpp>
#include <lotwort/report/table.hpp>

namespace lotwort::cli {

namespace {

// Words set again to the width of a terminal; the lines behind the first begin with `hanging`.
std::string set_again(const std::vector<std::string_view>& lines, std::string_view first, std::string_view hanging) {
    std::string out, set(first);
    bool begun = false; // a word stands in the line
    for (std::string_view rest : lines)
        while (!rest.empty()) {
            const auto end = std::min(rest.find(' '), rest.size());
            const std::string_view word = rest.substr(0, end);
            rest.remove_prefix(std::min(end + 1, rest.size()));
            if (word.empty()) continue;
            if (begun && report::display_width(set) + 1 + report::display_width(word) > report::prose_width()) {
                out += set + "\n";
                set = hanging;
                begun = false;
            }
            if (begun) set += ' ';
            set += word;
            begun = true;
        }
    return out + set + "\n";
}

// What stands there as it is: indented, where all of it fits a terminal so.
std::string code_text(const std::vector<std::string_view>& lines) {
    const bool fits = std::ranges::all_of(
        lines, [](std::string_view line) { return report::display_width(line) + 4 <= report::prose_width(); });
    std::string out;
    for (const auto line : lines) out += line.empty() ? "\n" : (fits ? "    " : "") + std::string(line) + "\n";
    return out;
}

} // namespace

std::string help_text(std::string_view page) {
    std::string out;
    for (const Block& block : blocks_of_page(page)) {
        if (block.apart) out += '\n';
        const bool item = block.kind == Block::Kind::item;
        out += block.kind == Block::Kind::code ? code_text(block.lines)
                                               : set_again(block.lines, item ? "- " : "", item ? "  " : "");
    }
    return out;
}

} // namespace lotwort::cli
