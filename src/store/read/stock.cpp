#include "file/columns.hpp"
#include "snapshot.hpp"
#include <array>
#include <iterator>
#include <unordered_map>
#include <unordered_set>

namespace lotwort::store {

namespace {

Money money(Query& query) {
    return Money{query.read_integer()};
}

std::unordered_map<std::string, ItemKind> item_kinds(Connection& connection) {
    Query query(connection, "SELECT name, kind FROM item_now");
    std::unordered_map<std::string, ItemKind> kinds;
    while (query.next()) {
        const auto name = query.read_text();
        read_value(query, kinds[name]);
    }
    return kinds;
}

void add_certificates(Connection& connection, const std::unordered_map<std::int64_t, std::size_t>& place_of_detail,
                      std::vector<LotState>& lots) {
    const auto fill = [&](Query& query) {
        while (query.next()) {
            const auto place = place_of_detail.find(query.read_integer());
            if (place != place_of_detail.end()) read_columns(query, lots[place->second].lot.certificate.emplace());
        }
    };
    const auto sql = fmt::format("SELECT lot_detail_id, {} FROM certificate", columns_of<Certificate>());
    if (lots.size() == 1) {
        Query one(connection, sql + " WHERE lot_detail_id = ?");
        fill(one.integer(place_of_detail.begin()->first));
    } else {
        Query all(connection, sql);
        fill(all);
    }
}

void add_retests(Connection& connection, const std::unordered_map<std::int64_t, std::size_t>& place_of_lot,
                 std::vector<LotState>& lots) {
    const auto fill = [&](Query& query) {
        while (query.next()) {
            const auto place = place_of_lot.find(query.read_integer());
            if (place == place_of_lot.end()) continue;
            auto& retest = lots[place->second].lot.retests.emplace_back();
            retest.on = read_date(query);
            read_columns(query, retest.found);
        }
    };
    const auto sql = fmt::format("SELECT lot_id, on_date, {} FROM retest WHERE NOT EXISTS (SELECT 1 FROM reversal "
                                 "WHERE reverses_entry_id = retest.entry_id)",
                                 columns_of<Certificate>());
    const std::string order = " ORDER BY on_date, retest_id";
    if (lots.size() == 1) {
        Query one(connection, sql + " AND lot_id = ?" + order);
        fill(one.integer(place_of_lot.begin()->first));
    } else {
        Query all(connection, sql + order);
        fill(all);
    }
}

void add_sources(Connection& connection, const std::unordered_map<std::int64_t, std::size_t>& place_of_detail,
                 std::vector<LotState>& lots) {
    const auto fill = [&](Query& query) {
        while (query.next()) {
            const auto place = place_of_detail.find(query.read_integer());
            if (place == place_of_detail.end()) continue;
            read_columns(query, lots[place->second].lot.made_from.emplace_back());
        }
    };
    const auto sql = fmt::format("SELECT lot_detail_id, {} FROM lot_source", columns_of<Portion>());
    const std::string order = " ORDER BY lot_detail_id, position";
    if (lots.size() == 1) {
        Query one(connection, sql + " WHERE lot_detail_id = ?" + order);
        fill(one.integer(place_of_detail.begin()->first));
    } else {
        Query all(connection, sql + order);
        fill(all);
    }
}

// What went back to suppliers, of the lots that came of orders or were made of others: orders await that again.
void add_returned(Connection& connection, const std::unordered_map<std::int64_t, std::size_t>& place_of_lot,
                  std::vector<LotState>& lots) {
    Query query(connection, "SELECT lot_id, sum(-change) FROM movement WHERE kind = 'return' AND lot_id IN "
                            "(SELECT lot_id FROM lot JOIN order_receipt ON lot = code UNION "
                            "SELECT lot_id FROM lot_detail JOIN lot_source USING (lot_detail_id)) "
                            "AND NOT EXISTS (SELECT 1 FROM movement AS answer "
                            "WHERE answer.reverses_movement_id = movement.movement_id) GROUP BY lot_id");
    while (query.next()) {
        const auto place = place_of_lot.find(query.read_integer());
        if (place != place_of_lot.end()) lots[place->second].returned = query.read_integer();
    }
}

void mark_made(Connection& connection, std::vector<StockRow>& rows) {
    std::unordered_set<std::string> made;
    for (auto& origin : read_origins(connection))
        if (!origin.from_brew) made.insert(std::move(origin.lot));
    if (made.empty()) return;
    for (StockRow& row : rows) row.is_made = made.contains(row.lot);
}

} // namespace

Measure read_measure(Query& query) {
    const auto text = query.read_text();
    if (text == "mass") return Measure::mass;
    if (text == "volume") return Measure::volume;
    if (text != "count") query.refuse_value(text);
    return Measure::count;
}

std::vector<StockRow> read_stock(Connection& connection) {
    const auto kinds = item_kinds(connection);
    Query query(connection, "SELECT item, code, measure, balance, ifnull(promised, 0), received_amount, price_minor, "
                            "best_before, held FROM stock_now ORDER BY item, received, code");
    // rows come by item: a list for each kind keeps them so, and no long row is sorted
    std::array<std::vector<StockRow>, WordsOf<ItemKind>::list.size()> by_kind;
    std::size_t total = 0;
    std::string item;
    auto kind = ItemKind::malt;
    while (query.next()) {
        StockRow row;
        row.item = query.read_text();
        if (row.item != item || total == 0) {
            item = row.item;
            const auto found = kinds.find(item);
            kind = found != kinds.end() ? found->second : ItemKind::malt;
        }
        row.kind = kind;
        row.lot = query.read_text();
        const auto measure = read_measure(query);
        row.on_hand = {measure, query.read_integer()};
        row.promised = {measure, query.read_integer()};
        row.received_amount = {measure, query.read_integer()};
        if (query.is_null())
            query.skip();
        else
            row.price = money(query);
        read_value(query, row.best_before);
        row.held = query.read_text_or_null();
        by_kind[static_cast<std::size_t>(kind)].push_back(std::move(row));
        ++total;
    }
    auto rows = std::move(by_kind.front());
    rows.reserve(total);
    for (auto list = by_kind.begin() + 1; list != by_kind.end(); ++list)
        std::move(list->begin(), list->end(), std::back_inserter(rows));
    mark_made(connection, rows);
    return rows;
}

std::vector<LotOrigin> read_origins(Connection& connection) {
    Query query(connection, "SELECT code, lot AS source, 0, lot_detail_id, position FROM lot_source "
                            "JOIN lot_now USING (lot_detail_id) UNION ALL "
                            "SELECT code, harvested_from, 1, lot_detail_id, 0 FROM lot_now "
                            "WHERE harvested_from IS NOT NULL ORDER BY lot_detail_id, position");
    std::vector<LotOrigin> origins;
    while (query.next()) {
        auto& origin = origins.emplace_back();
        origin.lot = query.read_text();
        origin.from = query.read_text();
        origin.from_brew = query.read_integer() != 0;
    }
    return origins;
}

std::vector<LotState> read_lots(Connection& connection, std::optional<std::string_view> code) {
    Query query(
        connection,
        fmt::format("SELECT lot_detail_id, lot_id, measure, balance, {}, {} FROM lot_now "
                    "JOIN lot_balance USING (lot_id){} {} ORDER BY received, code",
                    code ? "(SELECT promised FROM lot_promise WHERE lot_promise.lot = lot_now.code)" : "promised",
                    columns_of<Lot>(), code ? "" : " LEFT JOIN lot_promise ON lot_promise.lot = lot_now.code",
                    code ? "WHERE code = ?" : ""));
    if (code) query.text(*code);
    std::vector<LotState> lots;
    std::unordered_map<std::int64_t, std::size_t> place_of_detail;
    std::unordered_map<std::int64_t, std::size_t> place_of_lot;
    while (query.next()) {
        auto& state = lots.emplace_back();
        place_of_detail[query.read_integer()] = lots.size() - 1;
        place_of_lot[query.read_integer()] = lots.size() - 1;
        const auto measure = read_measure(query);
        state.on_hand = {measure, query.read_integer()};
        state.promised = {measure, query.read_integer_or_null().value_or(0)};
        read_columns(query, state.lot);
    }
    if (lots.empty()) return lots;
    add_certificates(connection, place_of_detail, lots);
    add_retests(connection, place_of_lot, lots);
    add_sources(connection, place_of_detail, lots);
    if (!code) add_returned(connection, place_of_lot, lots);
    return lots;
}

} // namespace lotwort::store
