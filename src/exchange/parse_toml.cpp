#include "document.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <toml++/toml.h>

namespace lotwort {

namespace {

[[noreturn]] void refuse(std::string_view source, Place place, const std::string& what) {
    throw Error(ErrorKind::refused, fmt::format("{}:{}:{}: {}", source, place.line, place.column, what));
}

// A dotted key, a.b.c, nests a table a level; the parser's own limit counts brackets alone, and taking half a
// million tables down again would end the program. So dots are counted first, outside strings and comments.
class KeyDepth {
public:
    explicit KeyDepth(std::string_view text) : text_(text) {}

    // The first byte at which a key nests too deep; the text's size where none does.
    std::size_t too_deep() {
        std::size_t dots = 0;
        while (at_ < text_.size()) {
            const char c = text_[at_];
            if (c == '#')
                at_ = std::min(text_.find('\n', at_), text_.size());
            else if (c == '"' || c == '\'')
                skip_string(c);
            else {
                if (c == '.' && ++dots > deepest_nesting) return at_;
                if (std::string_view("=,[]{}\n").find(c) != std::string_view::npos) dots = 0;
                ++at_;
            }
        }
        return at_;
    }

private:
    std::size_t quotes(char quote) const {
        std::size_t count = 0;
        while (at_ + count < text_.size() && text_[at_ + count] == quote) ++count;
        return count;
    }
    // Past the string that begins here: one quote ends at the next, three end at three (and two more may
    // belong to the string). Only double quotes know a backslash.
    void skip_string(char quote) {
        const std::size_t opening = quotes(quote);
        const bool several_lines = opening >= 3;
        if (opening == 2 || opening >= 6) {
            at_ += opening; // empty
            return;
        }
        at_ += several_lines ? 3 : 1;
        while (at_ < text_.size()) {
            const char c = text_[at_];
            if (c == quote && (!several_lines || quotes(quote) >= 3)) {
                at_ += several_lines ? quotes(quote) : 1;
                return;
            }
            if (c == '\n' && !several_lines) return; // the parser refuses it
            at_ += c == '\\' && quote == '"' ? 2 : 1;
        }
    }

    std::string_view text_;
    std::size_t at_ = 0;
};

// What goes wrong in most files by hand, without the parser's own words for it.
std::string plainly(std::string_view said) {
    const auto says = [&](std::string_view part) { return said.find(part) != std::string_view::npos; };
    if (says("utf-8")) return "this is not UTF-8 text";
    if (says("parsing string") && (says("control characters") || says("end-of-file")))
        return "a text in quotes ends with its line";
    return std::string(said);
}

// Takes the parser's tree down as nodes.
class Flattener {
public:
    explicit Flattener(Document& document) : document_(document) {}

    void take(const toml::node& node) {
        if (depth_ == deepest_nesting)
            refuse(document_.source, {node.source().begin.line, node.source().begin.column},
                   fmt::format("nested deeper than {} levels", deepest_nesting));
        ++depth_;
        node.visit([this](const auto& value) { take_value(value); });
        --depth_;
    }

private:
    std::uint32_t add(NodeKind kind, const toml::source_region& region) {
        Node node;
        node.kind = kind;
        // what stands nowhere (the table of a dotted key) stands at the top of the file
        const std::uint64_t line = std::max<std::uint64_t>(region.begin.line, 1);
        node.where = line << 32U | std::max<std::uint64_t>(region.begin.column, 1);
        node.end = static_cast<std::uint32_t>(document_.nodes.size() + 1);
        document_.nodes.push_back(node);
        return node.end - 1;
    }
    void close(std::uint32_t at) { document_.nodes[at].end = static_cast<std::uint32_t>(document_.nodes.size()); }
    void add_text(std::string_view text, const toml::source_region& region) {
        Node& node = document_.nodes[add(NodeKind::text, region)];
        node.text_from = document_.texts.size();
        node.size = static_cast<std::uint32_t>(text.size());
        document_.texts += text;
    }

    void take_value(const toml::table& table) {
        const std::uint32_t at = add(NodeKind::object, table.source());
        for (const auto& [key, value] : table) {
            add_text(key.str(), key.source());
            take(value);
        }
        close(at);
    }
    void take_value(const toml::array& array) {
        const std::uint32_t at = add(NodeKind::array, array.source());
        for (const auto& value : array) take(value);
        document_.nodes[at].size = static_cast<std::uint32_t>(array.size());
        close(at);
    }
    void take_value(const toml::value<std::string>& text) { add_text(text.get(), text.source()); }
    void take_value(const toml::value<std::int64_t>& number) {
        document_.nodes[add(NodeKind::integer, number.source())].integer = number.get();
    }
    void take_value(const toml::value<double>& number) {
        if (!std::isfinite(number.get()))
            refuse(document_.source, {number.source().begin.line, number.source().begin.column},
                   "no finite number; leave the field out where nothing is known");
        document_.nodes[add(NodeKind::number, number.source())].number = number.get();
    }
    void take_value(const toml::value<bool>& truth) {
        document_.nodes[add(NodeKind::truth, truth.source())].integer = truth.get() ? 1 : 0;
    }
    void take_value(const toml::value<toml::date>& day) {
        const toml::date& d = day.get();
        add_text(fmt::format("{:04}-{:02}-{:02}", d.year, d.month, d.day), day.source());
    }
    void take_value(const toml::value<toml::time>& time) {
        add_text(fmt::format("{:02}:{:02}", time.get().hour, time.get().minute), time.source());
    }
    void take_value(const toml::value<toml::date_time>& moment) {
        const toml::date& d = moment.get().date;
        const toml::time& t = moment.get().time;
        add_text(fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}", d.year, d.month, d.day, t.hour, t.minute),
                 moment.source());
    }

    Document& document_;
    std::size_t depth_ = 0;
};

} // namespace

Document parse_toml(std::string_view text, std::string_view source) {
    if (text.size() > largest_toml)
        refuse(source, {},
               fmt::format("{} bytes; a file of recipes or kit holds {} at most", text.size(), largest_toml));
    if (const std::size_t at = KeyDepth(text).too_deep(); at < text.size())
        refuse(source, place_in(text, at), fmt::format("nested deeper than {} levels", deepest_nesting));
    Document document;
    document.source = source;
    try {
        Flattener(document).take(toml::parse(text, source));
    } catch (const toml::parse_error& error) {
        const auto& begin = error.source().begin;
        refuse(source, {begin.line, begin.column}, "no TOML: " + plainly(error.description()));
    }
    return document;
}

} // namespace lotwort
