#include "manual.hpp"
#include "page.hpp"
#include <fmt/format.h>

namespace lotwort::cli {

namespace {

// A dash is a hyphen to copy, a backslash itself, and a dot or quote that begins a line no request.
std::string roff(std::string_view text) {
    std::string out;
    if (text.starts_with('.') || text.starts_with('\'')) out += "\\&";
    for (const char c : text) {
        if (c == '\\')
            out += "\\e";
        else if (c == '-')
            out += "\\-";
        else if (c != '`')
            out += c;
    }
    return out;
}

std::string upper(std::string_view text) {
    std::string out(text);
    for (char& c : out)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    return out;
}

// The lines of a block that flow, as one.
std::string joined(const Block& block) {
    std::string text;
    for (std::string_view line : block.lines) {
        while (line.starts_with(' ')) line.remove_prefix(1);
        text += (text.empty() ? "" : " ") + std::string(line);
    }
    return text;
}

std::string item(std::string_view text) {
    const auto colon = text.find(": ");
    if (colon == std::string_view::npos) return fmt::format(".IP \\(bu 2\n{}\n", roff(text));
    return fmt::format(".TP\n.B {}\n{}\n", roff(text.substr(0, colon)), roff(text.substr(colon + 2)));
}

std::string code(const Block& block) {
    std::string text = ".PP\n.RS 4\n.nf\n";
    for (const auto line : block.lines) text += roff(line) + "\n";
    return text + ".fi\n.RE\n";
}

std::string written(const Block& block) {
    const std::string text = joined(block);
    switch (block.kind) {
    case Block::Kind::heading:
        return fmt::format(".SH {}\n", upper(roff(text)));
    case Block::Kind::usage:
        return fmt::format(".SH SYNOPSIS\n.B {}\n.SH DESCRIPTION\n",
                           roff(text.substr(std::string_view("Usage: ").size())));
    case Block::Kind::item:
        return item(text);
    case Block::Kind::code:
        return code(block);
    case Block::Kind::paragraph:
        return fmt::format(".PP\n{}\n", roff(text));
    }
    return {};
}

} // namespace

std::string manual_page(std::string_view name) {
    const auto blocks = blocks_of_page(name);
    if (blocks.size() < 2) return {};
    // the title's heading, and the page in one sentence
    const std::string dashed = roff(name == "lotwort" ? std::string(name) : fmt::format("lotwort-{}", name));
    std::string page =
        fmt::format(".TH {} 1 \"\" lotwort\n.SH NAME\n{} \\- {}\n", upper(dashed), dashed, roff(joined(blocks[1])));
    for (std::size_t i = 2; i < blocks.size(); ++i) page += written(blocks[i]);
    return page;
}

} // namespace lotwort::cli
