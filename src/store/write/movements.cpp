#include "booking.hpp"
#include "file/columns.hpp"
#include "movement_row.hpp"
#include "names.hpp"
#include "shortage.hpp"
#include <algorithm>
#include <lotwort/core/shell_word.hpp>

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

// A lot on hold is taken from by no brew; a weight that was booked before may be corrected, and to no more.
void check_not_held(const MovementRow& row, const Addition& addition, const Book& part, const OwnMovements& own) {
    if (!row.lot->held || row.on < row.lot->held_from) return;
    std::int64_t taken = 0;
    for (const auto& brew : part.brews)
        for (const auto& other : brew.additions)
            if (other.lot == addition.lot) taken += other.amount.units;
    if (taken > own.corrected(addition.lot))
        throw Error(ErrorKind::refused,
                    fmt::format("{}: {} is on hold since {}: {}", row.whose, called("lot", addition.lot),
                                to_iso(row.lot->held_from), *row.lot->held),
                    fmt::format("take another lot, or `lotwort trace {} --release` first", shell_word(addition.lot)));
}

void collect_additions(const Brew& brew, const Book& part, const OwnMovements& own, Rows& rows,
                       std::vector<MovementRow>& into) {
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
        check_not_held(row, addition, part, own);
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
    if (brew.unused.empty()) return; // what is corrected was not given up before (brews.cpp)
    Query query(connection,
                "SELECT lot.code FROM movement JOIN lot USING (lot_id) JOIN brew USING (brew_id) "
                "WHERE brew.code = ? AND kind <> 'reversal' AND NOT EXISTS (SELECT 1 FROM movement AS answer "
                "WHERE answer.reverses_movement_id = movement.movement_id) GROUP BY lot_id HAVING sum(change) > 0");
    if (query.text(brew.code).next())
        throw Error(ErrorKind::refused, fmt::format("{}: more of {} comes back than went in", called("brew", brew.code),
                                                    called("lot", query.read_text())));
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
        query.null().null().null().null();
    else
        query.text_or_null(addition->mass_instrument)
            .integer_or_null(addition->mash)
            .text_or_null(addition->instead_of)
            .text_or_null(addition->package);
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

// In the order in which they are booked.
std::vector<MovementRow> collect_rows(const Book& part, const std::vector<const Lot*>& received, OwnMovements& own,
                                      Rows& known) {
    std::vector<MovementRow> rows;
    rows.reserve(received.size() + part.movements.size());
    collect_receipts(received, known, rows);
    collect_moves(received, known, rows);
    for (const auto& brew : part.brews) {
        collect_additions(brew, part, own, known, rows);
        collect_unused(brew, known, rows);
    }
    for (auto& row : rows) row.turn = turn_of(row.on, row.change, row.lot->newest_on, own.has_pairs(*row.lot));
    own.collect(rows);
    std::ranges::stable_sort(rows, {}, &MovementRow::turn);
    return rows;
}

} // namespace

void write_movements(Connection& connection, std::int64_t entry, const Book& part,
                     const std::vector<const Lot*>& received) {
    Rows known(connection, entry);
    OwnMovements own(part.movements, known);
    const auto rows = collect_rows(part, received, own, known);

    auto movement_id = connection.integer("SELECT ifnull(max(movement_id), 0) + 1 FROM movement");
    Query query(connection,
                "INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change, reason, brew_id, "
                "stage, minutes, mass_instrument, mash, instead_of, package, reverses_movement_id) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    for (const auto& row : rows) {
        query.integer(movement_id).integer(entry);
        bind_row(query, row);
        if (row.movement != nullptr && row.movement->reverses) {
            const auto original = own.original_of(*row.movement).movement_id;
            LOTWORT_CHECK(original != 0); // it had its turn before
            query.integer(original);
        } else
            query.null();
        insert_row(connection, query, entry, row);
        if (row.movement != nullptr)
            if (auto* const original = own.taken_back(*row.movement)) original->movement_id = movement_id;
        ++movement_id;
    }
    for (const auto& brew : part.brews) check_unused(connection, brew);
}

} // namespace lotwort::store
