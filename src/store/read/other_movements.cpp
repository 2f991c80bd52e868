// The movements that an export lists by themselves, sorted by what they say.
#include "file/columns.hpp"
#include "snapshot.hpp"
#include <algorithm>
#include <map>
#include <tuple>
#include <unordered_map>

namespace lotwort::store {

namespace {

struct Row {
    std::int64_t id = 0;
    std::optional<std::int64_t> reverses;
    Movement movement;
    const Row* other = nullptr; // of a pair: its reversal, or what it takes back
};

// Live lots, or brews, by their rows' ids.
std::unordered_map<std::int64_t, std::string> codes_of(Connection& connection, std::string_view kind) {
    Query query(connection, fmt::format("SELECT {0}_id, code FROM {0}_now", kind));
    std::unordered_map<std::int64_t, std::string> codes;
    while (query.next()) {
        const auto id = query.read_integer();
        codes.emplace(id, query.read_text());
    }
    return codes;
}

std::vector<Row> read_rows(Connection& connection) {
    const auto lots = codes_of(connection, "lot"), brews = codes_of(connection, "brew");
    Query query(connection,
                "SELECT lot_id, brew_id, movement_id, reverses_movement_id, on_date, kind, measure, change, reason, "
                "stage, minutes FROM movement JOIN lot USING (lot_id) "
                "WHERE (kind <> 'receipt' AND kind <> 'brew' AND kind <> 'move' AND kind <> 'unused') OR EXISTS "
                "(SELECT 1 FROM movement AS answer WHERE answer.reverses_movement_id = movement.movement_id)");
    std::vector<Row> rows;
    while (query.next()) {
        const auto lot = lots.find(query.read_integer());
        if (lot == lots.end()) continue;
        auto& [id, reverses, movement, other] = rows.emplace_back();
        movement.lot = lot->second;
        if (const auto brew = brews.find(query.read_integer_or_null().value_or(0)); brew != brews.end())
            movement.brew = brew->second;
        id = query.read_integer();
        reverses = query.read_integer_or_null();
        movement.on = read_date(query);
        read_value(query, movement.kind);
        const auto measure = read_measure(query);
        movement.change = {measure, query.read_integer()};
        movement.reason = query.read_text_or_null();
        read_value(query, movement.stage);
        read_value(query, movement.minutes);
    }
    return rows;
}

void pair_up(std::vector<Row>& rows) {
    std::unordered_map<std::int64_t, Row*> reversal_of; // by what it takes back
    for (auto& row : rows)
        if (row.reverses) reversal_of.emplace(*row.reverses, &row);
    for (auto& row : rows)
        if (const auto reversal = reversal_of.find(row.id); reversal != reversal_of.end()) {
            row.other = reversal->second;
            reversal->second->other = &row;
        }
}

auto said_by(const Movement& m) {
    return std::tuple(m.on, std::string_view(m.lot), m.kind, m.change.units, std::optional<std::string_view>(m.reason),
                      std::optional<std::string_view>(m.brew), m.stage,
                      m.minutes ? std::optional(m.minutes->value()) : std::nullopt);
}
using Said = decltype(said_by(Movement()));

std::pair<Said, std::optional<Said>> said_by(const Row& row) {
    return {said_by(row.movement), row.other == nullptr ? std::nullopt : std::optional(said_by(row.other->movement))};
}

} // namespace

std::vector<Movement> read_other_movements(Connection& connection) {
    auto rows = read_rows(connection);
    pair_up(rows);
    std::vector<const Row*> order;
    for (const auto& row : rows) order.push_back(&row);
    // by all that they say, then by all that their other halves say, then as booked
    std::ranges::sort(order, [](const Row* a, const Row* b) {
        const auto here = said_by(a->movement), there = said_by(b->movement);
        return here != there ? here < there : std::tuple(said_by(*a), a->id) < std::tuple(said_by(*b), b->id);
    });
    // Originals of one content and one answer may change places: each reversal takes the next of them.
    std::map<std::pair<Said, std::optional<Said>>, std::vector<std::string>> originals;
    std::vector<Movement> movements;
    for (const Row* row : order) {
        auto& movement = movements.emplace_back(row->movement);
        movement.id = fmt::format("m{}", movements.size());
        if (row->other != nullptr && !row->reverses) originals[said_by(*row)].push_back(*movement.id);
    }
    std::map<std::pair<Said, std::optional<Said>>, std::size_t> answered;
    for (std::size_t i = 0; i < order.size(); ++i)
        if (order[i]->reverses) {
            LOTWORT_CHECK(order[i]->other != nullptr);
            const auto original = said_by(*order[i]->other);
            movements[i].reverses = originals.at(original).at(answered[original]++);
        }
    return movements;
}

} // namespace lotwort::store
