// Reads any record that has a field list out of a document, and tells everything that is wrong with it.
#pragma once

#include "by_hand.hpp"
#include "checks.hpp"
#include "document.hpp"
#include "exchange_fields.hpp"
#include "faults.hpp"
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>
#include <string>
#include <unordered_map>
#include <vector>

namespace lotwort {

class RecordReader {
public:
    // by_hand: a figure may stand as people write it, under its name without a unit (by_hand.hpp).
    enum class Figures { in_units, by_hand };
    RecordReader(const Document& document, Faults& faults, Figures figures = Figures::in_units)
        : document_(document), faults_(faults), figures_(figures) {}

    // Fields that the file lacks keep what `out` has.
    template <class Record>
    void read(std::uint32_t at, Record& out);

    // A fault of the value at a node, or of a part of it (`price`, `offers[2].price`).
    void fault(std::uint32_t at, std::string_view what) { faults_.add(at, path({}), what); }
    void fault(std::uint32_t at, std::string_view part, std::string_view what) {
        faults_.add(document_.find(at, part), path(part), what);
    }

private:
    struct Step {
        std::string_view name; // empty: an index
        std::size_t index;
    };

    template <class Record>
    void read_fields(std::uint32_t at, Record& out);
    template <class Record, class AnyField>
    bool try_field(std::uint32_t name_at, std::string_view name, const AnyField& f, std::uint64_t bit, Record& out);
    // Whether `name` is the name by hand of f, whose value is then read as a text.
    template <class Record, class AnyField>
    bool try_by_hand(std::uint32_t name_at, std::string_view name, const AnyField& f, std::uint64_t seen, Record& out);
    template <class Record>
    void unknown_field(std::uint32_t name_at, std::string_view name);

    // One overload a kind of value. A value that is at fault leaves `out` as it was.
    template <class Value>
    void value(std::uint32_t at, Range range, std::optional<Value>& out);
    template <class Value>
    void value(std::uint32_t at, Range range, std::vector<Value>& out);
    template <class Unit>
    void value(std::uint32_t at, Range range, Quantity<Unit>& out);
    template <class Scale, class Difference>
    void value(std::uint32_t at, Range range, Point<Scale, Difference>& out);
    template <class Enum>
    requires std::is_enum_v<Enum>
    void value(std::uint32_t at, Range range, Enum& out);
    template <HasFields Record>
    void value(std::uint32_t at, Range /*of its fields*/, Record& out) {
        read(at, out);
    }
    void value(std::uint32_t at, Range range, std::string& out);
    void value(std::uint32_t at, Range range, double& out);
    void value(std::uint32_t at, Range range, int& out);
    void value(std::uint32_t at, Range range, Date& out);
    void value(std::uint32_t at, Range range, Money& out);
    void value(std::uint32_t at, Range range, DipMark& out);
    void amount(std::uint32_t at, Range range_kg, std::string_view name, Amount& out);

    [[nodiscard]] static std::string plain(double number);           // 1000000, not 1e+06
    [[nodiscard]] static bool is_bare_number(std::string_view text); // as one in quotes by mistake
    std::optional<double> number(std::uint32_t at, Range range, std::string_view hint = {});
    template <class Value>
    std::optional<double> text_figure(std::uint32_t at, Range range);
    void wrong_kind(std::uint32_t at, std::string_view wanted);
    // A fault where the name of an entry cannot be one, or is among those before it; first: where those stand.
    using Names = std::unordered_map<std::string_view, std::size_t>;
    template <class Record>
    void check_name(std::uint32_t at, const Record& record, std::size_t index, Names& first);

    [[nodiscard]] static std::string_view fault_of_name(std::string_view name);
    [[nodiscard]] std::string path(std::string_view part) const;

    const Document& document_;
    Faults& faults_;
    Figures figures_;
    std::vector<Step> path_;
};

template <class Record>
void RecordReader::read(std::uint32_t at, Record& out) {
    const std::size_t faults_before = faults_.count();
    if (document_[at].kind != NodeKind::object) return wrong_kind(at, "a record, { ... },");
    read_fields(at, out);
    // a record that is at fault in itself would only be told off twice
    if (faults_.count() > faults_before) return;
    const TellBroken tell = [this, at](std::string_view field, std::string_view what) { fault(at, field, what); };
    if constexpr (requires { check_rules(out, tell); }) check_rules(out, tell);
}

template <class Record>
void RecordReader::read_fields(std::uint32_t at, Record& out) {
    std::uint64_t seen = 0; // a bit a field
    for (std::uint32_t name_at = at + 1; name_at < document_[at].end; name_at = document_[name_at + 1].end) {
        const std::string_view name = document_.text(name_at);
        std::uint64_t bit = 1;
        bool known = false;
        for_each_exchange_field<Record>([&](const auto& f) {
            if (!known &&
                (try_by_hand(name_at, name, f, seen & bit, out) || try_field(name_at, name, f, seen & bit, out))) {
                known = true;
                seen |= bit;
            }
            bit <<= 1U;
        });
        if (!known) unknown_field<Record>(name_at, name);
    }
    std::uint64_t bit = 1;
    for_each_exchange_field<Record>([&](const auto& f) {
        using Value = std::decay_t<decltype(value_in(out, f))>;
        if ((seen & bit) == 0 && is_required<Record, Value>(f.name)) {
            if constexpr (std::is_same_v<Value, Amount>)
                fault(at, fmt::format("needs one of {}", fmt::join(amount_names, ", ")));
            else
                fault(at, f.name, "is missing");
        }
        bit <<= 1U;
    });
}

// Whether `name` names field f; if so its value is read.
template <class Record, class AnyField>
bool RecordReader::try_field(std::uint32_t name_at, std::string_view name, const AnyField& f, std::uint64_t seen,
                             Record& out) {
    using Value = std::decay_t<decltype(value_in(out, f))>;
    constexpr bool is_amount = std::is_same_v<Value, Amount>;
    if constexpr (is_amount) {
        if (std::ranges::find(amount_names, name) == amount_names.end()) return false;
    } else {
        if (f.name != name) return false;
    }
    path_.push_back({name, 0});
    if (seen != 0)
        fault(name_at, is_amount ? "a second amount; state one" : "stated twice");
    else if constexpr (is_amount)
        amount(name_at + 1, f.range, name, value_in(out, f));
    else
        value(name_at + 1, f.range, value_in(out, f));
    path_.pop_back();
    return true;
}

template <class Value>
struct InOptional {
    using type = Value;
};
template <class Value>
struct InOptional<std::optional<Value>> {
    using type = Value;
};

// Whether a field after `field` goes by the same name by hand: mash_rest of mash_rest_c and of mash_rest_minutes.
template <class Record>
bool has_later_by_hand(std::string_view name, std::string_view field) {
    bool is_after = false, found = false;
    for_each_exchange_field<Record>([&](const auto& f) {
        using Inner = typename InOptional<std::decay_t<decltype(value_in(std::declval<Record&>(), f))>>::type;
        found = found || (is_after && name_by_hand<Inner>(f.name) == name);
        is_after = is_after || f.name == field;
    });
    return found;
}

template <class Value>
bool is_figure(std::string_view text, Range range) {
    try {
        (void)figure_by_hand(text, Value{}, range);
        return true;
    } catch (const Error&) {
        return false;
    }
}

template <class Record, class AnyField>
bool RecordReader::try_by_hand(std::uint32_t name_at, std::string_view name, const AnyField& f, std::uint64_t seen,
                               Record& out) {
    using Value = std::decay_t<decltype(value_in(out, f))>;
    using Inner = typename InOptional<Value>::type;
    if constexpr (unit_in_name<Inner>.empty()) {
        return false;
    } else {
        if (figures_ != Figures::by_hand || (name_by_hand<Inner>(f.name) != name && f.name != name)) return false;
        const bool is_text = document_[name_at + 1].kind == NodeKind::text;
        // under its whole name a figure is a number, or a text that has a unit
        if (name == f.name && (!is_text || is_bare_number(document_.text(name_at + 1)))) return false;
        if (is_text && has_later_by_hand<Record>(name, f.name) &&
            !is_figure<Inner>(document_.text(name_at + 1), f.range))
            return false;
        path_.push_back({name, 0});
        if (seen != 0)
            fault(name_at, "stated twice");
        else if (!is_text)
            fault(name_at + 1, fmt::format("has no unit; it is a text with one, or a number named {}", f.name));
        else if (const auto figure = text_figure<Inner>(name_at + 1, f.range))
            value_in(out, f) = Inner(*figure);
        path_.pop_back();
        return true;
    }
}

template <class Value>
std::optional<double> RecordReader::text_figure(std::uint32_t at, Range range) {
    try {
        const double figure = figure_by_hand(document_.text(at), Value{}, range);
        if (range.holds(figure)) return figure;
        fault(at, fmt::format("{} is outside {} to {}", document_.text(at), plain(range.least), plain(range.most)));
        return std::nullopt;
    } catch (const Error& error) {
        fault(at, error.hint().empty() ? error.what() : fmt::format("{}; {}", error.what(), error.hint()));
        return std::nullopt;
    }
}

template <class Record>
void RecordReader::unknown_field(std::uint32_t name_at, std::string_view name) {
    std::vector<std::string_view> known;
    for_each_exchange_field<Record>([&](const auto& f) {
        using Value = std::decay_t<decltype(value_in(std::declval<Record&>(), f))>;
        if constexpr (std::is_same_v<Value, Amount>)
            known.insert(known.end(), amount_names.begin(), amount_names.end());
        else
            known.push_back(f.name);
    });
    fault(name_at, name, "unknown field" + (faults_.is_hopeless() ? "" : suggestion(name, known)));
}

template <class Value>
void RecordReader::value(std::uint32_t at, Range range, std::optional<Value>& out) {
    if (document_[at].kind == NodeKind::null) return fault(at, "null; leave the field out where nothing is known");
    Value read{};
    const std::size_t faults_before = faults_.count();
    value(at, range, read);
    if (faults_.count() == faults_before) out = std::move(read);
}

template <class Value>
void RecordReader::value(std::uint32_t at, Range range, std::vector<Value>& out) {
    if (document_[at].kind != NodeKind::array) return wrong_kind(at, "a list, [ ... ],");
    Names names;
    std::size_t index = 0;
    for (std::uint32_t entry = at + 1; entry < document_[at].end; entry = document_[entry].end) {
        path_.push_back({{}, index});
        value(entry, range, out.emplace_back());
        if constexpr (is_named<Value>) check_name(entry, out.back(), index, names);
        path_.pop_back();
        if (faults_.is_hopeless()) out.pop_back(); // nobody will ask for it
        ++index;
    }
}

template <class Unit>
void RecordReader::value(std::uint32_t at, Range range, Quantity<Unit>& out) {
    if (const auto read = number(at, range)) out = Quantity<Unit>(*read);
}

template <class Scale, class Difference>
void RecordReader::value(std::uint32_t at, Range range, Point<Scale, Difference>& out) {
    constexpr bool is_gravity = std::is_same_v<Point<Scale, Difference>, SpecificGravity>;
    const std::string_view hint = is_gravity ? "a specific gravity is written 1.048" : "";
    if (const auto read = number(at, range, hint)) out = Point<Scale, Difference>(*read);
}

template <class Enum>
requires std::is_enum_v<Enum>
void RecordReader::value(std::uint32_t at, Range /*a list of words*/, Enum& out) {
    const auto& words = WordsOf<Enum>::list;
    if (document_[at].kind != NodeKind::text) return wrong_kind(at, fmt::format("one of {}", fmt::join(words, ", ")));
    if (const auto known = from_word<Enum>(document_.text(at)))
        out = *known;
    else
        fault(at, fmt::format("`{}` is none of {}", document_.text(at), fmt::join(words, ", ")));
}

template <class Record>
void RecordReader::check_name(std::uint32_t at, const Record& record, std::size_t index, Names& first) {
    constexpr std::string_view field = NameOf<Record>::field;
    if (NameOf<Record>::of(record).empty()) return;
    const std::string_view name = document_.text(document_.find(at, field));
    const auto known = first.emplace(name, index).first;
    if (const std::string_view wrong = fault_of_name(name); !wrong.empty())
        fault(at, field, wrong);
    else if (known->second != index)
        fault(at, field, fmt::format("`{}` stands twice; first in [{}]", name, known->second));
}

} // namespace lotwort
