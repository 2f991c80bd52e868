#include "file/columns.hpp"
#include "snapshot.hpp"
#include <functional>
#include <unordered_map>

namespace lotwort::store {

namespace {

// The rows of one brew, or of all: their first column says whose they are.
using Whose = std::function<Brew*(std::int64_t)>;

void read_additions(Query& query, const Whose& whose) {
    while (query.next()) {
        Brew* brew = whose(query.read_integer());
        if (brew == nullptr) continue;
        auto& addition = brew->additions.emplace_back();
        const auto on = read_date(query);
        if (on != brew->date) addition.on = on;
        addition.lot = query.read_text();
        const auto measure = read_measure(query);
        addition.amount = {measure, -query.read_integer()};
        read_value(query, addition.stage);
        read_value(query, addition.minutes);
        addition.mass_instrument = query.read_text_or_null();
        read_value(query, addition.mash);
        addition.instead_of = query.read_text_or_null();
        addition.package = query.read_text_or_null();
    }
}

void read_unused(Query& query, const Whose& whose) {
    while (query.next()) {
        Brew* brew = whose(query.read_integer());
        if (brew == nullptr) continue;
        auto& unused = brew->unused.emplace_back();
        unused.on = read_date(query);
        unused.lot = query.read_text();
        const auto measure = read_measure(query);
        unused.amount = {measure, query.read_integer()};
    }
}

void read_readings(Query& query, const Whose& whose) {
    while (query.next())
        if (Brew* brew = whose(query.read_integer())) read_columns(query, brew->readings.emplace_back());
}

// What stands under brews, of all or of one.
struct BrewRows {
    BrewRows(Connection& connection, bool of_one)
        : additions(connection,
                    fmt::format("SELECT brew_id, on_date, lot.code, measure, change, stage, minutes, mass_instrument, "
                                "mash, instead_of, package FROM movement JOIN lot USING (lot_id) "
                                "WHERE kind = 'brew' AND stage IS NOT NULL {} AND NOT EXISTS (SELECT 1 FROM movement "
                                "AS answer WHERE answer.reverses_movement_id = movement.movement_id) "
                                "ORDER BY on_date, movement_id",
                                of_one ? "AND brew_id = ?" : "")),
          readings(connection, fmt::format("SELECT brew_id, {} FROM reading_now WHERE true {} ORDER BY reading_id",
                                           columns_of<Reading>(), of_one ? "AND brew_id = ?" : "")),
          unused(connection,
                 fmt::format("SELECT brew_id, on_date, lot.code, measure, change FROM movement JOIN lot USING (lot_id) "
                             "WHERE kind = 'unused' {} AND brew_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM movement "
                             "AS answer WHERE answer.reverses_movement_id = movement.movement_id) "
                             "ORDER BY on_date, movement_id",
                             of_one ? "AND brew_id = ?" : "")) {}

    void read(const Whose& whose) {
        read_additions(additions, whose);
        read_readings(readings, whose);
        read_unused(unused, whose);
    }

    Query additions, readings, unused;
};

} // namespace

std::vector<Brew> read_brews(Connection& connection, std::optional<std::string_view> code) {
    Query heads(connection, fmt::format("SELECT brew_id, {} FROM brew_now {} ORDER BY date, brew_head_id",
                                        columns_of<Brew>(), code ? "WHERE code = ?" : ""));
    if (code) heads.text(*code);
    std::vector<Brew> brews;
    std::unordered_map<std::int64_t, std::size_t> place_of;
    while (heads.next()) {
        place_of[heads.read_integer()] = brews.size();
        read_columns(heads, brews.emplace_back());
    }
    if (brews.empty()) return brews;

    BrewRows rows(connection, code.has_value());
    if (code)
        for (auto* query : {&rows.additions, &rows.readings, &rows.unused}) query->integer(place_of.begin()->first);
    rows.read([&](std::int64_t id) {
        const auto place = place_of.find(id);
        return place != place_of.end() ? &brews[place->second] : nullptr;
    });
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
