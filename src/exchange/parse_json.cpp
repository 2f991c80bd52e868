#include "document.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <nlohmann/json.hpp>
#include <optional>

namespace lotwort {

namespace {

[[noreturn]] void refuse(std::string_view source, Place place, const std::string& what) {
    throw Error(ErrorKind::refused, fmt::format("{}:{}:{}: {}", source, place.line, place.column, what));
}

// Feeds the parser and tells how far it has read: its events come without places.
class Tracked {
public:
    using iterator_category = std::forward_iterator_tag;
    using value_type = char;
    using difference_type = std::ptrdiff_t;
    using pointer = const char*;
    using reference = const char&;

    Tracked() = default;
    Tracked(const char* at, const char** read) : at_(at), read_(read) {}
    reference operator*() const { return *at_; }
    Tracked& operator++() {
        *read_ = ++at_;
        return *this;
    }
    Tracked operator++(int) {
        Tracked before = *this;
        ++*this;
        return before;
    }
    friend bool operator==(const Tracked& a, const Tracked& b) { return a.at_ == b.at_; }

private:
    const char* at_ = nullptr;
    const char** read_ = nullptr;
};

// Takes the parser's events down as nodes. Names are those of the parser's interface.
class Recorder {
public:
    using number_integer_t = nlohmann::json::number_integer_t;
    using number_unsigned_t = nlohmann::json::number_unsigned_t;
    using number_float_t = nlohmann::json::number_float_t;
    using string_t = nlohmann::json::string_t;
    using binary_t = nlohmann::json::binary_t;

    Recorder(Document& document, const char** read) : document_(document), read_(read) {}

    bool null() { return leaf(NodeKind::null, 0), true; }
    bool boolean(bool truth) { return leaf(NodeKind::truth, truth ? 1 : 0), true; }
    bool number_integer(number_integer_t number) { return numeral(NodeKind::integer, number), true; }
    bool number_unsigned(number_unsigned_t number) {
        if (number <= static_cast<number_unsigned_t>(INT64_MAX))
            return number_integer(static_cast<number_integer_t>(number));
        return number_float(static_cast<double>(number), {});
    }
    bool number_float(number_float_t number, const string_t& /*written*/) {
        numeral(NodeKind::number, 0);
        document_.nodes.back().number = number;
        return true;
    }
    bool string(const string_t& text) { return add_text(text), true; }
    bool key(const string_t& text) {
        add_text(text);
        return true;
    }
    bool binary(const binary_t& /*never in text*/) { return false; }
    bool start_object(std::size_t /*unknown*/) { return open(NodeKind::object); }
    bool start_array(std::size_t /*unknown*/) { return open(NodeKind::array); }
    bool end_object() { return close(); }
    bool end_array() { return close(); }

    bool parse_error(std::size_t position, const std::string& token, const nlohmann::detail::exception& error) {
        const std::string whole = error.what();
        std::string what = whole.substr(std::min(whole.rfind(" - ") + 3, whole.size()));
        what = what.substr(0, what.find("; last read"));
        const std::string_view text = document_.json;
        if (whole.find("unexpected end of input") != std::string::npos ||
            whole.find("missing closing quote") != std::string::npos) {
            const std::size_t last = text.find_last_not_of(" \t\r\n");
            const Place end = place_in(text, last == std::string_view::npos ? 0 : last + 1);
            if (open_.empty()) refuse(document_.source, end, "the file ends before anything is said");
            refuse(document_.source, end,
                   path().empty() ? "the file ends here, while the document is still open"
                                  : fmt::format("the file ends here, while `{}` is still open", path()));
        }
        const std::size_t past = std::min(position, text.size());
        if (whole.find("number overflow") != std::string::npos)
            refuse(document_.source, place_in(text, past - std::min(past, token.size())), "no number is that large");
        if (const auto word = literal_at(past))
            refuse(document_.source, place_in(text, static_cast<std::size_t>(word->data() - text.data())),
                   fmt::format("{}{}{} is no JSON number; leave the field out instead", path(),
                               path().empty() ? "" : ": ", *word));
        refuse(document_.source, place_in(text, past - std::min(past, length_told(what, token))),
               fmt::format("no JSON: {}", what));
    }

private:
    Node& add(NodeKind kind) {
        if (document_.nodes.size() == most_values)
            refuse(document_.source, place_in(document_.json, static_cast<std::size_t>(*read_ - document_.json.data())),
                   fmt::format("more than {} values", most_values));
        Node node;
        node.kind = kind;
        node.where = static_cast<std::uint64_t>(*read_ - document_.json.data());
        node.end = static_cast<std::uint32_t>(document_.nodes.size() + 1);
        if (!open_.empty() && document_.nodes[open_.back()].kind == NodeKind::array)
            ++document_.nodes[open_.back()].size;
        document_.nodes.push_back(node);
        return document_.nodes.back();
    }
    void leaf(NodeKind kind, std::int64_t value) { add(kind).integer = value; }
    void numeral(NodeKind kind, std::int64_t value) {
        Node& node = add(kind);
        node.integer = value;
        // the parser has read one byte past a number, unless the text ended there
        const char last = *(*read_ - 1);
        if (last < '0' || last > '9') --node.where;
    }
    void add_text(const string_t& text) {
        Node& node = add(NodeKind::text);
        node.text_from = document_.texts.size();
        node.size = static_cast<std::uint32_t>(text.size());
        document_.texts += text;
    }
    bool open(NodeKind kind) {
        if (open_.size() == deepest_nesting)
            refuse(document_.source,
                   place_in(document_.json, static_cast<std::size_t>(*read_ - document_.json.data()) - 1),
                   fmt::format("nested deeper than {} levels", deepest_nesting));
        const auto at = static_cast<std::uint32_t>(document_.nodes.size());
        add(kind);
        open_.push_back(at);
        return true;
    }
    bool close() {
        document_.nodes[open_.back()].end = static_cast<std::uint32_t>(document_.nodes.size());
        open_.pop_back();
        return true;
    }

    // How far back from where the parser stands what it tells of begins. It forgets a token's text only when a
    // text or number begins; of anything else its `token` holds what came before, too.
    static std::size_t length_told(const std::string& what, const std::string& token) {
        if (what.starts_with("unexpected string") || what.starts_with("unexpected number")) return token.size();
        if (what.starts_with("unexpected false")) return 5;
        if (what.starts_with("unexpected true") || what.starts_with("unexpected null")) return 4;
        return 1; // a bracket, or the byte at which a token went wrong
    }

    // The value that is being read: lots[2].certificate
    std::string path() const {
        std::string path;
        for (std::size_t i = 0; i < open_.size(); ++i) {
            const std::uint32_t last = i + 1 < open_.size() ? open_[i + 1] : 0;
            append_step(path, open_[i], last);
        }
        return path;
    }
    // The step from a container to `child`, or to the newest entry where child is 0.
    void append_step(std::string& path, std::uint32_t container, std::uint32_t child) const {
        const auto count = static_cast<std::uint32_t>(document_.nodes.size());
        std::size_t index = 0;
        std::uint32_t at = container + 1;
        std::uint32_t before = at;
        for (; at < count && at != child; ++index) {
            before = at;
            at = document_.nodes[at].end;
        }
        if (document_.nodes[container].kind == NodeKind::array) {
            if (child != 0 || index > 0) path += fmt::format("[{}]", child != 0 ? index : index - 1);
        } else if (index > 0) {
            const bool name_last = child != 0 || index % 2 == 1;
            if (name_last) path += fmt::format("{}{}", path.empty() ? "" : ".", document_.text(before));
        }
    }
    // NaN, Infinity and -Infinity, which some programs write where they have no number.
    std::optional<std::string_view> literal_at(std::size_t past) const {
        const std::string_view text = document_.json;
        for (const std::string_view word : {"NaN", "nan", "-Infinity", "Infinity", "-inf", "inf"})
            for (std::size_t back = 0; back <= word.size() && back <= past; ++back)
                if (text.substr(past - back, word.size()) == word) return text.substr(past - back, word.size());
        return std::nullopt;
    }

    Document& document_;
    const char** read_;
    std::vector<std::uint32_t> open_;
};

} // namespace

Document parse_json(std::string_view text, std::string_view source) {
    if (text.size() > largest_exchange_file)
        refuse(source, {}, fmt::format("{} bytes; a file may hold {} at most", text.size(), largest_exchange_file));
    if (const auto nul = text.find('\0'); nul != std::string_view::npos)
        refuse(source, place_in(text, nul), "a zero byte: this is no text");
    Document document;
    document.source = source;
    document.json = text.empty() ? std::string_view("", 1).substr(0, 0) : text;
    // each value but the first stands behind one of these: room for all at once, and never for a copy beside it
    const auto leads = [](char c) { return c == ',' || c == ':' || c == '[' || c == '{'; };
    document.nodes.reserve(std::min(most_values, 1 + static_cast<std::size_t>(std::ranges::count_if(text, leads))));
    const char* read = text.data();
    Recorder recorder(document, &read);
    const char* end = text.data() + text.size();
    const bool complete = nlohmann::json::sax_parse(Tracked(text.data(), &read), Tracked(end, &read), &recorder);
    LOTWORT_CHECK(complete && !document.nodes.empty());
    return document;
}

} // namespace lotwort
