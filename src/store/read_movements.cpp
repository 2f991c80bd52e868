#include "columns.hpp"
#include "snapshot.hpp"
#include <algorithm>
#include <map>
#include <tuple>
#include <unordered_map>

namespace lotwort::store {

namespace {

// movement_id, reverses_movement_id, then the movement's own fields
constexpr std::string_view fields =
    "movement_id, reverses_movement_id, on_date, lot.code, measure, kind, change, reason, "
    // looked up for each row: joined, SQLite would first write out all brews there are
    "(SELECT code FROM brew_now WHERE brew_now.brew_id = movement.brew_id) AS brew, stage, minutes";
constexpr std::string_view sources = "movement JOIN lot USING (lot_id)";

struct Row {
    std::int64_t id = 0;
    std::optional<std::int64_t> reverses;
    Movement movement;
};

Row read_row(Query& query) {
    Row row;
    row.id = query.read_integer();
    row.reverses = query.read_integer_or_null();
    auto& movement = row.movement;
    movement.on = read_date(query);
    movement.lot = query.read_text();
    const auto measure = read_measure(query);
    read_value(query, movement.kind);
    movement.change = {measure, query.read_integer()};
    movement.reason = query.read_text_or_null();
    movement.brew = query.read_text_or_null();
    read_value(query, movement.stage);
    read_value(query, movement.minutes);
    return row;
}

using Content = std::tuple<Date, std::string, MovementKind, std::int64_t, std::optional<std::string>,
                           std::optional<std::string>, std::optional<Stage>, std::optional<double>>;

Content content_of(const Movement& m) {
    const auto minutes = m.minutes ? std::optional(m.minutes->value()) : std::nullopt;
    return {m.on, m.lot, m.kind, m.change.units, m.reason, m.brew, m.stage, minutes};
}

// A movement by its content and that of its other half: the reversal, or what it takes back.
struct Keyed {
    Content own;
    Content other;
    std::size_t place;
    friend auto operator<=>(const Keyed&, const Keyed&) = default;
};

std::vector<Row> other_rows(Connection& connection) {
    Query query(connection, fmt::format("SELECT {} FROM {} WHERE (kind NOT IN ('receipt', 'brew', 'move', 'unused') OR "
                                        "EXISTS (SELECT 1 FROM movement "
                                        "AS answer WHERE answer.reverses_movement_id = movement.movement_id)) "
                                        "AND EXISTS (SELECT 1 FROM lot_now WHERE lot_now.lot_id = movement.lot_id) "
                                        "ORDER BY movement_id",
                                        fields, sources));
    std::vector<Row> rows;
    while (query.next()) rows.push_back(read_row(query));
    return rows;
}

std::vector<Keyed> keys_of(const std::vector<Row>& rows) {
    std::unordered_map<std::int64_t, std::size_t> place_of;
    std::vector<Keyed> keys;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        place_of[rows[i].id] = i;
        keys.push_back({content_of(rows[i].movement), {}, i});
    }
    for (std::size_t i = 0; i < rows.size(); ++i)
        if (rows[i].reverses) {
            auto& original = keys[place_of.at(*rows[i].reverses)];
            keys[i].other = original.own;
            original.other = keys[i].own;
        }
    std::sort(keys.begin(), keys.end());
    return keys;
}

} // namespace

std::vector<Movement> read_movements(Connection& connection, std::string_view lot) {
    Query query(connection,
                fmt::format("SELECT {} FROM {} WHERE lot.code = ? ORDER BY on_date, movement_id", fields, sources));
    query.text(lot);
    std::vector<Movement> movements;
    while (query.next()) {
        auto row = read_row(query);
        row.movement.id = fmt::format("m{}", row.id);
        if (row.reverses) row.movement.reverses = fmt::format("m{}", *row.reverses);
        movements.push_back(std::move(row.movement));
    }
    return movements;
}

std::vector<Movement> read_other_movements(Connection& connection) {
    auto rows = other_rows(connection);
    const auto keys = keys_of(rows);
    std::vector<Movement> movements;
    // the originals of one content and one answer may change places: each reversal takes the next of them
    std::map<std::pair<Content, Content>, std::vector<std::string>> originals;
    for (const auto& key : keys) {
        auto& movement = movements.emplace_back(std::move(rows[key.place].movement));
        movement.id = fmt::format("m{}", movements.size());
        if (!rows[key.place].reverses) originals[{key.own, key.other}].push_back(*movement.id);
    }
    std::map<std::pair<Content, Content>, std::size_t> answered;
    for (std::size_t i = 0; i < keys.size(); ++i)
        if (rows[keys[i].place].reverses) {
            const std::pair original(keys[i].other, keys[i].own);
            movements[i].reverses = originals.at(original).at(answered[original]++);
        }
    return movements;
}

} // namespace lotwort::store
