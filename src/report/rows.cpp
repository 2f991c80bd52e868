#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/report/rows.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <type_traits>

namespace lotwort::report {

namespace {

using Cells = std::vector<std::string>;

template <class T>
inline constexpr bool is_list = false;
template <class T>
inline constexpr bool is_list<std::vector<T>> = true;

std::string cell(const std::string& text) {
    return text;
}
std::string cell(double number) {
    return shortest(number);
}
std::string cell(int number) {
    return std::to_string(number);
}
std::string cell(Date day) {
    return to_iso(day);
}
std::string cell(Money money) {
    return money_text(money);
}
template <class Unit>
std::string cell(Quantity<Unit> quantity) {
    return shortest(quantity.value());
}
template <class Scale, class Difference>
std::string cell(Point<Scale, Difference> point) {
    return shortest(point.value());
}
template <class Enum>
requires std::is_enum_v<Enum> std::string cell(Enum value) {
    return std::string(word(value));
}
template <class Value>
std::string cell(const std::optional<Value>& value) {
    return value ? cell(*value) : "";
}

template <class Record>
void add_headings(Cells& row) {
    for_each_field<Record>([&]<class Value>(const Field<Record, Value>& f) {
        if constexpr (std::is_same_v<Value, Amount>)
            row.insert(row.end(), {"amount", "unit"});
        else if constexpr (std::is_same_v<Value, std::optional<Certificate>>)
            add_headings<Certificate>(row);
        else if constexpr (!is_list<Value>)
            row.emplace_back(f.name);
    });
}

template <class Record>
void add_cells(Cells& row, const Record& record) {
    for_each_field<Record>([&]<class Value>(const Field<Record, Value>& f) {
        const Value& value = record.*f.member;
        if constexpr (std::is_same_v<Value, Amount>)
            row.insert(row.end(), {amount_number(value), amount_unit(value)});
        else if constexpr (std::is_same_v<Value, std::optional<Certificate>>)
            add_cells(row, value.value_or(Certificate{}));
        else if constexpr (!is_list<Value>)
            row.push_back(cell(value));
    });
}

template <class Record>
std::string table(const std::vector<Record>& records) {
    Cells headings;
    add_headings<Record>(headings);
    std::string csv = csv_row(headings);
    for (const Record& record : records) {
        Cells row;
        add_cells(row, record);
        csv += csv_row(row);
    }
    return csv;
}

// What belongs to brews, each row with the brew's code and date in front.
template <class Record>
std::string table(const std::vector<Brew>& brews, std::vector<Record> Brew::*records) {
    Cells headings{"brew", "date"};
    add_headings<Record>(headings);
    std::string csv = csv_row(headings);
    for (const Brew& brew : brews)
        for (const Record& record : brew.*records) {
            Cells row{brew.code, to_iso(brew.date)};
            add_cells(row, record);
            csv += csv_row(row);
        }
    return csv;
}

} // namespace

std::string rows_csv(const Book& book, RowKind kind) {
    switch (kind) {
    case RowKind::items:
        return table(book.items);
    case RowKind::lots:
        return table(book.lots);
    case RowKind::movements:
        return table(book.movements);
    case RowKind::additions:
        return table(book.brews, &Brew::additions);
    case RowKind::readings:
        return table(book.brews, &Brew::readings);
    }
    report_bug("rows have a kind", std::source_location::current());
}

} // namespace lotwort::report
