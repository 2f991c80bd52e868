#include "file/columns.hpp"
#include "snapshot.hpp"

namespace lotwort::store {

namespace {

// movement_id, reverses_movement_id, then the movement's own fields
constexpr std::string_view fields =
    "movement_id, reverses_movement_id, on_date, lot.code, measure, kind, change, reason, "
    // looked up for each row: joined, SQLite would first write out all brews there are
    "(SELECT code FROM brew_now WHERE brew_now.brew_id = movement.brew_id) AS brew, stage, minutes, package";
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
    movement.package = query.read_text_or_null();
    return row;
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

} // namespace lotwort::store
