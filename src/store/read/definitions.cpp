#include "file/columns.hpp"
#include "snapshot.hpp"

namespace lotwort::store {

namespace {

// The newest live version of each record of a kind, and the ids of these versions.
template <class Record>
std::vector<Record> read_versions(Connection& connection, std::string_view view, std::string_view version_id,
                                  std::string_view order, std::vector<std::int64_t>& ids) {
    Query query(connection,
                fmt::format("SELECT {}, {} FROM {} ORDER BY {}", version_id, columns_of<Record>(), view, order));
    std::vector<Record> records;
    while (query.next()) {
        ids.push_back(query.read_integer());
        read_columns(query, records.emplace_back());
    }
    return records;
}

template <class Record, class Fill>
std::vector<Record> read_filled(Connection& connection, std::string_view view, std::string_view version_id,
                                std::string_view order, Fill&& fill) {
    std::vector<std::int64_t> ids;
    auto records = read_versions<Record>(connection, view, version_id, order, ids);
    for (std::size_t i = 0; i < records.size(); ++i) fill(records[i], ids[i]);
    return records;
}

std::vector<std::string> read_words(Connection& connection, std::string_view table, std::string_view column,
                                    std::string_view parent_column, std::int64_t parent) {
    Query query(connection,
                fmt::format("SELECT {} FROM {} WHERE {} = ? ORDER BY position", column, table, parent_column));
    query.integer(parent);
    std::vector<std::string> words;
    while (query.next()) words.push_back(query.read_text());
    return words;
}

std::vector<Vessel> read_vessels(Connection& connection, std::int64_t version) {
    Query query(connection,
                fmt::format("SELECT vessel_id, {} FROM vessel WHERE brewhouse_version_id = ? ORDER BY position",
                            columns_of<Vessel>()));
    query.integer(version);
    std::vector<Vessel> vessels;
    while (query.next()) {
        const auto id = query.read_integer();
        auto& vessel = vessels.emplace_back();
        read_columns(query, vessel);
        Query marks(connection, "SELECT depth_cm, volume_l FROM dip_mark WHERE vessel_id = ? ORDER BY position");
        marks.integer(id);
        while (marks.next()) {
            auto& mark = vessel.dip_table.emplace_back();
            mark.depth = Centimetres(marks.read_real());
            mark.volume = Litres(marks.read_real());
        }
    }
    return vessels;
}

} // namespace

std::string read_currency(Connection& connection) {
    Query query(connection, "SELECT currency FROM ledger");
    return query.next() ? query.read_text() : std::string();
}

std::vector<std::string> read_own_words(Connection& connection) {
    Query query(connection, "SELECT why FROM entry UNION SELECT reason FROM movement UNION SELECT held FROM lot_hold "
                            "UNION SELECT closed FROM purchase_order_version UNION SELECT cancelled FROM plan_version "
                            "UNION SELECT abandoned FROM brew_end UNION SELECT set_aside FROM reading_status");
    std::vector<std::string> words;
    while (query.next())
        if (auto text = query.read_text_or_null(); text && !text->empty()) words.push_back(std::move(*text));
    return words;
}

std::vector<Item> read_items(Connection& connection) {
    return read_filled<Item>(connection, "item_now", "item_version_id", "name", [&](Item& item, std::int64_t id) {
        item.stands_for = read_lines<StandIn>(connection, "stand_in", "item_version_id", id);
    });
}

std::vector<Instrument> read_instruments(Connection& connection) {
    return read_filled<Instrument>(
        connection, "instrument_now", "instrument_version_id", "name", [&](Instrument& instrument, std::int64_t id) {
            instrument.checks =
                read_lines<InstrumentCheck>(connection, "instrument_check", "instrument_version_id", id);
        });
}

std::vector<Brewhouse> read_brewhouses(Connection& connection) {
    return read_filled<Brewhouse>(
        connection, "brewhouse_now", "brewhouse_version_id", "name",
        [&](Brewhouse& brewhouse, std::int64_t id) { brewhouse.vessels = read_vessels(connection, id); });
}

std::vector<Recipe> read_recipes(Connection& connection) {
    return read_filled<Recipe>(connection, "recipe_now", "recipe_version_id", "name",
                               [&](Recipe& recipe, std::int64_t id) {
                                   const auto parent = "recipe_version_id";
                                   recipe.grist = read_lines<GristLine>(connection, "recipe_grist", parent, id);
                                   recipe.hops = read_lines<HopLine>(connection, "recipe_hop", parent, id);
                                   recipe.others = read_lines<OtherLine>(connection, "recipe_other", parent, id);
                               });
}

std::vector<Tank> read_tanks(Connection& connection) {
    return read_filled<Tank>(connection, "tank_now", "tank_version_id", "name", [](Tank&, std::int64_t) {});
}

std::vector<Supplier> read_suppliers(Connection& connection) {
    return read_filled<Supplier>(
        connection, "supplier_now", "supplier_version_id", "name", [&](Supplier& supplier, std::int64_t id) {
            supplier.closed_weekdays = read_words(connection, "closed_weekday", "weekday", "supplier_version_id", id);
        });
}

std::vector<Offer> read_offers(Connection& connection) {
    return read_filled<Offer>(connection, "offer_now", "offer_version_id",
                              "supplier, item, pack_kg, pack_l, pack_count", [&](Offer& offer, std::int64_t id) {
                                  offer.price_steps =
                                      read_lines<PriceStep>(connection, "price_step", "offer_version_id", id);
                              });
}

std::vector<Order> read_orders(Connection& connection) {
    return read_filled<Order>(connection, "purchase_order_now", "purchase_order_version_id", "ordered, code",
                              [&](Order& order, std::int64_t id) {
                                  const auto parent = "purchase_order_version_id";
                                  order.lines = read_lines<OrderLine>(connection, "order_line", parent, id);
                                  order.received = read_words(connection, "order_receipt", "lot", parent, id);
                              });
}

std::vector<Plan> read_plans(Connection& connection, Plans which) {
    return read_filled<Plan>(connection, which == Plans::open ? "plan_open" : "plan_now", "plan_version_id",
                             "date, code", [&](Plan& plan, std::int64_t id) {
                                 plan.reserved =
                                     read_lines<Reservation>(connection, "reservation", "plan_version_id", id);
                                 plan.awaited = read_lines<Awaited>(connection, "awaited", "plan_version_id", id);
                             });
}

Book read_definitions(Connection& data) {
    Book book;
    book.currency = read_currency(data);
    book.items = read_items(data);
    book.instruments = read_instruments(data);
    book.brewhouses = read_brewhouses(data);
    book.recipes = read_recipes(data);
    book.tanks = read_tanks(data);
    book.suppliers = read_suppliers(data);
    book.offers = read_offers(data);
    book.orders = read_orders(data);
    return book;
}

} // namespace lotwort::store
