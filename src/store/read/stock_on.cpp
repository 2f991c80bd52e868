// The stock as it was at the end of a day gone by, as far as the ledger can know: movements say what was there; plans,
// holds and openings count from the day of their entry.
#include "file/columns.hpp"
#include "snapshot.hpp"
#include <algorithm>
#include <unordered_map>

namespace lotwort::store {

namespace {

using Sums = std::unordered_map<std::string, std::int64_t>;

Sums sums_of(Query& query) {
    Sums sums;
    while (query.next()) {
        auto code = query.read_text();
        sums[std::move(code)] = query.read_integer();
    }
    return sums;
}

constexpr std::string_view entry_stands =
    "EXISTS (SELECT 1 FROM entry WHERE entry.entry_id = {0}.entry_id AND entry.on_date <= ?1) "
    "AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = {0}.entry_id)";

Sums on_hand_on(Connection& connection, const std::string& day) {
    Query query(connection, "SELECT code, sum(change) FROM movement JOIN lot USING (lot_id) WHERE on_date <= ?1 "
                            "GROUP BY lot_id");
    return sums_of(query.text(day));
}

// Of a plan the newest version by then counts; of plans that were called off or brewed by then, none.
Sums promised_on(Connection& connection, const std::string& day) {
    Query query(
        connection,
        fmt::format("SELECT lot, sum(coalesce(mass_mg, volume_ul, pieces)) FROM reservation WHERE plan_version_id "
                    "IN (SELECT plan_version_id FROM plan JOIN plan_version AS version ON plan_version_id = "
                    "(SELECT max(plan_version_id) FROM plan_version WHERE plan_id = plan.plan_id AND {}) "
                    "WHERE cancelled IS NULL AND NOT EXISTS (SELECT 1 FROM brew_now "
                    "WHERE brew_now.plan = plan.code AND brew_now.date <= ?1)) GROUP BY lot",
                    fmt::format(fmt::runtime(entry_stands), "plan_version")));
    return sums_of(query.text(day));
}

std::unordered_map<std::string, std::optional<std::string>> held_on(Connection& connection, const std::string& day) {
    Query query(connection, fmt::format("SELECT code, held FROM lot JOIN lot_hold ON lot_hold_id = (SELECT "
                                        "max(lot_hold_id) FROM lot_hold WHERE lot_id = lot.lot_id AND {})",
                                        fmt::format(fmt::runtime(entry_stands), "lot_hold")));
    query.text(day);
    std::unordered_map<std::string, std::optional<std::string>> held;
    while (query.next()) {
        auto code = query.read_text();
        held[std::move(code)] = query.read_text_or_null();
    }
    return held;
}

std::int64_t sum_for(const Sums& sums, const std::string& code) {
    const auto found = sums.find(code);
    return found != sums.end() ? found->second : 0;
}

} // namespace

std::vector<LotState> read_lots_on(Connection& connection, Date day) {
    const auto iso = to_iso(day);
    const auto on_hand = on_hand_on(connection, iso), promised = promised_on(connection, iso);
    const auto held = held_on(connection, iso);
    auto lots = read_lots(connection);
    std::erase_if(lots, [&](const LotState& state) { return state.lot.received > day; });
    for (LotState& state : lots) {
        state.on_hand.units = sum_for(on_hand, state.lot.code);
        state.promised.units = sum_for(promised, state.lot.code);
        const auto hold = held.find(state.lot.code);
        state.lot.held = hold != held.end() ? hold->second : std::nullopt;
        if (state.lot.opened && *state.lot.opened > day) state.lot.opened.reset();
        std::erase_if(state.lot.retests, [&](const Retest& retest) { return retest.on > day; });
    }
    return lots;
}

std::optional<Date> read_booked_after(Connection& connection, Date day) {
    const auto iso = to_iso(day);
    std::string newest;
    Query entries(connection,
                  "SELECT ifnull(max(on_date), '') FROM entry WHERE on_date > ?1 AND NOT EXISTS "
                  "(SELECT 1 FROM reversal WHERE entry.entry_id IN (reversal.entry_id, reverses_entry_id))");
    if (entries.text(iso).next()) newest = entries.read_text();
    // a movement that is dated after its entry came with a file; balances know without a look at all movements
    Query lots(connection, "SELECT 1 FROM lot_balance WHERE newest_on > ?1 LIMIT 1");
    if (lots.text(iso).next()) {
        Query movements(connection, "SELECT ifnull(max(on_date), '') FROM movement WHERE on_date > ?1 "
                                    "AND kind <> 'reversal' AND NOT EXISTS (SELECT 1 FROM movement AS answer "
                                    "WHERE answer.reverses_movement_id = movement.movement_id)");
        if (movements.text(iso).next()) newest = std::max(newest, movements.read_text());
    }
    return parse_iso_date(newest);
}

} // namespace lotwort::store
