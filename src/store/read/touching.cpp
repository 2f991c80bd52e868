#include "entries.hpp"
#include "file/columns.hpp"
#include <set>

namespace lotwort::store {

namespace {

// Entries after one, each with the entry whose rows it alters: its own, or those that it takes back. What was booked
// and taken back since has altered nothing.
constexpr std::string_view news =
    "WITH news(entry_id, rows_of) AS (SELECT entry.entry_id, ifnull(own.reverses_entry_id, entry.entry_id) FROM entry "
    "LEFT JOIN reversal AS own ON own.entry_id = entry.entry_id "
    "LEFT JOIN reversal AS answer ON answer.reverses_entry_id = entry.entry_id "
    "WHERE entry.entry_id > ?1 AND answer.entry_id IS NULL AND ifnull(own.reverses_entry_id, 0) <= ?1) ";

// What a lot's page shows of it: not what plans would like of it.
constexpr std::string_view of_lot =
    "SELECT retest.entry_id FROM lot JOIN retest USING (lot_id) WHERE code = ?2 "
    "UNION SELECT lot_hold.entry_id FROM lot JOIN lot_hold USING (lot_id) WHERE code = ?2 "
    "UNION SELECT lot_opening.entry_id FROM lot JOIN lot_opening USING (lot_id) WHERE code = ?2 "
    "UNION SELECT movement.entry_id FROM lot JOIN movement USING (lot_id) WHERE code = ?2";
constexpr std::string_view of_plan = "SELECT entry_id FROM plan JOIN plan_version USING (plan_id) WHERE code = ?2 "
                                     "UNION SELECT entry_id FROM brew_head WHERE plan = ?2";
constexpr std::string_view of_point =
    "SELECT reading.entry_id FROM brew JOIN reading USING (brew_id) WHERE code = ?2 AND point = ?3 "
    "UNION SELECT reading_status.entry_id FROM brew JOIN reading USING (brew_id) JOIN reading_status USING "
    "(reading_id) WHERE code = ?2 AND point = ?3";
constexpr std::string_view of_end = "SELECT brew_end.entry_id FROM brew JOIN brew_end USING (brew_id) WHERE code = ?2";
constexpr std::string_view of_addition = "SELECT movement.entry_id FROM brew JOIN movement USING (brew_id) JOIN lot "
                                         "USING (lot_id) WHERE brew.code = ?2 AND lot.code = ?3";
constexpr std::string_view of_packages = "SELECT entry_id FROM package_run WHERE brew = ?2";
constexpr std::string_view of_sent =
    "SELECT entry_id FROM package JOIN package_sent USING (package_id) WHERE code = ?2";
constexpr std::string_view of_order = "SELECT entry_id FROM purchase_order JOIN purchase_order_version USING "
                                      "(purchase_order_id) WHERE code = ?2";
constexpr std::string_view of_offer =
    "SELECT entry_id FROM offer JOIN offer_version USING (offer_id) WHERE supplier = ?2 AND item = ?3";
constexpr std::string_view of_recipe =
    "SELECT entry_id FROM recipe JOIN recipe_version USING (recipe_id) WHERE name = ?2";
constexpr std::string_view of_item = "SELECT entry_id FROM item JOIN item_version USING (item_id) WHERE name = ?2";
constexpr std::string_view of_brewhouse =
    "SELECT entry_id FROM brewhouse JOIN brewhouse_version USING (brewhouse_id) WHERE name = ?2";
constexpr std::string_view of_instrument =
    "SELECT entry_id FROM instrument JOIN instrument_version USING (instrument_id) WHERE name = ?2";
constexpr std::string_view of_supplier =
    "SELECT entry_id FROM supplier JOIN supplier_version USING (supplier_id) WHERE name = ?2";
constexpr std::string_view of_tank = "SELECT entry_id FROM tank JOIN tank_version USING (tank_id) WHERE name = ?2";

class Touches {
public:
    Touches(Connection& connection, std::int64_t since) : connection_(connection), since_(since) {}

    void add(std::string_view rows, std::string_view name, std::string_view of = {}) {
        Query query(connection_, fmt::format("{}SELECT entry_id FROM news WHERE rows_of IN ({})", news, rows));
        query.integer(since_).text(name);
        if (rows.find("?3") != std::string_view::npos) query.text(of);
        while (query.next()) entries_.insert(query.read_integer());
    }
    void add_brew(const Brew& brew) {
        if (brew.plan) add(of_plan, *brew.plan);
        for (const Addition& addition : brew.additions) add(of_addition, brew.code, addition.lot);
        if (brew.plan) // it begins: the weights on its page are what these lots held
            for (const Addition& addition : brew.additions) add(of_lot, addition.lot);
        for (const Reading& reading : brew.readings) add(of_point, brew.code, word(reading.point));
        add(of_end, brew.code);
    }
    [[nodiscard]] const std::set<std::int64_t>& entries() const { return entries_; }

private:
    Connection& connection_;
    std::int64_t since_;
    std::set<std::int64_t> entries_;
};

} // namespace

std::vector<Entry> read_touching(Connection& connection, const Book& part, std::int64_t since) {
    Touches all(connection, since);
    for (const Lot& lot : part.lots) {
        all.add(of_lot, lot.code);
        for (const Portion& portion : lot.made_from) all.add(of_lot, portion.lot);
    }
    for (const Movement& movement : part.movements) all.add(of_lot, movement.lot);
    for (const Plan& plan : part.plans) all.add(of_plan, plan.code);
    for (const Brew& brew : part.brews) all.add_brew(brew);
    for (const Package& package : part.packages)
        all.add(package.sent.empty() ? of_packages : of_sent, package.sent.empty() ? package.brew : package.code);
    for (const Order& order : part.orders) all.add(of_order, order.code);
    for (const Offer& offer : part.offers) all.add(of_offer, offer.supplier, offer.item);
    const auto named = [&](const auto& records, std::string_view rows) {
        for (const auto& record : records) all.add(rows, record.name);
    };
    named(part.recipes, of_recipe);
    named(part.items, of_item);
    named(part.brewhouses, of_brewhouse);
    named(part.instruments, of_instrument);
    named(part.suppliers, of_supplier);
    named(part.tanks, of_tank);
    std::vector<Entry> entries;
    for (const std::int64_t number : all.entries())
        if (const auto entry = read_entry(connection, number)) entries.push_back(*entry);
    return {entries.rbegin(), entries.rend()};
}

} // namespace lotwort::store
