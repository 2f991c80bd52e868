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
std::string heading_of(Cells row) {
    add_headings<Record>(row);
    return csv_row(row);
}

template <class Record>
std::string row_of(const Record& record, Cells row = {}) {
    add_cells(row, record);
    return csv_row(row);
}

} // namespace

void RowsWriter::begin(const Book& rest) {
    switch (kind_) {
    case RowKind::items:
        take_(heading_of<Item>({}));
        for (const Item& item : rest.items) take_(row_of(item));
        return;
    case RowKind::lots:
        take_(heading_of<Lot>({}));
        for (const Lot& lot : rest.lots) take_(row_of(lot));
        return;
    case RowKind::movements:
        return take_(heading_of<Movement>({}));
    case RowKind::additions:
        return take_(heading_of<Addition>({"brew", "date"}));
    case RowKind::readings:
        return take_(heading_of<Reading>({"brew", "date"}));
    }
    report_bug("rows have a kind", std::source_location::current());
}

// What belongs to a brew, each row with the brew's code and date in front.
void RowsWriter::brew(const Brew& brew) {
    if (kind_ == RowKind::additions)
        for (const Addition& addition : brew.additions) take_(row_of(addition, {brew.code, to_iso(brew.date)}));
    if (kind_ == RowKind::readings)
        for (const Reading& reading : brew.readings) take_(row_of(reading, {brew.code, to_iso(brew.date)}));
}

void RowsWriter::movement(const Movement& movement) {
    if (kind_ == RowKind::movements) take_(row_of(movement));
}

std::string rows_csv(const Book& book, RowKind kind) {
    std::string csv;
    RowsWriter writer(kind, [&](std::string_view row) { csv += row; });
    writer.begin(book);
    for (const Brew& brew : book.brews) writer.brew(brew);
    for (const Movement& movement : book.movements) writer.movement(movement);
    return csv;
}

} // namespace lotwort::report
