// The one writer of JSON: the export and every command's --json go through it, so that a figure looks the
// same wherever it is read.
//
//     JsonWriter w;
//     w.begin_object().field("schema", "lotwort/stock/1");
//     w.key("lots").begin_array();
//     w.begin_object().field("lot", "PM-01").field("on_hand_kg", Kilograms(12.5)).end_object();
//     w.end_array().end_object();
//     out << std::move(w).text();
//
// Numbers are rounded to twelve digits, which no figure of a brewery means, so that 0.1 + 0.2 is 0.3; what is kept is
// written exactly, as the shortest decimals that read back to the same double. They are written out (0.00001, not
// 1e-05) from 1e-6 up to 1e15. A number that is not finite is a bug; where nothing can be said, write null() and a reason.
// Strings are UTF-8; anything else is refused with Error(refused).
#pragma once

#include <concepts>
#include <cstdint>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/quantity.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

class JsonWriter {
public:
    // How a container is laid out: an entry a line, or all of it in one line with whatever it holds.
    enum class Layout { lines, one_line };

    enum class Digits { twelve, exact };

    // indent: spaces a level. 0 puts the whole document on one line.
    explicit JsonWriter(int indent = 1, Digits digits = Digits::twelve) : indent_(indent), digits_(digits) {}

    JsonWriter& begin_object(Layout layout = Layout::lines) { return begin('{', layout); }
    JsonWriter& end_object() { return end('{', '}'); }
    JsonWriter& begin_array(Layout layout = Layout::lines) { return begin('[', layout); }
    JsonWriter& end_array() { return end('[', ']'); }

    // The name of the next value; only in an object.
    JsonWriter& key(std::string_view name);

    JsonWriter& value(std::string_view text);
    JsonWriter& value(const char* text) { return value(std::string_view(text)); }
    JsonWriter& value(const std::string& text) { return value(std::string_view(text)); }
    JsonWriter& value(double number);
    template <std::same_as<bool> Bool> // exactly bool: a pointer must not become `true`
    JsonWriter& value(Bool truth) {
        return literal(truth ? "true" : "false");
    }
    template <std::integral Int>
    requires(!std::same_as<Int, bool> && !std::same_as<Int, char>) JsonWriter& value(Int number) {
        return integer(static_cast<std::int64_t>(number));
    }
    template <class Unit>
    JsonWriter& value(Quantity<Unit> quantity) {
        return value(quantity.value());
    }
    template <class Scale, class Difference>
    JsonWriter& value(Point<Scale, Difference> point) {
        return value(point.value());
    }
    JsonWriter& value(Date day) { return value(to_iso(day)); }
    JsonWriter& null() { return literal("null"); }

    // A decimal of our own making that is a JSON number already (an amount in integers); must not be empty.
    JsonWriter& number_text(std::string_view decimal) { return literal(decimal); }

    // One value after another in one line: [1, 2, 3].
    template <class Value>
    JsonWriter& value(const std::vector<Value>& list) {
        begin_array(Layout::one_line);
        for (const auto& entry : list) value(entry);
        return end_array();
    }

    template <class Value>
    JsonWriter& field(std::string_view name, const Value& given) {
        return key(name).value(given);
    }
    // An absent value leaves its field out.
    template <class Value>
    JsonWriter& field(std::string_view name, const std::optional<Value>& given) {
        return given ? field(name, *given) : *this;
    }

    // The document, closed by a line end. Every container must have been ended.
    [[nodiscard]] std::string text() &&;

private:
    struct Level {
        char opener;
        bool one_line;
        bool empty;
    };

    JsonWriter& begin(char opener, Layout layout);
    JsonWriter& end(char opener, char closer);
    JsonWriter& literal(std::string_view text);
    JsonWriter& integer(std::int64_t number);
    void before_value(); // comma, line and indentation, or nothing after a key
    void separate();
    void new_line(std::size_t depth);
    void quoted(std::string_view text);

    int indent_;
    Digits digits_;
    bool after_key_ = false;
    bool done_ = false;
    std::vector<Level> levels_;
    std::string out_;
};

} // namespace lotwort
