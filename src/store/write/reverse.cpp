#include "booking.hpp"
#include "file/columns.hpp"
#include "names.hpp"
#include "read/entries.hpp"
#include "read/snapshot.hpp"
#include <algorithm>
#include <array>
#include <lotwort/core/shell_word.hpp>
#include <map>

namespace lotwort::store {

namespace {

// Why an entry cannot be taken back: by number, the later (or other) entry and what it needs of it.
using Needs = std::map<std::int64_t, std::string>;

// An entry that is neither taken back nor takes one back.
constexpr std::string_view stands = "NOT EXISTS (SELECT 1 FROM reversal WHERE {0} IN (reversal.entry_id, "
                                    "reversal.reverses_entry_id))";

void add_needs(Needs& needs, Query& query, std::string_view what) {
    while (query.next()) {
        const auto entry = query.read_integer();
        needs.emplace(entry, "needs " + called(what, query.read_text()));
    }
}

// A lot that an entry names only because plans kept themselves when it was booked: they do so again.
constexpr std::string_view used_by_more_than_plans =
    " AND (SELECT count(*) FROM lot_touch AS touch WHERE touch.entry_id = used.entry_id AND touch.lot = used.lot) > "
    "(SELECT count(*) FROM reservation JOIN plan_version USING (plan_version_id) JOIN entry USING (entry_id) "
    "WHERE plan_version.entry_id = used.entry_id AND reservation.lot = used.lot AND entry.kind NOT IN ('plan', 'import'))";

// Uses of what the entry alone states: an item of which no other live version is left, a lot it received.
Needs users_of_what_it_states(Connection& connection, std::int64_t number) {
    Needs needs;
    for (const std::string_view what :
         {"item", "instrument", "brewhouse", "recipe", "plan", "lot", "brew", "package", "tank"}) {
        const auto live_user = fmt::format(fmt::runtime(stands), "used.entry_id");
        const auto live_other = fmt::format(fmt::runtime(stands), "other.entry_id");
        Query query(connection,
                    fmt::format("SELECT DISTINCT used.entry_id, used.{0} FROM {0}_touch AS used "
                                "WHERE used.role = 'uses' AND used.entry_id <> ?1 AND {1} "
                                "AND used.{0} IN (SELECT {0} FROM {0}_touch WHERE role = 'states' AND entry_id = ?1) "
                                "AND NOT EXISTS (SELECT 1 FROM {0}_touch AS other WHERE other.{0} = used.{0} "
                                "AND other.role = 'states' AND other.entry_id <> ?1 AND {2}){3}",
                                what, live_user, live_other, what == "lot" ? used_by_more_than_plans : ""));
        add_needs(needs, query.integer(number), what);
    }
    return needs;
}

// Later corrections of what the entry booked.
void add_corrections(Connection& connection, std::int64_t number, Needs& needs) {
    Query query(connection, "SELECT DISTINCT answer.entry_id FROM movement AS original JOIN movement AS answer "
                            "ON answer.reverses_movement_id = original.movement_id "
                            "WHERE original.entry_id = ?1 AND answer.entry_id <> ?1");
    query.integer(number);
    while (query.next()) needs.emplace(query.read_integer(), "corrects what this one booked");
}

// A brew that was given up, of which more would have come back than went in.
void add_brews_given_up(Connection& connection, std::int64_t number, Needs& needs) {
    constexpr std::string_view unanswered =
        "NOT EXISTS (SELECT 1 FROM movement AS answer WHERE answer.reverses_movement_id = {}.movement_id)";
    Query query(connection,
                fmt::format("SELECT back.entry_id, brew.code FROM movement AS gone JOIN movement AS back "
                            "USING (brew_id, lot_id) JOIN brew USING (brew_id) WHERE gone.entry_id = ?1 "
                            "AND gone.kind = 'brew' AND back.kind = 'unused' AND back.entry_id <> ?1 AND {} AND {} "
                            "AND 0 < (SELECT sum(change) FROM movement AS other WHERE other.brew_id = back.brew_id "
                            "AND other.lot_id = back.lot_id AND other.entry_id <> ?1 AND {})",
                            fmt::format(fmt::runtime(unanswered), "gone"),
                            fmt::format(fmt::runtime(unanswered), "back"),
                            fmt::format(fmt::runtime(unanswered), "other")));
    add_needs(needs, query.integer(number), "brew");
}

// A brew of the plan that the entry states, or once stated: what it was brewed from stays.
void add_brews_of_plans(Connection& connection, std::int64_t number, Needs& needs) {
    Query query(connection, fmt::format("SELECT DISTINCT brew_head.entry_id, plan.code FROM brew_head "
                                        "JOIN plan ON plan.code = brew_head.plan JOIN plan_version USING (plan_id) "
                                        "WHERE plan_version.entry_id = ?1 AND brew_head.entry_id <> ?1 AND {}",
                                        fmt::format(fmt::runtime(stands), "brew_head.entry_id")));
    add_needs(needs, query.integer(number), "plan");
}

// A reading that a later entry set aside or counted again.
void add_readings_set_aside(Connection& connection, std::int64_t number, Needs& needs) {
    Query query(connection, fmt::format("SELECT DISTINCT reading_status.entry_id, reading.id FROM reading_status "
                                        "JOIN reading USING (reading_id) WHERE reading.entry_id = ?1 "
                                        "AND reading_status.entry_id <> ?1 AND {}",
                                        fmt::format(fmt::runtime(stands), "reading_status.entry_id")));
    add_needs(needs, query.integer(number), "reading");
}

// What came back from somebody to whom the entry sent it.
void add_packages_back(Connection& connection, std::int64_t number, Needs& needs) {
    Query query(connection,
                "SELECT back.entry_id, package.code FROM package_sent_now AS back "
                "JOIN package_sent AS gone USING (package_id, to_whom) JOIN package USING (package_id) "
                "WHERE gone.entry_id = ?1 AND back.entry_id <> ?1 AND back.count < 0 AND 0 > "
                "(SELECT sum(count) FROM package_sent_now AS other WHERE other.package_id = back.package_id "
                "AND other.to_whom = back.to_whom AND other.entry_id <> ?1)");
    add_needs(needs, query.integer(number), "package");
}

// A correction took back what an earlier entry booked: what stood before it cannot stand again under its own entry.
bool is_correction(Connection& connection, std::int64_t number) {
    Query query(connection, "SELECT 1 FROM movement JOIN movement AS original "
                            "ON original.movement_id = movement.reverses_movement_id "
                            "WHERE movement.entry_id = ?1 AND original.entry_id <> ?1");
    return query.integer(number).next();
}

// What is left to do about a brew of which a weight was corrected.
std::string words_on_correction(Connection& connection, std::int64_t number) {
    Query query(connection,
                "SELECT brew_now.code, abandoned FROM movement JOIN movement AS original "
                "ON original.movement_id = movement.reverses_movement_id "
                "JOIN brew_now ON brew_now.brew_id = original.brew_id WHERE movement.entry_id = ?1 LIMIT 1");
    LOTWORT_CHECK(query.integer(number).next()); // a correction is of a brew's weights
    const auto code = query.read_text();
    if (const auto why = query.read_text_or_null())
        return fmt::format("{} was given up ({}): what came back of it is in stock, and there is nothing to take back",
                           code, *why);
    const std::string brew = shell_word(code);
    return fmt::format("correct it again: lotwort brew {} --correct LOT=AMOUNT\nor give the brew up: lotwort brew {} "
                       "--abandon REASON",
                       brew, brew);
}

std::string list_of(Connection& connection, const Needs& needs) {
    std::string text;
    for (const auto& [number, need] : needs) {
        const auto entry = read_entry(connection, number);
        text += fmt::format("{}entry {} ({}, {}): {}; it {}", text.empty() ? "" : "\n", number, word(entry->head.kind),
                            to_iso(entry->head.on), entry->head.what, need);
    }
    const auto correction =
        std::ranges::find_if(needs, [&](const auto& need) { return is_correction(connection, need.first); });
    if (correction != needs.end())
        return text + "\na correction stays\n" + words_on_correction(connection, correction->first);
    if (needs.size() > 1) return text + "\ntake these back first, newest first";
    return text + fmt::format("\ntake it back first: lotwort reverse {}", needs.begin()->first);
}

[[noreturn]] void refuse(Connection& connection, std::int64_t number, const Needs& needs) {
    throw Error(ErrorKind::refused, fmt::format("entry {} cannot be taken back: later entries stand on it", number),
                list_of(connection, needs));
}

void check_entry(Connection& connection, std::int64_t number) {
    const auto entry = read_entry(connection, number);
    if (!entry)
        throw Error(ErrorKind::refused, fmt::format("there is no entry {}", number), "`lotwort history` lists them");
    if (entry->head.kind == EntryKind::init)
        throw Error(ErrorKind::refused, fmt::format("entry {} made the ledger and cannot be taken back", number),
                    "leave it; a ledger without entries does no harm");
    if (entry->reverses)
        throw Error(
            ErrorKind::refused,
            fmt::format("entry {} takes entry {} back and cannot be taken back itself", number, *entry->reverses),
            "book again what is missing");
    if (entry->reversed_by)
        throw Error(ErrorKind::refused,
                    fmt::format("entry {} has been taken back already, by entry {}", number, *entry->reversed_by),
                    "book it again if it holds after all");
}

void check_no_correction(Connection& connection, std::int64_t number) {
    if (is_correction(connection, number))
        throw Error(ErrorKind::refused, fmt::format("entry {} is a correction and cannot be taken back itself", number),
                    words_on_correction(connection, number));
}

struct Opposite {
    std::int64_t movement_id = 0;
    std::int64_t lot_id = 0;
    std::string on_date;
    std::int64_t change = 0;
};

// What the entry moved and no other movement has answered; what brings stock back comes first.
std::vector<Opposite> opposites_of(Connection& connection, std::int64_t number) {
    Query query(connection,
                "SELECT movement_id, lot_id, on_date, -change FROM movement WHERE entry_id = ? "
                "AND kind <> 'reversal' AND NOT EXISTS (SELECT 1 FROM movement AS answer "
                "WHERE answer.reverses_movement_id = movement.movement_id) ORDER BY change > 0, movement_id");
    query.integer(number);
    std::vector<Opposite> list;
    while (query.next()) {
        auto& opposite = list.emplace_back();
        opposite.movement_id = query.read_integer();
        opposite.lot_id = query.read_integer();
        opposite.on_date = query.read_text();
        opposite.change = query.read_integer();
    }
    return list;
}

// Those who took from the lot on the day or later, and so have used what the entry brought.
Needs takers(Connection& connection, std::int64_t number, const Opposite& opposite) {
    Query query(connection, fmt::format("SELECT DISTINCT entry_id, lot.code FROM movement JOIN lot USING (lot_id) "
                                        "WHERE lot_id = ? AND on_date >= ? AND change < 0 AND entry_id <> ? AND {}",
                                        fmt::format(fmt::runtime(stands), "movement.entry_id")));
    query.integer(opposite.lot_id).text(opposite.on_date).integer(number);
    Needs needs;
    while (query.next()) {
        const auto entry = query.read_integer();
        needs.emplace(entry, fmt::format("takes from {} what this one brought", called("lot", query.read_text())));
    }
    return needs;
}

} // namespace

Book read_opposite(Connection& connection, std::int64_t number) {
    Book part;
    for (const auto& opposite : opposites_of(connection, number)) {
        Query lot(connection, "SELECT code, measure FROM lot WHERE lot_id = ?");
        LOTWORT_CHECK(lot.integer(opposite.lot_id).next());
        auto& movement = part.movements.emplace_back();
        movement.lot = lot.read_text();
        movement.kind = MovementKind::reversal;
        movement.change = {read_measure(lot), opposite.change};
    }
    Query holds(connection, "SELECT code, (SELECT held FROM lot_hold AS other WHERE other.lot_id = lot_hold.lot_id "
                            "AND other.entry_id <> lot_hold.entry_id AND NOT EXISTS (SELECT 1 FROM reversal "
                            "WHERE reverses_entry_id = other.entry_id) ORDER BY lot_hold_id DESC LIMIT 1) "
                            "FROM lot_hold JOIN lot USING (lot_id) WHERE entry_id = ?");
    holds.integer(number);
    while (holds.next()) {
        const auto known = read_lots(connection, holds.read_text());
        if (!known.empty()) part.lots.push_back(known.front().lot);
        if (known.empty())
            holds.skip();
        else
            part.lots.back().held = holds.read_text_or_null();
    }
    return part;
}

std::int64_t write_reversal(Connection& connection, std::int64_t number, EntryHead head) {
    check_entry(connection, number);
    check_no_correction(connection, number);
    Needs needs;
    add_corrections(connection, number, needs);
    needs.merge(users_of_what_it_states(connection, number));
    add_brews_given_up(connection, number, needs);
    add_brews_of_plans(connection, number, needs);
    add_readings_set_aside(connection, number, needs);
    add_packages_back(connection, number, needs);
    if (!needs.empty()) refuse(connection, number, needs);

    head.kind = EntryKind::reverse;
    const auto entry = write_entry(connection, head);
    Query reversal(connection, "INSERT INTO reversal (entry_id, reverses_entry_id) VALUES (?, ?)");
    reversal.integer(entry).integer(number).run();
    Query query(connection,
                "INSERT INTO movement (entry_id, lot_id, on_date, kind, change, reason, reverses_movement_id) "
                "VALUES (?, ?, ?, 'reversal', ?, ?, ?)");
    for (const auto& opposite : opposites_of(connection, number)) {
        query.integer(entry).integer(opposite.lot_id).text(opposite.on_date).integer(opposite.change);
        query.text_or_null(head.why.empty() ? std::nullopt : std::optional(head.why)).integer(opposite.movement_id);
        try {
            query.run();
        } catch (const Constraint& refusal) {
            if (!refusal.says("lot_below_nothing")) throw;
            refuse(connection, number, takers(connection, number, opposite));
        }
    }
    return entry;
}

} // namespace lotwort::store
