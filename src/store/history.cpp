#include "columns.hpp"
#include "entries.hpp"

namespace lotwort::store {

namespace {

constexpr std::string_view entry_columns =
    "entry.entry_id, kind, on_date, booked_at, by_name, what, why, own.reverses_entry_id, answer.entry_id";
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
    entry.reverses = query.read_integer_or_null();
    entry.reversed_by = query.read_integer_or_null();
    return entry;
}

// An entry that touches the thing, or that takes such an entry back.
std::string touches(std::string_view touching) {
    return fmt::format(
        " AND EXISTS (SELECT 1 FROM ({}) AS t WHERE t.entry_id IN (entry.entry_id, own.reverses_entry_id))", touching);
}

} // namespace

std::vector<Entry> read_history(Connection& connection, const HistoryFilter& filter) {
    std::string sql = fmt::format("SELECT {} FROM {} WHERE true", entry_columns, entry_sources);
    std::vector<std::string> texts;
    const auto add = [&](const std::string& condition, const std::string& text) {
        sql += condition;
        texts.push_back(text);
    };
    if (filter.item) {
        add(touches("SELECT entry_id FROM item_touch WHERE item = ?"
                    " UNION SELECT entry_id FROM lot_touch WHERE lot IN (SELECT code FROM lot "
                    "JOIN lot_detail USING (lot_id) WHERE item = ?)"),
            *filter.item);
        texts.push_back(*filter.item);
    }
    if (filter.lot) add(touches("SELECT entry_id FROM lot_touch WHERE lot = ?"), *filter.lot);
    if (filter.brew) add(touches("SELECT entry_id FROM brew_touch WHERE brew = ?"), *filter.brew);
    if (filter.kind) add(" AND kind = ?", std::string(word(*filter.kind)));
    if (filter.from) add(" AND on_date >= ?", to_iso(*filter.from));
    if (filter.to) add(" AND on_date <= ?", to_iso(*filter.to));
    sql += " ORDER BY entry.entry_id DESC LIMIT ?";
    Query query(connection, sql);
    for (const auto& text : texts) query.text(text);
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
