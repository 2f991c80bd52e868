#include "movement_row.hpp"
#include "booking.hpp"
#include "file/columns.hpp"
#include "names.hpp"
#include "read/snapshot.hpp"
#include <charconv>
#include <utility>

namespace lotwort::store {

namespace {

[[noreturn]] void refuse(const Movement& movement, const std::string& why) {
    throw Error(ErrorKind::refused,
                fmt::format("{} of lot `{}` on {}: {}", word(movement.kind), movement.lot, to_iso(movement.on), why));
}

void refuse_doubles(const std::vector<Movement>& movements) {
    std::unordered_set<std::string_view> ids;
    for (const auto& movement : movements)
        if (movement.id && !movement.id->empty() && !ids.insert(*movement.id).second)
            refuse(movement, fmt::format("its id `{}` stands twice", *movement.id));
}

void check_opposite(const Movement& original, const Movement& reversal) {
    const bool opposite = original.lot == reversal.lot && original.on == reversal.on &&
                          original.change.measure == reversal.change.measure &&
                          original.change.units == -reversal.change.units && original.kind != MovementKind::reversal;
    if (!opposite) refuse(reversal, "a reversal is equal, opposite and of the same lot and day as what it takes back");
}

} // namespace

std::int64_t movement_number(std::string_view id) {
    std::int64_t number = 0;
    const char* end = id.data() + id.size();
    if (!id.starts_with('m')) return 0;
    const auto [at, fault] = std::from_chars(id.data() + 1, end, number);
    return fault == std::errc() && at == end ? number : 0;
}

const LotRow& Rows::lot(const std::string& code) {
    const auto found = lots_.find(code);
    if (found != lots_.end()) return found->second;
    Query query(connection_, "SELECT lot_id, measure, item, received, newest_on FROM lot_now JOIN lot_balance USING "
                             "(lot_id) WHERE code = ?");
    LOTWORT_CHECK(query.text(code).next());
    LotRow row;
    row.lot_id = query.read_integer();
    row.measure = read_measure(query);
    row.item = query.read_text();
    row.received = read_date(query);
    if (const auto newest = query.read_text(); !newest.empty()) row.newest_on = parse_iso_date(newest);
    Query hold(connection_, "SELECT held, on_date, entry_id FROM lot_hold JOIN entry USING (entry_id) WHERE lot_id = ? "
                            "AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = lot_hold.entry_id) "
                            "ORDER BY lot_hold_id DESC LIMIT 1");
    if (hold.integer(row.lot_id).next()) {
        row.held = hold.read_text_or_null();
        row.held_from = read_date(hold);
        if (hold.read_integer() == entry_) row.held.reset();
    }
    return lots_.emplace(code, std::move(row)).first->second;
}

std::int64_t Rows::brew(const std::string& code) {
    const auto found = brews_.find(code);
    if (found != brews_.end()) return found->second;
    return brews_.emplace(code, identity(connection_, "brew", "code", code)).first->second;
}

std::int64_t Rows::used_by_brew(const Movement& reversal) {
    const std::int64_t number = movement_number(*reversal.reverses);
    Query query(connection_, "SELECT movement_id FROM movement WHERE movement_id = ? AND kind = 'brew' AND lot_id = ? "
                             "AND on_date = ? AND change = ? AND NOT EXISTS (SELECT 1 FROM movement AS answer "
                             "WHERE answer.reverses_movement_id = movement.movement_id)");
    query.integer(number).integer(lot(reversal.lot).lot_id).text(to_iso(reversal.on));
    return query.integer(-reversal.change.units).next() ? number : 0;
}

void check_measure(const LotRow& lot, std::string_view code, Amount amount, std::string_view whose) {
    constexpr std::array<std::string_view, 3> ways{"by mass", "by volume", "in pieces"};
    if (lot.measure == amount.measure) return;
    throw Error(ErrorKind::refused, fmt::format("{}: {} is kept {}, not {}", whose, called("lot", code),
                                                ways[static_cast<std::size_t>(lot.measure)],
                                                ways[static_cast<std::size_t>(amount.measure)]));
}

void check_arrived(const LotRow& lot, std::string_view code, Date on, std::string_view whose) {
    if (on >= lot.received) return;
    throw Error(ErrorKind::refused,
                fmt::format("{}: {} of {} arrived on {}, it was not there on {}", whose, called("lot", code), lot.item,
                            to_iso(lot.received), to_iso(on)),
                "look at the day, or at the lot");
}

OwnMovements::OwnMovements(const std::vector<Movement>& movements, Rows& rows) : movements_(movements), rows_(rows) {
    refuse_doubles(movements);
    for (const auto& movement : movements) {
        if (!movement.reverses) continue;
        originals_.try_emplace(*movement.reverses);
        if (movement.change.units >= 0) with_pairs_.insert(&rows.lot(movement.lot));
    }
    for (const auto& movement : movements)
        if (auto* const original = taken_back(movement)) original->movement = &movement;
    for (std::size_t kind = 0; kind < whose_.size(); ++kind)
        whose_[kind] = rows.keep(fmt::format("a {}", WordsOf<MovementKind>::list[kind]));
}

OwnMovements::Original* OwnMovements::taken_back(const Movement& movement) {
    if (!movement.id || originals_.empty()) return nullptr;
    const auto found = originals_.find(*movement.id);
    return found == originals_.end() ? nullptr : &found->second;
}

OwnMovements::Original& OwnMovements::original_of(const Movement& reversal) {
    return originals_.at(*reversal.reverses);
}

std::int64_t OwnMovements::corrected(std::string_view lot) const {
    std::int64_t back = 0;
    for (const auto& movement : movements_)
        if (movement.reverses && movement.lot == lot && originals_.at(*movement.reverses).movement == nullptr)
            back += movement.change.units;
    return back;
}

// Of each once. Receipts and uses that stand belong to their lots and brews.
void OwnMovements::check(const Movement& movement) {
    if (movement.reverses) {
        Original& original = original_of(movement);
        if (original.movement == nullptr) original.movement_id = rows_.used_by_brew(movement);
        if (original.movement == nullptr && original.movement_id == 0)
            refuse(movement, fmt::format("there is no movement `{}` to take back", *movement.reverses));
        if (original.movement != nullptr) check_opposite(*original.movement, movement);
        if (std::exchange(original.answered, true))
            refuse(movement, fmt::format("movement `{}` is taken back twice", *movement.reverses));
    }
    const auto& lot = rows_.lot(movement.lot);
    const auto whose = whose_[static_cast<std::size_t>(movement.kind)];
    if (taken_back(movement) == nullptr) {
        if (movement.kind == MovementKind::receipt) refuse(movement, "what a lot received stands in the lot");
        if (movement.kind == MovementKind::move) refuse(movement, "what a lot was made of stands in that lot");
        if (movement.kind == MovementKind::unused) refuse(movement, "what came back from a brew stands in the brew");
        if (movement.kind == MovementKind::brew && (!movement.brew || !movement.stage))
            refuse(movement, "what went into a brew names the brew and the stage");
        if (!movement.reverses) check_arrived(lot, movement.lot, movement.on, whose);
    }
    check_measure(lot, movement.lot, movement.change, whose);
    if (movement.reason) check_text(whose, "reason", *movement.reason);
}

MovementRow OwnMovements::row(const Movement& movement) {
    MovementRow row;
    row.on = movement.on;
    row.movement = &movement;
    row.lot = &rows_.lot(movement.lot);
    row.kind = movement.kind;
    row.change = movement.change.units;
    row.whose = whose_[static_cast<std::size_t>(movement.kind)];
    if (movement.reason) row.reason = *movement.reason;
    const bool of_brew = movement.kind == MovementKind::brew || movement.kind == MovementKind::unused;
    if (movement.brew && of_brew) row.brew_id = rows_.brew(*movement.brew);
    return row;
}

Turn OwnMovements::turn(const MovementRow& row) {
    const Movement& movement = *row.movement;
    const auto place = [&](const Movement& of) { return static_cast<std::size_t>(&of - movements_.data()); };
    const bool answers_own = movement.reverses && original_of(movement).movement != nullptr;
    if (answers_own && row.change >= 0) return turn_of_pair(place(*original_of(movement).movement), true);
    if (row.change <= 0 && taken_back(movement) != nullptr) return turn_of_pair(place(movement), false);
    return turn_of(row.on, row.change, row.lot->newest_on, has_pairs(*row.lot));
}

void OwnMovements::collect(std::vector<MovementRow>& into) {
    for (const auto& movement : movements_) {
        check(movement);
        into.push_back(row(movement));
        into.back().turn = turn(into.back());
    }
}

} // namespace lotwort::store
