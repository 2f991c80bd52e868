#include "html_text.hpp"
#include "links.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/utf8.hpp>
#include <lotwort/report/units.hpp>

namespace lotwort::report::html {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// A date, or an option of a command: a line that ends at one of its hyphens spoils it.
bool has_telling_hyphens(std::string_view word) {
    if (word.starts_with("--")) return true;
    for (std::size_t i = 1; i + 1 < word.size(); ++i)
        if (word[i] == '-' && is_digit(word[i - 1]) && is_digit(word[i + 1])) return true;
    return false;
}

// A word with the signs about it: "(B1," is a bracket, a code and a comma.
std::string running_word(std::string_view word) {
    const auto begin = std::min(word.find_first_not_of("(\""), word.size());
    const auto end = word.find_last_not_of(".,:;)\"");
    if (end != std::string_view::npos && end >= begin) {
        const std::string_view code = word.substr(begin, end + 1 - begin);
        if (const auto file = page_of_word(code); !file.empty())
            return escaped_piece(word.substr(0, begin)) + link(file, code) + escaped_piece(word.substr(end + 1));
    }
    return has_telling_hyphens(word) ? "<span class=\"whole\">" + escaped_piece(word) + "</span>" : escaped_piece(word);
}

} // namespace

std::string escaped(std::string_view text) {
    return escaped_piece(as_answered(text));
}

std::string escaped_piece(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (const char c : visible_text(text)) {
        if (c == '&')
            out += "&amp;";
        else if (c == '<')
            out += "&lt;";
        else if (c == '>')
            out += "&gt;";
        else if (c == '"')
            out += "&quot;";
        else if (c != '\r') // which is a line end only with the next
            out += c;
    }
    return out;
}

std::string element(std::string_view name, std::string_view inner, std::string_view attributes) {
    return fmt::format("<{}{}{}>{}</{}>\n", name, attributes.empty() ? "" : " ", attributes, inner, name);
}

std::string running(std::string_view given) {
    const std::string answered = as_answered(given);
    std::string_view text = answered;
    std::string out;
    while (!text.empty()) {
        const auto end = std::min(text.find(' '), text.size());
        out += running_word(text.substr(0, end));
        if (end < text.size()) out += ' ';
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return out;
}

std::string preformatted(std::string_view given) {
    const std::string answered = as_answered(given);
    std::string out;
    for (std::string_view text = answered; !text.empty();) {
        const std::size_t end = std::min(text.find_first_of(" \n"), text.size());
        const std::size_t next = std::min(text.find_first_not_of(" \n", end), text.size());
        const std::string word = running_word(text.substr(0, end));
        out += word.starts_with("<span") ? escaped_piece(text.substr(0, end)) : word;
        out += text.substr(end, next - end);
        text.remove_prefix(next);
    }
    return out;
}

std::string with_minus_signs(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text.substr(i).starts_with("lotwort ")) return out + std::string(text.substr(i));
        const bool begins = i == 0 || text[i - 1] == ' ' || text[i - 1] == '(';
        if (text[i] == '-' && begins && i + 1 < text.size() && is_digit(text[i + 1]))
            out += "−";
        else
            out += text[i];
    }
    return out;
}

std::string of_text(std::string_view name, std::string_view given, std::string_view attributes) {
    constexpr std::string_view figures[] = {"p", "li", "text", "title", "desc", "figcaption", "caption"};
    const bool has_figures = std::ranges::find(figures, name) != std::end(figures);
    const std::string text = has_figures ? with_minus_signs(as_answered(given)) : std::string(given);
    const bool may_break = name == "p" || name == "li" || attributes.find("words") != attributes.npos ||
                           attributes.find("long") != attributes.npos;
    return element(name, may_break ? running(text) : escaped(text), attributes);
}

std::string paragraphs(std::string_view text) {
    std::string out, paragraph;
    const auto close = [&] {
        if (!paragraph.empty()) out += of_text("p", paragraph);
        paragraph.clear();
    };
    while (!text.empty()) {
        const auto end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        const bool goes_on = line.starts_with(' ');
        while (line.starts_with(' ')) line.remove_prefix(1);
        if (!goes_on || line.empty()) close();
        paragraph += (paragraph.empty() ? "" : " ") + std::string(line);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    close();
    return out;
}

std::string section(std::string_view heading, std::string_view inner) {
    return inner.empty() ? "" : element("section", of_text("h2", heading) + std::string(inner));
}

} // namespace lotwort::report::html
