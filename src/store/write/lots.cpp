#include "booking.hpp"
#include "differences.hpp"
#include "file/columns.hpp"
#include "names.hpp"
#include "read/snapshot.hpp"
#include <algorithm>
#include <unordered_map>

namespace lotwort::store {

namespace {

constexpr std::array<std::string_view, 3> measure_words{"mass", "volume", "count"};

std::string_view measure_word(Measure measure) {
    return measure_words[static_cast<std::size_t>(measure)];
}

void write_retest(Connection& connection, std::int64_t entry, std::int64_t lot, const Retest& retest,
                  std::string_view whose) {
    const std::string columns = "lot_id, entry_id, on_date, " + columns_of<Certificate>();
    Query query(connection, fmt::format("INSERT INTO retest ({}) VALUES ({})", columns, marks(columns)));
    query.integer(lot).integer(entry).text(to_iso(retest.on));
    bind_columns(query, retest.found, whose);
    query.run();
}

void write_hold(Connection& connection, std::int64_t entry, std::int64_t lot, const std::optional<std::string>& held,
                std::string_view whose) {
    if (held && held->empty()) throw Error(ErrorKind::refused, fmt::format("{}: a hold needs a reason", whose));
    if (held) check_text(whose, "held", *held);
    Query query(connection, "INSERT INTO lot_hold (lot_id, entry_id, held) VALUES (?, ?, ?)");
    query.integer(lot).integer(entry).text_or_null(held).run();
}

void write_opening(Connection& connection, std::int64_t entry, std::int64_t lot, const std::optional<Date>& opened) {
    Query query(connection, "INSERT INTO lot_opening (lot_id, entry_id, opened) VALUES (?, ?, ?)");
    query.integer(lot).integer(entry).text_or_null(opened ? std::optional(to_iso(*opened)) : std::nullopt).run();
}

// What a lot was made of is of the same item and measure.
void check_sources(Connection& connection, const Lot& lot, const Book& part, std::string_view whose) {
    for (const auto& source : lot.made_from) {
        const auto in_part = std::find_if(part.lots.begin(), part.lots.end(),
                                          [&](const Lot& other) { return other.code == source.lot; });
        std::string item;
        if (in_part != part.lots.end())
            item = in_part->item;
        else {
            Query query(connection, "SELECT item FROM lot_now WHERE code = ?");
            if (query.text(source.lot).next()) item = query.read_text();
        }
        if (item != lot.item || source.lot == lot.code)
            throw Error(ErrorKind::refused, fmt::format("{}: {} cannot be made of {}, which is {}", whose, lot.item,
                                                        called("lot", source.lot), item));
        if (source.amount.measure != lot.received_amount.measure)
            throw Error(ErrorKind::refused,
                        fmt::format("{}: {} is kept in another measure", whose, called("lot", source.lot)));
    }
}

// A code that was taken back may be received again, counted in the same measure as before.
std::int64_t lot_identity(Connection& connection, const Lot& lot, std::string_view whose) {
    const auto measure = measure_word(lot.received_amount.measure);
    Query known(connection, "SELECT lot_id, measure FROM lot WHERE code = ?");
    if (known.text(lot.code).next()) {
        const auto id = known.read_integer();
        if (known.read_text() != measure)
            throw Error(ErrorKind::refused,
                        fmt::format("{}: a lot of that code was booked in another measure and taken back", whose),
                        "give this one another code");
        return id;
    }
    Query added(connection, "INSERT INTO lot (code, measure) VALUES (?, ?)");
    return added.text(lot.code).text(measure).run_new();
}

void receive(Connection& connection, std::int64_t entry, const Lot& lot, const Book& part, std::string_view whose) {
    check_sources(connection, lot, part, whose);
    if (lot.supplier) (void)identity(connection, "supplier", "name", *lot.supplier);
    if (lot.harvested_from) (void)identity(connection, "brew", "code", *lot.harvested_from);
    const auto id = lot_identity(connection, lot, whose);
    const auto detail =
        insert(connection, "lot_detail", "lot_id, entry_id", {id, entry}, lot, whose, {"code", "held", "opened"});
    insert_lines(connection, "lot_source", "lot_detail_id", detail, lot.made_from, whose);
    if (lot.certificate) insert(connection, "certificate", "lot_detail_id", {detail}, *lot.certificate, whose);
    for (const auto& retest : lot.retests) write_retest(connection, entry, id, retest, whose);
    if (lot.held) write_hold(connection, entry, id, lot.held, whose);
    if (lot.opened) write_opening(connection, entry, id, lot.opened);
}

// A lot that is there already gains the retests it does not have, and goes on or off hold.
void add_to(Connection& connection, std::int64_t entry, const Lot& known, const Lot& lot, std::string_view whose) {
    const auto differing = differences(known, lot, {"retests", "held", "opened"});
    if (!differing.empty())
        throw Error(ErrorKind::refused, fmt::format("{} is there already, with another {}", whose, differing),
                    "give the new lot another code, or take the old one back with `lotwort reverse ENTRY`");
    const auto id = identity(connection, "lot", "code", lot.code);
    bool gained = false;
    for (const auto& retest : lot.retests)
        if (std::find(known.retests.begin(), known.retests.end(), retest) == known.retests.end()) {
            write_retest(connection, entry, id, retest, whose);
            gained = true;
        }
    if (lot.held != known.held) {
        write_hold(connection, entry, id, lot.held, whose);
        gained = true;
    }
    if (lot.opened != known.opened) {
        write_opening(connection, entry, id, lot.opened);
        gained = true;
    }
    if (!gained)
        throw Error(ErrorKind::refused, fmt::format("{} is there already", whose), "give the new lot another code");
}

// Lots in their order, but each after those it was made of.
std::vector<const Lot*> sources_first(const std::vector<Lot>& lots) {
    std::unordered_map<std::string_view, const Lot*> waiting;
    for (const auto& lot : lots) waiting.emplace(lot.code, &lot);
    std::vector<const Lot*> order;
    const auto put = [&](const auto& self, const Lot& lot) -> void {
        if (waiting.erase(lot.code) == 0) return;
        for (const auto& source : lot.made_from)
            if (const auto found = waiting.find(source.lot); found != waiting.end()) self(self, *found->second);
        order.push_back(&lot);
    };
    for (const auto& lot : lots) put(put, lot);
    return order;
}
std::vector<const Lot*> sources_first(const std::vector<Lot>&&) = delete;

} // namespace

std::vector<const Lot*> write_lots(Connection& connection, std::int64_t entry, const Book& part) {
    std::vector<const Lot*> received;
    for (const auto* one : sources_first(part.lots)) {
        const auto& lot = *one;
        const auto whose = called("lot", lot.code);
        const auto known = read_lots(connection, lot.code);
        if (known.empty()) {
            receive(connection, entry, lot, part, whose);
            received.push_back(&lot);
        } else
            add_to(connection, entry, known.front().lot, lot, whose);
    }
    return received;
}

} // namespace lotwort::store
