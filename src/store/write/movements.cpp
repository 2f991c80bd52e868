#include "booking.hpp"
#include "booking_order.hpp"
#include "file/columns.hpp"
#include "movement_row.hpp"
#include "names.hpp"
#include "shortage.hpp"
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
            throw Error(
                ErrorKind::refused,
                fmt::format("{}: {} is on hold since {}: {}", whose, called("lot", addition.lot),
                            to_iso(row.lot->held_from), *row.lot->held),
                fmt::format("take another lot, or `lotwort trace {} --release` first", shell_word(addition.lot)));
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

// Those of lots and brews, all but the book's own.
std::vector<MovementRow> collect_rows(const Book& part, const std::vector<const Lot*>& received, Rows& known) {
    std::vector<MovementRow> rows;
    collect_receipts(received, known, rows);
    collect_moves(received, known, rows);
    for (const auto& brew : part.brews) {
        collect_additions(brew, known, rows);
        collect_unused(brew, known, rows);
    }
    return rows;
}

BookingOrder order_of(const std::vector<MovementRow>& rows, const MovementList& movements, OwnMovements& own) {
    BookingOrder order(rows.size() + movements.size());
    for (std::size_t i = 0; i < rows.size(); ++i)
        order.add({BookingOrder::Of::rows, i}, rows[i].on, *rows[i].lot, rows[i].change, own.has_pairs(*rows[i].lot));
    movements.for_each([&](const Movement& movement, std::uint64_t place) {
        own.check(movement);
        const BookingOrder::Place at{BookingOrder::Of::movements, place};
        const auto change = movement.change.units;
        if (movement.reverses && change >= 0)
            order.add_reversal(at, own.original_of(movement).place);
        else if (own.taken_back(movement) != nullptr && change <= 0)
            order.add_taken_back(at);
        else
            order.add(at, movement.on, own.lot(movement), change, own.has_pairs(own.lot(movement)));
    });
    order.sort();
    return order;
}

} // namespace

void write_movements(Connection& connection, std::int64_t entry, const Book& part, const MovementList& movements,
                     const std::vector<const Lot*>& received) {
    Rows known(connection, entry);
    const auto rows = collect_rows(part, received, known);
    OwnMovements own(movements, known);
    const auto order = order_of(rows, movements, own);

    auto movement_id = connection.integer("SELECT ifnull(max(movement_id), 0) + 1 FROM movement");
    Query query(connection,
                "INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change, reason, brew_id, "
                "stage, minutes, mass_instrument, mash, instead_of, reverses_movement_id) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    order.for_each([&](BookingOrder::Place place) {
        query.integer(movement_id).integer(entry);
        if (place.of == BookingOrder::Of::rows) {
            bind_row(query, rows[place.at]);
            query.null();
            insert_row(connection, query, entry, rows[place.at]);
        } else {
            const Movement& movement = movements.at(place.at);
            const auto row = own.row(movement);
            bind_row(query, row);
            if (movement.reverses) {
                const auto original = own.original_of(movement).movement_id;
                LOTWORT_CHECK(original != 0); // it had its turn before
                query.integer(original);
            } else
                query.null();
            insert_row(connection, query, entry, row);
            if (auto* const original = own.taken_back(movement)) original->movement_id = movement_id;
        }
        ++movement_id;
    });
    for (const auto& brew : part.brews) check_unused(connection, brew);
}

} // namespace lotwort::store
