#include "shortage.hpp"
#include "file/columns.hpp"
#include "names.hpp"
#include "read/snapshot.hpp"

namespace lotwort::store {

namespace {

struct DayBalance {
    Date on;
    std::int64_t balance = 0; // at the end of the day
};

struct ShortLot {
    std::string code;
    std::string item;
    Date received;
};

ShortLot find_lot(Connection& connection, std::int64_t lot_id) {
    Query query(connection, "SELECT code, item, received FROM lot_now WHERE lot_id = ?");
    LOTWORT_CHECK(query.integer(lot_id).next());
    ShortLot lot;
    lot.code = query.read_text();
    lot.item = query.read_text();
    lot.received = read_date(query);
    return lot;
}

std::vector<DayBalance> day_balances(Connection& connection, std::int64_t lot_id) {
    Query query(connection, "SELECT on_date, sum(sum(change)) OVER (ORDER BY on_date) FROM movement WHERE lot_id = ? "
                            "GROUP BY on_date ORDER BY on_date");
    query.integer(lot_id);
    std::vector<DayBalance> days;
    while (query.next()) {
        days.emplace_back().on = read_date(query);
        days.back().balance = query.read_integer();
    }
    return days;
}

// What the entry has already taken of the lot before it came to this.
std::string taken_besides(Connection& connection, const Asked& asked) {
    Query query(connection, "SELECT -sum(change) FROM movement WHERE entry_id = ? AND lot_id = ? AND change < 0 "
                            "AND kind <> 'reversal'");
    query.integer(asked.entry).integer(asked.lot_id).next();
    const auto taken = query.read_integer_or_null();
    if (!taken || *taken == 0) return {};
    return fmt::format(" (besides {} that the same entry takes)", to_text(Amount{asked.amount.measure, *taken}));
}

std::string other_lots(Connection& connection, const ShortLot& lot, Date on) {
    Query query(connection,
                "SELECT code, measure, balance - ifnull(promised, 0) FROM stock_now WHERE item = ? AND code <> ? "
                "AND held IS NULL AND received <= ? AND balance > ifnull(promised, 0) "
                "ORDER BY ifnull(best_before, '9999'), received, code LIMIT 5");
    query.text(lot.item).text(lot.code).text(to_iso(on));
    std::string text;
    while (query.next()) {
        const auto code = query.read_text();
        const auto measure = read_measure(query);
        text +=
            fmt::format("{}{} in {}", text.empty() ? "" : ", ", to_text(Amount{measure, query.read_integer()}), code);
    }
    if (text.empty()) return fmt::format("no other lot of {} has any free", lot.item);
    return fmt::format("free of {}: {}", lot.item, text);
}

std::string taker(Connection& connection, std::int64_t lot_id, Date on) {
    Query query(connection, "SELECT entry_id FROM movement WHERE lot_id = ? AND on_date = ? AND change < 0 "
                            "ORDER BY movement_id DESC LIMIT 1");
    if (!query.integer(lot_id).text(to_iso(on)).next()) return {};
    return fmt::format(", when entry {} takes from it", query.read_integer());
}

} // namespace

Error shortage(Connection& connection, const Asked& asked) {
    const auto lot = find_lot(connection, asked.lot_id);
    const auto name = fmt::format("{} of {}", called("lot", lot.code), lot.item);
    const auto wanted = fmt::format("{} wanted for {} on {}", to_text(asked.amount), asked.whose, to_iso(asked.on));
    DayBalance then{lot.received, 0}; // at the end of the day asked
    DayBalance least;                 // of the days that follow it
    bool later = false;
    for (const auto& day : day_balances(connection, asked.lot_id)) {
        if (day.on <= asked.on)
            then = day;
        else if (!later || day.balance < least.balance) {
            least = day;
            later = true;
        }
    }
    const auto besides = taken_besides(connection, asked);
    const auto hint = other_lots(connection, lot, asked.on);
    const auto there = to_text(Amount{asked.amount.measure, then.balance});
    if (then.balance < asked.amount.units || !later)
        return {ErrorKind::shortage,
                fmt::format("{} is short: {}{}, {} there since {}", name, wanted, besides, there, to_iso(then.on)),
                hint};
    return {ErrorKind::shortage,
            fmt::format("{} is short: {}{}, {} there then, but only {} from {} on{}", name, wanted, besides, there,
                        to_text(Amount{asked.amount.measure, least.balance}), to_iso(least.on),
                        taker(connection, asked.lot_id, least.on)),
            hint};
}

} // namespace lotwort::store
