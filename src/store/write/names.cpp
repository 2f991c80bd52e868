#include "names.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/utf8.hpp>
#include <optional>
#include <set>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

namespace lotwort::store {

namespace {

// One kind of named thing: the names the book brings, and where the ledger keeps the live ones.
class Register {
public:
    Register(Connection& connection, std::string what, std::string live)
        : connection_(connection), what_(std::move(what)), live_(std::move(live)) {}

    void add(const std::string& name) {
        check_spelling(name);
        if (!added_.insert(name).second)
            throw Error(ErrorKind::refused,
                        fmt::format("{} stands twice in what is to be booked", called(what_, name)));
    }

    void mention(const std::string& name) const { check_spelling(name); }
    void mention(const std::optional<std::string>& name) const {
        if (name) check_spelling(*name);
    }

    // As far as has been looked.
    [[nodiscard]] bool holds(const std::string& name) const { return added_.contains(name) || seen_.contains(name); }

    void require(const std::string& name, std::string_view whose) {
        if (holds(name)) return;
        Query query(connection_, fmt::format("SELECT 1 FROM ({}) WHERE name = ?", live_));
        if (query.text(name).next()) {
            seen_.insert(name);
            return;
        }
        throw Error(ErrorKind::refused, fmt::format("{}: there is no {}", whose, called(what_, name)), hint(name));
    }
    void require(const std::optional<std::string>& name, std::string_view whose) {
        if (name) require(*name, whose);
    }

private:
    void check_spelling(const std::string& name) const {
        const bool usable =
            !name.empty() && name.front() != ' ' && name.back() != ' ' && !find_hidden(name) && name.size() <= 200;
        if (!usable)
            throw Error(
                ErrorKind::refused, fmt::format("{} cannot be booked under that name", called(what_, name)),
                "a name has 1 to 200 bytes, no space at its ends, no line break and nothing else that does not show");
    }

    std::string hint(const std::string& name) {
        std::vector<std::string> names(added_.begin(), added_.end());
        Query query(connection_, live_);
        while (query.next()) names.push_back(query.read_text());
        const auto meant = did_you_mean(name, names);
        if (!meant.empty()) return meant;
        return names.empty() ? fmt::format("there is no {} yet", what_) : std::string();
    }

    Connection& connection_;
    std::string what_;
    std::string live_;
    std::set<std::string> added_;
    std::unordered_set<std::string> seen_;
};

struct Registers {
    explicit Registers(Connection& c)
        : items(c, "item", "SELECT name FROM item_now"),
          instruments(c, "instrument", "SELECT name FROM instrument_now"),
          brewhouses(c, "brewhouse", "SELECT name FROM brewhouse_now"),
          recipes(c, "recipe", "SELECT name FROM recipe_now"), tanks(c, "tank", "SELECT name FROM tank_now"),
          suppliers(c, "supplier", "SELECT name FROM supplier"), lots(c, "lot", "SELECT code AS name FROM lot_now"),
          orders(c, "order", "SELECT code AS name FROM purchase_order_now"),
          plans(c, "plan", "SELECT code AS name FROM plan_now"), brews(c, "brew", "SELECT code AS name FROM brew_now"),
          packages(c, "package", "SELECT code AS name FROM package_now") {}
    Register items, instruments, brewhouses, recipes, tanks, suppliers, lots, orders, plans, brews, packages;
};

void add_all(Registers& known, const Book& part) {
    for (const auto& item : part.items) known.items.add(item.name);
    for (const auto& instrument : part.instruments) known.instruments.add(instrument.name);
    for (const auto& brewhouse : part.brewhouses) known.brewhouses.add(brewhouse.name);
    for (const auto& recipe : part.recipes) known.recipes.add(recipe.name);
    for (const auto& tank : part.tanks) known.tanks.add(tank.name);
    for (const auto& supplier : part.suppliers) known.suppliers.add(supplier.name);
    for (const auto& lot : part.lots) known.lots.add(lot.code);
    for (const auto& order : part.orders) known.orders.add(order.code);
    for (const auto& plan : part.plans) known.plans.add(plan.code);
    for (const auto& brew : part.brews) known.brews.add(brew.code);
    for (const auto& package : part.packages) known.packages.add(package.code);
    for (const auto& lot : part.lots) known.suppliers.mention(lot.supplier);
    for (const auto& offer : part.offers) known.suppliers.mention(offer.supplier);
    for (const auto& order : part.orders) known.suppliers.mention(order.supplier);
}

void require_of_definitions(Registers& known, const Book& part) {
    for (const auto& item : part.items)
        for (const auto& other : item.stands_for) known.items.require(other.item, called("item", item.name));
    for (const auto& brewhouse : part.brewhouses)
        for (const auto& vessel : brewhouse.vessels) {
            const auto whose = called("brewhouse", brewhouse.name);
            known.instruments.require(vessel.volume_instrument, whose);
            known.instruments.require(vessel.gravity_instrument, whose);
        }
    for (const auto& recipe : part.recipes) {
        const auto whose = called("recipe", recipe.name);
        for (const auto& line : recipe.grist) known.items.require(line.item, whose);
        for (const auto& line : recipe.hops) known.items.require(line.item, whose);
        for (const auto& line : recipe.others) known.items.require(line.item, whose);
    }
    for (const auto& offer : part.offers) known.items.require(offer.item, fmt::format("offer of {}", offer.supplier));
    for (const auto& order : part.orders) {
        const auto whose = called("order", order.code);
        for (const auto& line : order.lines) known.items.require(line.item, whose);
        for (const auto& lot : order.received) known.lots.require(lot, whose);
    }
}

void require_of_stock(Registers& known, const Book& part) {
    for (const auto& lot : part.lots) {
        const auto whose = called("lot", lot.code);
        known.items.require(lot.item, whose);
        known.brews.require(lot.harvested_from, whose);
        for (const auto& source : lot.made_from) known.lots.require(source.lot, whose);
    }
    for (const auto& plan : part.plans) {
        const auto whose = called("plan", plan.code);
        known.recipes.require(plan.recipe, whose);
        known.brewhouses.require(plan.brewhouse, whose);
        known.tanks.require(plan.tank, whose);
        known.plans.require(plan.yeast_of_plan, whose);
        known.brews.require(plan.yeast_of_brew, whose);
        for (const auto& reservation : plan.reserved) {
            known.lots.require(reservation.lot, whose);
            known.items.require(reservation.instead_of, whose);
        }
    }
}

void require_of_movement(Registers& known, const Movement& movement) {
    if (known.lots.holds(movement.lot) && (!movement.brew || known.brews.holds(*movement.brew))) return;
    const auto whose = fmt::format("{} of {}", word(movement.kind), to_iso(movement.on));
    known.lots.require(movement.lot, whose);
    known.brews.require(movement.brew, whose);
}

void require_of_brew(Registers& known, const Brew& brew) {
    const auto whose = called("brew", brew.code);
    known.brewhouses.require(brew.brewhouse, whose);
    known.recipes.require(brew.recipe, whose);
    known.plans.require(brew.plan, whose);
    known.brews.require(brew.fermented_with, whose);
    for (const auto& addition : brew.additions) {
        known.lots.require(addition.lot, whose);
        known.instruments.require(addition.mass_instrument, whose);
        known.items.require(addition.instead_of, whose);
        known.packages.require(addition.package, whose);
    }
    for (const auto& unused : brew.unused) known.lots.require(unused.lot, whose);
    for (const auto& reading : brew.readings) {
        known.instruments.require(reading.volume_instrument, whose);
        known.instruments.require(reading.gravity_instrument, whose);
    }
}

} // namespace

std::string called(std::string_view what, std::string_view name) {
    return fmt::format("{} `{}`", what, name);
}

void check_names(Connection& connection, const Book& part) {
    Registers known(connection);
    add_all(known, part);
    require_of_definitions(known, part);
    require_of_stock(known, part);
    for (const auto& movement : part.movements) require_of_movement(known, movement);
    for (const auto& brew : part.brews) require_of_brew(known, brew);
    for (const auto& package : part.packages) known.brews.require(package.brew, called("package", package.code));
    for (const auto& tank : part.tanks) known.brews.require(tank.holds, called("tank", tank.name));
}

} // namespace lotwort::store
