// Reads any record that has a field list out of a document, and tells everything that is wrong with it.
#pragma once

#include "checks.hpp"
#include "document.hpp"
#include "exchange_fields.hpp"
#include "faults.hpp"
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/date.hpp>
#include <string>
#include <unordered_map>
#include <vector>

namespace lotwort {

class RecordReader {
public:
    RecordReader(const Document& document, Faults& faults) : document_(document), faults_(faults) {}

    // Fields that the file lacks keep what `out` has.
    template <class Record>
    void read(std::uint32_t at, Record& out) {
        read(at, out, faults_.count());
    }
    // What must hold beyond single fields is looked at where there are no more faults than `faults_before`.
    template <class Record>
    void read(std::uint32_t at, Record& out, std::size_t faults_before);

    // An entry of a list of the document itself that is taken as it comes. Returns where its name begins, for
    // check_names.
    template <class Record>
    std::uint64_t read_entry(std::uint32_t at, std::string_view list, std::size_t index, Record& out);
    // A fault of each name that cannot be one, or stands twice; starts: where each entry's begins.
    template <class Record>
    void check_names(std::string_view list, const std::vector<Record>& records,
                     const std::vector<std::uint64_t>& starts);

    // The same of one entry: of a name that cannot be one, and of one that `first` bears too.
    template <class Record>
    void check_name(std::string_view list, std::size_t index, std::uint64_t start, std::string_view name);
    template <class Record>
    void double_name(std::string_view list, std::size_t index, std::uint64_t start, std::string_view name,
                     std::size_t first);

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

    std::optional<double> number(std::uint32_t at, Range range, std::string_view hint = {});
    void wrong_kind(std::uint32_t at, std::string_view wanted);
    template <class Record>
    void check_names(const std::vector<Record>& list, const std::vector<std::uint64_t>& starts);

    template <class Record>
    void name_fault(std::size_t index, std::uint64_t start, std::string_view what); // none where `what` is empty

    template <class Record>
    [[nodiscard]] std::uint64_t start_of_name(std::uint32_t at) const; // or where the entry begins

    [[nodiscard]] static std::string_view fault_of_name(std::string_view name);
    [[nodiscard]] std::string path(std::string_view part) const;

    const Document& document_;
    Faults& faults_;
    std::vector<Step> path_;
};

template <class Record>
void RecordReader::read(std::uint32_t at, Record& out, std::size_t faults_before) {
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
            if (!known && try_field(name_at, name, f, seen & bit, out)) {
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
    if (document_[at].size > 0 && document_[at].end == at + 1) return; // its entries were taken as they came
    std::vector<std::uint64_t> starts;
    std::size_t index = 0;
    for (std::uint32_t entry = at + 1; entry < document_[at].end; entry = document_[entry].end) {
        path_.push_back({{}, index++});
        value(entry, range, out.emplace_back());
        path_.pop_back();
        if (faults_.is_hopeless()) { // nobody will ask for it
            out.pop_back();
            continue;
        }
        if constexpr (HasFields<Value>) {
            if constexpr (is_named<Value>) starts.push_back(start_of_name<Value>(entry));
        }
    }
    if constexpr (HasFields<Value>) {
        if constexpr (is_named<Value>) check_names(out, starts);
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
std::uint64_t RecordReader::start_of_name(std::uint32_t at) const {
    return document_.start_of(document_.find(at, NameOf<Record>::field));
}

template <class Record>
std::uint64_t RecordReader::read_entry(std::uint32_t at, std::string_view list, std::size_t index, Record& out) {
    path_.push_back({list, 0});
    path_.push_back({{}, index});
    read(at, out);
    path_.clear();
    return start_of_name<Record>(at);
}

template <class Record>
void RecordReader::check_names(std::string_view list, const std::vector<Record>& records,
                               const std::vector<std::uint64_t>& starts) {
    path_.push_back({list, 0});
    check_names(records, starts);
    path_.clear();
}

template <class Record>
void RecordReader::check_name(std::string_view list, std::size_t index, std::uint64_t start, std::string_view name) {
    if (name.empty()) return;
    path_.push_back({list, 0});
    name_fault<Record>(index, start, fault_of_name(name));
    path_.clear();
}

template <class Record>
void RecordReader::double_name(std::string_view list, std::size_t index, std::uint64_t start, std::string_view name,
                               std::size_t first) {
    if (!fault_of_name(name).empty()) return; // told already
    path_.push_back({list, 0});
    name_fault<Record>(index, start, fmt::format("`{}` stands twice; first in [{}]", name, first));
    path_.clear();
}

template <class Record>
void RecordReader::name_fault(std::size_t index, std::uint64_t start, std::string_view what) {
    if (what.empty()) return;
    path_.push_back({{}, index});
    faults_.add_at(start, path(NameOf<Record>::field), what);
    path_.pop_back();
}

template <class Record>
void RecordReader::check_names(const std::vector<Record>& list, const std::vector<std::uint64_t>& starts) {
    std::unordered_map<std::string_view, std::size_t> first;
    first.reserve(list.size());
    for (std::size_t i = 0; i < list.size(); ++i) {
        const std::string_view name = NameOf<Record>::of(list[i]);
        if (name.empty()) continue;
        const auto known = first.emplace(name, i).first;
        const std::string_view wrong = fault_of_name(name);
        if (!wrong.empty())
            name_fault<Record>(i, starts[i], wrong);
        else if (known->second != i)
            name_fault<Record>(i, starts[i], fmt::format("`{}` stands twice; first in [{}]", name, known->second));
    }
}

} // namespace lotwort
