#include "columns.hpp"
#include "snapshot.hpp"
#include <unordered_map>

namespace lotwort::store {

namespace {

using PlaceOf = std::unordered_map<std::int64_t, std::size_t>;

void read_additions(Query& query, const PlaceOf& place_of, std::vector<Brew>& brews) {
    while (query.next()) {
        const auto place = place_of.find(query.read_integer());
        if (place == place_of.end()) continue;
        auto& brew = brews[place->second];
        auto& addition = brew.additions.emplace_back();
        const auto on = read_date(query);
        if (on != brew.date) addition.on = on;
        addition.lot = query.read_text();
        const auto measure = read_measure(query);
        addition.amount = {measure, -query.read_integer()};
        read_value(query, addition.stage);
        read_value(query, addition.minutes);
        addition.mass_instrument = query.read_text_or_null();
        read_value(query, addition.mash);
        addition.instead_of = query.read_text_or_null();
    }
}

void read_unused(Query& query, const PlaceOf& place_of, std::vector<Brew>& brews) {
    while (query.next()) {
        const auto place = place_of.find(query.read_integer());
        if (place == place_of.end()) continue;
        auto& unused = brews[place->second].unused.emplace_back();
        unused.on = read_date(query);
        unused.lot = query.read_text();
        const auto measure = read_measure(query);
        unused.amount = {measure, query.read_integer()};
    }
}

void read_readings(Query& query, const PlaceOf& place_of, std::vector<Brew>& brews) {
    while (query.next()) {
        const auto place = place_of.find(query.read_integer());
        if (place != place_of.end()) read_columns(query, brews[place->second].readings.emplace_back());
    }
}

} // namespace

std::vector<Brew> read_brews(Connection& connection, std::optional<std::string_view> code) {
    Query heads(connection, fmt::format("SELECT brew_id, {} FROM brew_now {} ORDER BY date, brew_head_id",
                                        columns_of<Brew>(), code ? "WHERE code = ?" : ""));
    if (code) heads.text(*code);
    std::vector<Brew> brews;
    PlaceOf place_of;
    while (heads.next()) {
        place_of[heads.read_integer()] = brews.size();
        read_columns(heads, brews.emplace_back());
    }
    if (brews.empty()) return brews;

    const std::string_view of_brew = code ? "AND brew_id = ?" : "";
    Query additions(
        connection,
        fmt::format("SELECT brew_id, on_date, lot.code, measure, change, stage, minutes, mass_instrument, mash, "
                    "instead_of "
                    "FROM movement JOIN lot USING (lot_id) WHERE kind = 'brew' AND stage IS NOT NULL {} "
                    "AND NOT EXISTS (SELECT 1 FROM movement AS answer "
                    "WHERE answer.reverses_movement_id = movement.movement_id) "
                    "ORDER BY on_date, movement_id",
                    of_brew));
    Query readings(connection, fmt::format("SELECT brew_id, {} FROM reading_now WHERE true {} ORDER BY reading_id",
                                           columns_of<Reading>(), of_brew));
    Query unused(connection,
                 fmt::format("SELECT brew_id, on_date, lot.code, measure, change FROM movement JOIN lot USING (lot_id) "
                             "WHERE kind = 'unused' {} AND brew_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM movement "
                             "AS answer WHERE answer.reverses_movement_id = movement.movement_id) "
                             "ORDER BY on_date, movement_id",
                             of_brew));
    if (code) {
        const auto id = place_of.begin()->first;
        additions.integer(id);
        readings.integer(id);
        unused.integer(id);
    }
    read_additions(additions, place_of, brews);
    read_readings(readings, place_of, brews);
    read_unused(unused, place_of, brews);
    return brews;
}

std::vector<Brew> read_fermenter(Connection& connection, std::string_view code) {
    // first the brews it was run into, then all that were run into any of those
    Query tied(connection, "WITH RECURSIVE into_which (code) AS (SELECT ?1 UNION SELECT fermented_with FROM brew_now "
                           "JOIN into_which USING (code) WHERE fermented_with IS NOT NULL), "
                           "tied (code) AS (SELECT code FROM into_which UNION SELECT brew_now.code FROM brew_now "
                           "JOIN tied ON brew_now.fermented_with = tied.code) "
                           "SELECT code FROM brew_now JOIN tied USING (code) ORDER BY date, brew_head_id");
    tied.text(code);
    std::vector<Brew> brews;
    while (tied.next())
        for (auto& brew : read_brews(connection, tied.read_text())) brews.push_back(std::move(brew));
    return brews;
}

} // namespace lotwort::store
