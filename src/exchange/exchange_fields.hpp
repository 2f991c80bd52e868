// What a record holds in a file, where that is more than its field list says: records whose fields lie flat
// in another, fields that a file may leave out, records short enough for one line.
#pragma once

#include <algorithm>
#include <array>
#include <lotwort/brew/book.hpp>
#include <lotwort/core/fields.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

namespace lotwort {

// A file's list of fields; the record's own unless said otherwise.
template <class Record>
struct ExchangeFields {};
template <class Record>
requires(sizeof(FieldsOf<Record>) > 0) struct ExchangeFields<Record> {
    static constexpr auto list = FieldsOf<Record>::list;
};

// A field of a record inside the record, written as if it were the outer one's.
template <class Record, class Inner, class Value>
struct FlatField {
    std::string_view name;
    Inner Record::*outer;
    Value Inner::*member;
    Range range;
};

template <class Record, class Value, class Given>
[[nodiscard]] auto& value_in(Given& record, const Field<Record, Value>& f) {
    return record.*f.member;
}
template <class Record, class Inner, class Value, class Given>
[[nodiscard]] auto& value_in(Given& record, const FlatField<Record, Inner, Value>& f) {
    return (record.*f.outer).*f.member;
}

template <class Inner, class Record>
[[nodiscard]] constexpr auto flat(Inner Record::*outer) {
    return ExchangeFields<Inner>::list.apply([outer](const auto&... f) {
        return Fields{FlatField<Record, Inner, std::decay_t<decltype(std::declval<Inner>().*f.member)>>{
            f.name, outer, f.member, f.range}...};
    });
}

template <>
struct ExchangeFields<Retest> {
    static constexpr auto list = joined(Fields{field("on", &Retest::on)}, flat(&Retest::found));
};

template <>
struct ExchangeFields<Book> {
    static constexpr auto list = Fields{
        field("currency", &Book::currency),
        field("items", &Book::items),
        field("instruments", &Book::instruments),
        field("brewhouses", &Book::brewhouses),
        field("lots", &Book::lots),
        field("recipes", &Book::recipes),
        field("tanks", &Book::tanks),
        field("brews", &Book::brews),
        field("packages", &Book::packages),
        field("suppliers", &Book::suppliers),
        field("offers", &Book::offers),
        field("orders", &Book::orders),
        field("plans", &Book::plans),
        field("movements", &Book::movements),
    };
};

// The whole of an exchange file.
struct ExchangeDocument {
    std::string schema;
    Book book;
};

template <>
struct ExchangeFields<ExchangeDocument> {
    static constexpr auto list =
        joined(Fields{field("schema", &ExchangeDocument::schema)}, flat(&ExchangeDocument::book));
};

template <class Record, class Visit>
constexpr void for_each_exchange_field(Visit&& visit) {
    ExchangeFields<Record>::list.apply([&](const auto&... f) { (visit(f), ...); });
}

// Kinds of value.
template <class T>
inline constexpr bool is_optional = false;
template <class T>
inline constexpr bool is_optional<std::optional<T>> = true;
template <class T>
inline constexpr bool is_list = false;
template <class T>
inline constexpr bool is_list<std::vector<T>> = true;
template <class T>
concept HasFields = requires {
    ExchangeFields<T>::list;
};

// Fields that are always written, and that a file may leave out: they have a value without it.
template <class Record>
inline constexpr std::array<std::string_view, 0> defaulted{};
template <>
inline constexpr std::array<std::string_view, 1> defaulted<ExchangeDocument>{"currency"}; // the ledger's own
template <>
inline constexpr std::array<std::string_view, 1> defaulted<Reading>{"id"}; // r1, r2, ... by place
template <>
inline constexpr std::array<std::string_view, 1> defaulted<HopLine>{"stage"}; // boil
template <>
inline constexpr std::array<std::string_view, 1> defaulted<OtherLine>{"stage"}; // kettle

template <class Record, class Value>
[[nodiscard]] constexpr bool is_required(std::string_view name) {
    return !is_optional<Value> && !is_list<Value> &&
           std::ranges::find(defaulted<Record>, name) == defaulted<Record>.end();
}

// An amount has its measure in its field's name.
inline constexpr std::array<std::string_view, 4> amount_names{"mass_kg", "mass_g", "volume_l", "count"};

// Records that read best as one line of a table.
template <class Record>
inline constexpr bool one_line = false;
template <>
inline constexpr bool one_line<StandIn> = true;
template <>
inline constexpr bool one_line<GristLine> = true;
template <>
inline constexpr bool one_line<HopLine> = true;
template <>
inline constexpr bool one_line<OtherLine> = true;
template <>
inline constexpr bool one_line<Addition> = true;
template <>
inline constexpr bool one_line<Reading> = true;
template <>
inline constexpr bool one_line<PriceStep> = true;
template <>
inline constexpr bool one_line<OrderLine> = true;
template <>
inline constexpr bool one_line<Reservation> = true;
template <>
inline constexpr bool one_line<Awaited> = true;
template <>
inline constexpr bool one_line<InstrumentCheck> = true;
template <>
inline constexpr bool one_line<Portion> = true;
template <>
inline constexpr bool one_line<Unused> = true;
template <>
inline constexpr bool one_line<Sent> = true;
template <>
inline constexpr bool one_line<Movement> = true;
template <>
inline constexpr bool one_line<Tank> = true;

// What a record goes by among its kind, and the field that holds it; records without one are told apart by
// all they hold.
template <class Record>
struct NameOf {
    static constexpr std::string_view field{};
};
#define LOTWORT_NAMED(record, member)                                                                                  \
    template <>                                                                                                        \
    struct NameOf<record> {                                                                                            \
        static constexpr std::string_view field = #member;                                                             \
        static std::string_view of(const record& r) { return view(r.member); }                                         \
        static std::string_view view(const std::string& name) { return name; }                                         \
        static std::string_view view(const std::optional<std::string>& name) {                                         \
            return name ? std::string_view(*name) : std::string_view{};                                                \
        }                                                                                                              \
    }
LOTWORT_NAMED(Item, name);
LOTWORT_NAMED(Instrument, name);
LOTWORT_NAMED(Brewhouse, name);
LOTWORT_NAMED(Lot, code);
LOTWORT_NAMED(Recipe, name);
LOTWORT_NAMED(Tank, name);
LOTWORT_NAMED(Brew, code);
LOTWORT_NAMED(Package, code);
LOTWORT_NAMED(Supplier, name);
LOTWORT_NAMED(Order, code);
LOTWORT_NAMED(Plan, code);
LOTWORT_NAMED(Movement, id);
LOTWORT_NAMED(Reading, id);
#undef LOTWORT_NAMED

template <class Record>
inline constexpr bool is_named = !NameOf<Record>::field.empty();

} // namespace lotwort
