#include "manual.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/cli/embedded.hpp>

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

class Manual {
public:
    explicit Manual(std::string_view name) : name_(name) {}

    void take(std::string_view line) {
        if (line.starts_with("```")) {
            text_ += fenced_ ? ".fi\n.RE\n" : ".PP\n.RS 4\n.nf\n";
            fenced_ = !fenced_;
        } else if (fenced_) {
            text_ += roff(line) + "\n";
        } else if (line.starts_with("# ")) {
            title_ = true;
        } else if (line.starts_with("## ")) {
            text_ += ".SH " + upper(roff(line.substr(3))) + "\n";
        } else if (line.empty()) {
            if (!title_) text_ += ".PP\n";
        } else {
            words(line);
        }
    }
    [[nodiscard]] std::string text() const { return text_; }

private:
    void words(std::string_view line) {
        if (title_) { // the first sentence is the page's one line
            const std::string dashed = name_ == "lotwort" ? name_ : "lotwort-" + name_;
            text_ += fmt::format(".TH {} 1 \"\" lotwort\n.SH NAME\n{} \\- {}\n", upper(roff(dashed)), roff(dashed),
                                 roff(line));
            title_ = false;
        } else if (line.starts_with("Usage: ")) {
            text_ += fmt::format(".SH SYNOPSIS\n.B {}\n.SH DESCRIPTION\n", roff(line.substr(7)));
        } else if (line.starts_with("- ")) {
            const auto colon = std::min(line.find(": "), line.size());
            text_ += fmt::format(".TP\n.B {}\n", roff(line.substr(2, colon - 2)));
            if (colon < line.size()) text_ += roff(line.substr(colon + 2)) + "\n";
        } else {
            while (line.starts_with(' ')) line.remove_prefix(1);
            text_ += roff(line) + "\n";
        }
    }

    std::string name_, text_;
    bool title_ = false, fenced_ = false;
};

} // namespace

std::string manual_page(std::string_view name) {
    for (const auto& page : embedded_pages()) {
        if (page.name != name) continue;
        Manual manual(name);
        std::string_view rest = page.text;
        while (!rest.empty()) {
            const auto end = std::min(rest.find('\n'), rest.size());
            manual.take(rest.substr(0, end));
            rest.remove_prefix(std::min(end + 1, rest.size()));
        }
        return manual.text();
    }
    return {};
}

} // namespace lotwort::cli
