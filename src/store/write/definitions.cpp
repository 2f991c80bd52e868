#include "booking.hpp"
#include "file/columns.hpp"
#include "names.hpp"
#include <lotwort/brew/recipe.hpp>

namespace lotwort::store {

namespace {

// A version of a record that is known by its name; the version's id.
template <class Record>
std::int64_t write_version(Connection& connection, std::int64_t entry, std::string_view what, const Record& record) {
    const auto id = identity(connection, what, "name", record.name);
    return insert(connection, fmt::format("{}_version", what), fmt::format("{}_id, entry_id", what), {id, entry},
                  record, called(what, record.name), {"name"});
}

void write_vessels(Connection& connection, std::int64_t version, const Brewhouse& brewhouse) {
    const auto whose = called("brewhouse", brewhouse.name);
    for (std::size_t i = 0; i < brewhouse.vessels.size(); ++i) {
        const auto& vessel = brewhouse.vessels[i];
        const auto id = insert(connection, "vessel", "brewhouse_version_id, position",
                               {version, static_cast<std::int64_t>(i)}, vessel, whose);
        Query mark(connection, "INSERT INTO dip_mark (vessel_id, position, depth_cm, volume_l) VALUES (?, ?, ?, ?)");
        for (std::size_t k = 0; k < vessel.dip_table.size(); ++k) {
            const auto [depth, volume] = vessel.dip_table[k];
            check_range(whose, "dip_table depth_cm", depth.value(), {0.0, 2000.0});
            check_range(whose, "dip_table litres", volume.value(), {0.0, 1e6});
            mark.integer(id).integer(static_cast<std::int64_t>(k)).real(depth.value()).real(volume.value()).run();
        }
    }
}

void write_supplier(Connection& connection, std::int64_t entry, const Supplier& supplier) {
    const auto version = write_version(connection, entry, "supplier", supplier);
    Query day(connection, "INSERT INTO closed_weekday (supplier_version_id, position, weekday) VALUES (?, ?, ?)");
    for (std::size_t i = 0; i < supplier.closed_weekdays.size(); ++i)
        day.integer(version).integer(static_cast<std::int64_t>(i)).text(supplier.closed_weekdays[i]).run();
}

void write_recipe(Connection& connection, std::int64_t entry, const Recipe& recipe) {
    const auto whose = called("recipe", recipe.name);
    const auto version = write_version(connection, entry, "recipe", recipe);
    insert_lines(connection, "recipe_grist", "recipe_version_id", version, recipe.grist, whose);
    insert_lines(connection, "recipe_hop", "recipe_version_id", version, recipe.hops, whose);
    insert_lines(connection, "recipe_other", "recipe_version_id", version, recipe.others, whose);
}

std::int64_t offer_identity(Connection& connection, const Offer& offer, std::string_view whose) {
    const Names other{"price_steps", "delivery", "minimum_order", "lead_days", "shelf_life_days", "valid_until"};
    Query known(connection, "SELECT offer_id FROM offer WHERE supplier = ? AND item = ? AND pack_kg IS ? "
                            "AND pack_l IS ? AND pack_count IS ?");
    bind_columns(known, offer, whose, other);
    if (known.next()) return known.read_integer();
    Query added(connection, "INSERT INTO offer (supplier, item, pack_kg, pack_l, pack_count) VALUES (?, ?, ?, ?, ?)");
    bind_columns(added, offer, whose, other);
    return added.run_new();
}

void write_offer(Connection& connection, std::int64_t entry, const Offer& offer) {
    const auto whose = fmt::format("offer of {} for {}", offer.supplier, offer.item);
    (void)identity(connection, "supplier", "name", offer.supplier);
    const auto id = offer_identity(connection, offer, whose);
    Query twice(connection, "SELECT 1 FROM offer_version WHERE offer_id = ? AND entry_id = ?");
    if (twice.integer(id).integer(entry).next())
        throw Error(ErrorKind::refused, fmt::format("{} stands twice in what is to be booked", whose),
                    "an offer is known by supplier, item and what a pack holds");
    const auto version = insert(connection, "offer_version", "offer_id, entry_id", {id, entry}, offer, whose,
                                {"supplier", "item", "pack_kg", "pack_l", "pack_count"});
    insert_lines(connection, "price_step", "offer_version_id", version, offer.price_steps, whose);
}

void write_order(Connection& connection, std::int64_t entry, const Order& order) {
    const auto whose = called("order", order.code);
    (void)identity(connection, "supplier", "name", order.supplier);
    const auto id = identity(connection, "purchase_order", "code", order.code);
    const auto version = insert(connection, "purchase_order_version", "purchase_order_id, entry_id", {id, entry}, order,
                                whose, {"code"});
    insert_lines(connection, "order_line", "purchase_order_version_id", version, order.lines, whose);
    Query lot(connection, "INSERT INTO order_receipt (purchase_order_version_id, position, lot) VALUES (?, ?, ?)");
    for (std::size_t i = 0; i < order.received.size(); ++i)
        lot.integer(version).integer(static_cast<std::int64_t>(i)).text(order.received[i]).run();
}

} // namespace

void write_definitions(Connection& connection, std::int64_t entry, const Book& part) {
    // all names first: one item may stand in for another that comes after it
    for (const auto& item : part.items) (void)identity(connection, "item", "name", item.name);
    for (const auto& item : part.items) {
        const auto version = write_version(connection, entry, "item", item);
        insert_lines(connection, "stand_in", "item_version_id", version, item.stands_for, called("item", item.name));
    }
    for (const auto& instrument : part.instruments) {
        const auto version = write_version(connection, entry, "instrument", instrument);
        insert_lines(connection, "instrument_check", "instrument_version_id", version, instrument.checks,
                     called("instrument", instrument.name));
    }
    for (const auto& brewhouse : part.brewhouses)
        write_vessels(connection, write_version(connection, entry, "brewhouse", brewhouse), brewhouse);
    for (const auto& supplier : part.suppliers) {
        write_supplier(connection, entry, supplier);
    }
    for (const auto& recipe : part.recipes) write_recipe(connection, entry, recipe);
    for (const auto& tank : part.tanks) (void)identity(connection, "tank", "name", tank.name); // plans name them
}

void write_tanks(Connection& connection, std::int64_t entry, const Book& part) {
    for (const auto& tank : part.tanks) (void)write_version(connection, entry, "tank", tank);
}

void write_offers_and_orders(Connection& connection, std::int64_t entry, const Book& part) {
    for (const auto& offer : part.offers) write_offer(connection, entry, offer);
    for (const auto& order : part.orders) write_order(connection, entry, order);
}

} // namespace lotwort::store
