#include "file/columns.hpp"
#include "entries.hpp"

namespace lotwort::store {

namespace {

constexpr std::string_view entry_columns =
    "entry.entry_id, kind, on_date, booked_at, by_name, what, why, form, own.reverses_entry_id, answer.entry_id";
constexpr std::string_view entry_sources = "entry LEFT JOIN reversal AS own ON own.entry_id = entry.entry_id "
                                           "LEFT JOIN reversal AS answer ON answer.reverses_entry_id = entry.entry_id";

Entry read_row(Query& query) {
    Entry entry;
    entry.number = query.read_integer();
    read_value(query, entry.head.kind);
    entry.head.on = read_date(query);
    entry.head.booked_at = query.read_text();
    entry.head.by = query.read_text();
    entry.head.what = query.read_text();
    entry.head.why = query.read_text();
    entry.head.form = query.read_text_or_null();
    entry.reverses = query.read_integer_or_null();
    entry.reversed_by = query.read_integer_or_null();
    return entry;
}

constexpr std::string_view touching_item =
    "SELECT entry_id FROM item_touch WHERE item = ? UNION SELECT entry_id FROM lot_touch "
    "WHERE lot IN (SELECT code FROM lot JOIN lot_detail USING (lot_id) WHERE item = ?)";

// The conditions of a filter, and what they ask for in the order of their marks.
struct Conditions {
    std::string tables; // entries that touch a thing, each found once
    std::string text;
    std::vector<std::string> values_of_tables;
    std::vector<std::string> values;

    // An entry that touches the thing, or that takes such an entry back.
    void touches(std::string_view name, std::string_view entries) {
        tables += fmt::format("{} {}(entry_id) AS ({})", tables.empty() ? "WITH" : ",", name, entries);
        text += fmt::format(" AND (entry.entry_id IN {0} OR own.reverses_entry_id IN {0})", name);
    }
    void is(std::string_view condition, std::string value) {
        text += condition;
        values.push_back(std::move(value));
    }
};

Conditions conditions_of(const HistoryFilter& filter) {
    Conditions all;
    if (filter.item) {
        all.touches("of_item", touching_item);
        all.values_of_tables.insert(all.values_of_tables.end(), 2, *filter.item);
    }
    if (filter.lot) {
        all.touches("of_lot", "SELECT entry_id FROM lot_touch WHERE lot = ?");
        all.values_of_tables.push_back(*filter.lot);
    }
    if (filter.brew) {
        all.touches("of_brew", "SELECT entry_id FROM brew_touch WHERE brew = ?");
        all.values_of_tables.push_back(*filter.brew);
    }
    if (filter.kind) all.is(" AND kind = ?", std::string(word(*filter.kind)));
    if (filter.from) all.is(" AND on_date >= ?", to_iso(*filter.from));
    if (filter.to) all.is(" AND on_date <= ?", to_iso(*filter.to));
    return all;
}

} // namespace

std::vector<Entry> read_history(Connection& connection, const HistoryFilter& filter) {
    const auto all = conditions_of(filter);
    Query query(connection, fmt::format("{} SELECT {} FROM {} WHERE true{} ORDER BY entry.entry_id DESC LIMIT ?",
                                        all.tables, entry_columns, entry_sources, all.text));
    for (const auto& value : all.values_of_tables) query.text(value);
    for (const auto& value : all.values) query.text(value);
    query.integer(filter.last.value_or(-1)); // SQLite: no limit
    std::vector<Entry> entries;
    while (query.next()) entries.push_back(read_row(query));
    return entries;
}

std::optional<Entry> read_entry(Connection& connection, std::int64_t number) {
    Query query(connection, fmt::format("SELECT {} FROM {} WHERE entry.entry_id = ?", entry_columns, entry_sources));
    if (!query.integer(number).next()) return std::nullopt;
    return read_row(query);
}

} // namespace lotwort::store
