#include "booking.hpp"
#include "columns.hpp"
#include "movement_row.hpp"
#include "names.hpp"
#include "shortage.hpp"
#include <compare>
#include <numeric>
#include <set>

namespace lotwort::store {

namespace {

void collect_receipts(const std::vector<const Lot*>& received, Rows& rows, std::vector<MovementRow>& into) {
    for (const auto* lot : received) {
        auto& row = into.emplace_back();
        row.on = lot->received;
        row.lot = &rows.lot(lot->code);
        row.kind = MovementKind::receipt;
        row.change = lot->received_amount.units;
    }
}

void collect_additions(const Brew& brew, Rows& rows, std::vector<MovementRow>& into) {
    const auto whose = rows.keep(called("brew", brew.code));
    const auto brew_id = rows.brew(brew.code);
    for (const auto& addition : brew.additions) {
        auto& row = into.emplace_back();
        row.on = addition.on.value_or(brew.date);
        row.addition = &addition;
        row.lot = &rows.lot(addition.lot);
        row.kind = MovementKind::brew;
        check_measure(*row.lot, addition.lot, addition.amount, whose);
        check_arrived(*row.lot, addition.lot, row.on, whose);
        check_range(whose, "an addition", in_range_unit(addition.amount), {0.0, 1e6});
        row.change = -addition.amount.units;
        row.brew_id = brew_id;
        if (addition.minutes) check_range(whose, "minutes", addition.minutes->value(), {0.0, 1e5});
        if (addition.mash) check_range(whose, "mash", *addition.mash, {1.0, 9.0});
        row.whose = whose;
        if (row.lot->held && row.on >= row.lot->held_from)
            throw Error(ErrorKind::refused,
                        fmt::format("{}: {} is on hold since {}: {}", whose, called("lot", addition.lot),
                                    to_iso(row.lot->held_from), *row.lot->held),
                        fmt::format("take another lot, or `lotwort trace {} --release` first", addition.lot));
    }
}

// What went from the lots that a lot was made of.
void collect_moves(const std::vector<const Lot*>& received, Rows& rows, std::vector<MovementRow>& into) {
    for (const auto* lot : received)
        for (const auto& source : lot->made_from) {
            auto& row = into.emplace_back();
            row.on = lot->received;
            row.lot = &rows.lot(source.lot);
            row.kind = MovementKind::move;
            row.whose = rows.keep(called("lot", lot->code));
            check_arrived(*row.lot, source.lot, row.on, row.whose);
            row.change = -source.amount.units;
            row.reason = rows.keep("into " + lot->code);
        }
}

void collect_unused(const Brew& brew, Rows& rows, std::vector<MovementRow>& into) {
    const auto whose = rows.keep(called("brew", brew.code));
    for (const auto& unused : brew.unused) {
        auto& row = into.emplace_back();
        row.on = unused.on;
        row.lot = &rows.lot(unused.lot);
        row.kind = MovementKind::unused;
        check_measure(*row.lot, unused.lot, unused.amount, whose);
        row.change = unused.amount.units;
        row.brew_id = rows.brew(brew.code);
        row.whose = whose;
    }
}

// No more of a lot comes back from a brew than went into it.
void check_unused(Connection& connection, const Brew& brew) {
    if (brew.unused.empty()) return;
    Query query(connection,
                "SELECT lot.code FROM movement JOIN lot USING (lot_id) JOIN brew USING (brew_id) "
                "WHERE brew.code = ? AND kind <> 'reversal' AND NOT EXISTS (SELECT 1 FROM movement AS answer "
                "WHERE answer.reverses_movement_id = movement.movement_id) GROUP BY lot_id HAVING sum(change) > 0");
    if (query.text(brew.code).next())
        throw Error(ErrorKind::refused, fmt::format("{}: more of {} comes back than went in", called("brew", brew.code),
                                                    called("lot", query.read_text())));
}

// In what turn a row is booked. By day, what is added first. Where a lot has movements later than the first of these,
// what is added to it up to then goes before everything else, so that no balance falls below nothing on the way to one
// that does not.
//
// A reversal comes after what it takes back. For a lot from which something was taken that later came back, days do not
// serve: at the end of it all there may be too little to take it once more. There, all that was ever added comes first;
// then each that was taken back, with its reversal at once behind it; then, with everything else, the rest, which only
// takes away.
struct Turn {
    std::uint8_t round = 2;
    std::uint32_t pair = 0;
    Date on = Date::min();
    bool takes = false;
    friend auto operator<=>(const Turn&, const Turn&) = default;
};

std::vector<Turn> turns_of(const std::vector<MovementRow>& rows) {
    std::vector<bool> taken_back(rows.size());
    std::set<const LotRow*> with_pairs;
    for (const auto& row : rows) {
        if (row.reverses == MovementRow::none) continue;
        taken_back[row.reverses] = true;
        if (row.change >= 0) with_pairs.insert(row.lot);
    }
    std::vector<Turn> turns;
    turns.reserve(rows.size());
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
        const auto& row = rows[i];
        const bool adds = row.change >= 0;
        auto& turn = turns.emplace_back(Turn{2, 0, row.on, !adds});
        if (row.reverses != MovementRow::none && adds)
            turn = {1, row.reverses, Date::min(), true};
        else if (taken_back[i] && row.change <= 0)
            turn = {1, i, Date::min(), false};
        else if (adds && with_pairs.contains(row.lot))
            turn.round = 0;
        else if (adds && row.lot->newest_on && row.on <= *row.lot->newest_on)
            turn.on = Date::min();
    }
    return turns;
}

std::vector<std::uint32_t> order_of(const std::vector<MovementRow>& rows) {
    const auto turns = turns_of(rows);
    std::vector<std::uint32_t> order(rows.size());
    std::iota(order.begin(), order.end(), std::uint32_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) { return turns[a] < turns[b]; });
    return order;
}

void bind_row(Query& query, const MovementRow& row) {
    query.integer(row.lot->lot_id).text(to_iso(row.on)).text(word(row.kind)).integer(row.change);
    row.reason.empty() ? query.null() : query.text(row.reason);
    row.brew_id == 0 ? query.null() : query.integer(row.brew_id);
    const auto* addition = row.addition;
    if (addition != nullptr)
        query.text(word(addition->stage));
    else if (row.movement != nullptr && row.movement->stage)
        query.text(word(*row.movement->stage));
    else
        query.null();
    static constexpr std::optional<Minutes> no_minutes;
    const auto& minutes = addition != nullptr       ? addition->minutes
                          : row.movement != nullptr ? row.movement->minutes
                                                    : no_minutes;
    minutes ? query.real(minutes->value()) : query.null();
    if (addition == nullptr)
        query.null().null().null();
    else
        query.text_or_null(addition->mass_instrument)
            .integer_or_null(addition->mash)
            .text_or_null(addition->instead_of);
}

void insert_row(Connection& connection, Query& query, std::int64_t entry, const MovementRow& row) {
    try {
        query.run();
    } catch (const Constraint& refusal) {
        if (!refusal.says("lot_below_nothing")) throw;
        throw shortage(connection,
                       {row.lot->lot_id, entry, row.on, Amount{row.lot->measure, -row.change}, std::string(row.whose)});
    }
}

} // namespace

void write_movements(Connection& connection, std::int64_t entry, const Book& part,
                     const std::vector<const Lot*>& received) {
    Rows known(connection, entry);
    std::vector<MovementRow> rows;
    collect_receipts(received, known, rows);
    collect_moves(received, known, rows);
    for (const auto& brew : part.brews) {
        collect_additions(brew, known, rows);
        collect_unused(brew, known, rows);
    }
    collect_movements(part, known, rows);

    const auto order = order_of(rows);
    const auto first = connection.integer("SELECT ifnull(max(movement_id), 0) + 1 FROM movement");
    std::vector<std::uint32_t> place_of(rows.size());
    for (std::uint32_t place = 0; place < order.size(); ++place) place_of[order[place]] = place;

    Query query(connection,
                "INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change, reason, brew_id, "
                "stage, minutes, mass_instrument, mash, instead_of, reverses_movement_id) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    for (const auto i : order) {
        query.integer(first + place_of[i]).integer(entry);
        bind_row(query, rows[i]);
        if (rows[i].reverses != MovementRow::none)
            query.integer(first + place_of[rows[i].reverses]);
        else
            query.null();
        insert_row(connection, query, entry, rows[i]);
    }
    for (const auto& brew : part.brews) check_unused(connection, brew);
}

} // namespace lotwort::store
