#include "links.hpp"
#include "html_text.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <functional>
#include <iterator>

namespace lotwort::report {

namespace {

const PageFiles*& linking() {
    thread_local const PageFiles* files = nullptr;
    return files;
}

bool is_letter_or_digit(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

} // namespace

std::string PageFiles::named(std::string_view kind, std::string_view code) {
    constexpr std::size_t longest = 60;
    std::string name = std::string(kind) + "-";
    for (const char c : code.substr(0, longest)) name += is_letter_or_digit(c) || c == '-' ? c : '_';
    for (int number = 1;; ++number) {
        const std::string file = number == 1 ? name : fmt::format("{}-{}", name, number);
        std::string small = file;
        std::ranges::transform(small, small.begin(),
                               [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
        if (taken_.insert(small).second) return file + ".html";
    }
}

Linked::Linked(const PageFiles& files) : before_(linking()) {
    linking() = &files;
}

Linked::~Linked() {
    linking() = before_;
}

namespace html {

namespace {

using Files = std::map<std::string, std::string, std::less<>>;

std::string_view file_in(const Files& files, std::string_view code) {
    const auto found = files.find(code);
    return found == files.end() ? std::string_view() : std::string_view(found->second);
}

// The one page that a code can mean; of a column of brews, that brew's.
std::string_view page_of(std::string_view code, std::string_view heading) {
    const PageFiles& files = *linking();
    if (heading == "Brew" || heading == "Used by") { // of a brew, or of one that is planned
        const auto brew = file_in(files.brews, code);
        return brew.empty() ? file_in(files.plans, code) : brew;
    }
    if (heading == "Lot") return file_in(files.lots, code);
    if (heading == "Plan") return file_in(files.plans, code);
    if (heading == "Recipe") return file_in(files.recipes, code);
    if (heading == "Item") return file_in(files.items, code);
    constexpr std::string_view any[] = {"Code", "By", "In", "Went into", "Why", ""};
    if (std::ranges::find(any, heading) == std::end(any)) return {};
    std::string_view only;
    for (const Files* kind : {&files.brews, &files.lots, &files.plans})
        if (const auto file = file_in(*kind, code); !file.empty()) {
            if (!only.empty()) return {};
            only = file;
        }
    return only;
}

} // namespace

std::string link(std::string_view file, std::string_view words) {
    constexpr std::size_t longest_whole = 20;
    return fmt::format("<a href=\"{}\"{}>{}</a>", escaped_piece(file),
                       words.size() <= longest_whole ? " class=\"whole\"" : "", escaped_piece(words));
}

std::string linked_cell(std::string_view cell, std::string_view heading) {
    if (linking() == nullptr || cell.empty()) return escaped_piece(cell);
    std::string out;
    while (true) { // "B1, B2"
        const std::size_t end = std::min(cell.find(", "), cell.size());
        const std::string_view code = cell.substr(0, end), word = code.substr(0, code.find(' '));
        // "B1 mash" of the column Why begins with a brew's code
        const std::string_view whole = page_of(code, heading), first = whole.empty() ? page_of(word, heading) : whole;
        if (!whole.empty())
            out += link(whole, code);
        else if (!first.empty())
            out += link(first, word) + escaped_piece(code.substr(word.size()));
        else
            out += escaped_piece(code);
        if (end == cell.size()) return out;
        out += ", ";
        cell.remove_prefix(end + 2);
    }
}

std::string_view page_of_word(std::string_view word) {
    if (linking() == nullptr || word.find_first_of("0123456789") == std::string_view::npos) return {};
    return page_of(word, "");
}

std::string menu() {
    if (linking() == nullptr) return "";
    std::string links;
    for (const auto& [words, file] : linking()->menu) links += link(file, words) + " ";
    return links.empty() ? "" : element("nav", links);
}

} // namespace html

} // namespace lotwort::report
