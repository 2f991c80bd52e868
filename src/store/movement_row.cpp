#include "movement_row.hpp"
#include "booking.hpp"
#include "columns.hpp"
#include "names.hpp"
#include "snapshot.hpp"
#include <array>
#include <lotwort/core/counted_names.hpp>
#include <unordered_set>

namespace lotwort::store {

namespace {

class OwnMovements {
public:
    explicit OwnMovements(const std::vector<Movement>& movements) : movements_(movements) {
        if (!names_rise(movements_, [](const Movement& m) { return m.id ? std::string_view(*m.id) : ""; }))
            refuse_doubles();
        for (const auto& movement : movements_)
            if (movement.reverses) by_id_.emplace(*movement.reverses, movements_.size());
        if (!by_id_.empty())
            for (std::size_t i = 0; i < movements_.size(); ++i)
                if (const auto& id = movements_[i].id; id)
                    if (const auto meant = by_id_.find(*id); meant != by_id_.end()) meant->second = i;
        taken_back_.resize(movements_.size());
        for (const auto& movement : movements_) {
            if ((movement.kind == MovementKind::reversal) != movement.reverses.has_value())
                refuse(movement, "a reversal, and nothing else, names the movement it takes back");
            if (movement.reverses) taken_back_[original_of(movement)] = true;
        }
    }

    [[nodiscard]] std::size_t original_of(const Movement& movement) const {
        const auto found = by_id_.find(*movement.reverses);
        if (found->second == movements_.size())
            refuse(movement, fmt::format("there is no movement `{}` to take back", *movement.reverses));
        const auto& original = movements_[found->second];
        const bool opposite = original.lot == movement.lot && original.on == movement.on &&
                              original.change.measure == movement.change.measure &&
                              original.change.units == -movement.change.units &&
                              original.kind != MovementKind::reversal;
        if (!opposite)
            refuse(movement, "a reversal is equal, opposite and of the same lot and day as what it takes back");
        return found->second;
    }

    // True where neither it is taken back nor takes another back.
    [[nodiscard]] bool stands(std::size_t i) const { return !taken_back_[i] && !movements_[i].reverses; }

    // A second reversal of one movement; receipts and uses that stand belong to their lots and brews.
    void check(std::size_t i) {
        const auto& movement = movements_[i];
        if (movement.reverses && !answered_.emplace(original_of(movement), i).second)
            refuse(movement, fmt::format("movement `{}` is taken back twice", *movement.reverses));
        if (taken_back_[i]) return;
        if (movement.kind == MovementKind::receipt) refuse(movement, "what a lot received stands in the lot");
        if (movement.kind == MovementKind::move) refuse(movement, "what a lot was made of stands in that lot");
        if (movement.kind == MovementKind::unused) refuse(movement, "what came back from a brew stands in the brew");
        if (movement.kind == MovementKind::brew && (!movement.brew || !movement.stage))
            refuse(movement, "what went into a brew names the brew and the stage");
    }

private:
    void refuse_doubles() const {
        std::unordered_set<std::string_view> ids;
        for (const auto& movement : movements_)
            if (movement.id && !ids.insert(*movement.id).second)
                refuse(movement, fmt::format("its id `{}` stands twice", *movement.id));
    }
    [[noreturn]] static void refuse(const Movement& movement, const std::string& why) {
        throw Error(ErrorKind::refused, fmt::format("{} of lot `{}` on {}: {}", word(movement.kind), movement.lot,
                                                    to_iso(movement.on), why));
    }

    const std::vector<Movement>& movements_;
    std::unordered_map<std::string_view, std::size_t> by_id_; // of those that are taken back
    std::unordered_map<std::size_t, std::size_t> answered_;
    std::vector<bool> taken_back_;
};

} // namespace

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

void collect_movements(const Book& part, Rows& rows, std::vector<MovementRow>& into) {
    const std::size_t first = into.size();
    OwnMovements own(part.movements);
    std::array<std::string_view, WordsOf<MovementKind>::list.size()> whose;
    for (std::size_t kind = 0; kind < whose.size(); ++kind)
        whose[kind] = rows.keep(fmt::format("a {}", WordsOf<MovementKind>::list[kind]));
    into.reserve(first + part.movements.size());
    for (std::size_t i = 0; i < part.movements.size(); ++i) {
        const auto& movement = part.movements[i];
        own.check(i);
        MovementRow row;
        row.on = movement.on;
        row.movement = &movement;
        row.lot = &rows.lot(movement.lot);
        row.kind = movement.kind;
        row.change = movement.change.units;
        row.whose = whose[static_cast<std::size_t>(movement.kind)];
        check_measure(*row.lot, movement.lot, movement.change, row.whose);
        if (own.stands(i)) check_arrived(*row.lot, movement.lot, row.on, row.whose);
        if (movement.reason) check_text(row.whose, "reason", *movement.reason);
        if (movement.reason) row.reason = *movement.reason;
        const bool of_brew = movement.kind == MovementKind::brew || movement.kind == MovementKind::unused;
        if (movement.brew && of_brew) row.brew_id = rows.brew(*movement.brew);
        if (movement.reverses) row.reverses = static_cast<std::uint32_t>(first + own.original_of(movement));
        into.push_back(row);
    }
}

} // namespace lotwort::store
