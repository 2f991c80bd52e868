#include "references.hpp"
#include "exchange_fields.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/stock/rules.hpp>
#include <set>
#include <unordered_map>
#include <unordered_set>

namespace lotwort {

namespace {

// The names of one kind of record.
class Names {
public:
    template <class Record>
    Names(std::string_view kind, const std::vector<Record>& file, const std::vector<Record>& ledger) : kind_(kind) {
        for (const auto* list : {&file, &ledger})
            for (const Record& record : *list) known_.insert(NameOf<Record>::of(record));
    }
    [[nodiscard]] bool holds(std::string_view name) const { return known_.contains(name); }
    [[nodiscard]] std::string unknown(std::string_view name, bool suggest) const {
        std::string what = fmt::format("no {} is called `{}`, neither in the file nor in the ledger", kind_, name);
        if (!suggest) return what;
        std::vector<std::string_view> names(known_.begin(), known_.end());
        std::sort(names.begin(), names.end());
        return what + suggestion(name, names);
    }

private:
    std::string_view kind_;
    std::unordered_set<std::string_view> known_;
};

class ReferenceCheck {
public:
    ReferenceCheck(const Book& file, const Book& ledger, std::string_view source, const Places& places,
                   std::optional<Date> today)
        : file_(file), ledger_(ledger), source_(source), places_(places), today_(today),
          items_("item", file.items, ledger.items), instruments_("instrument", file.instruments, ledger.instruments),
          brewhouses_("brewhouse", file.brewhouses, ledger.brewhouses), lots_("lot", file.lots, ledger.lots),
          recipes_("recipe", file.recipes, ledger.recipes), brews_("brew", file.brews, ledger.brews),
          plans_("plan", file.plans, ledger.plans), tanks_("tank", file.tanks, ledger.tanks),
          packages_("package", file.packages, ledger.packages) {
        for (const auto* book : {&ledger, &file}) {
            for (const Lot& lot : book->lots) measures_[lot.code] = lot.received_amount.measure;
            for (const Item& item : book->items) records_[item.name] = &item;
            for (const Brew& brew : book->brews) brewed_[brew.code] = brew.date;
            for (const Package& package : book->packages) packaged_[package.code] = &package;
        }
        for (const Movement& movement : file.movements)
            if (movement.reverses) originals_[*movement.reverses] = nullptr;
        for (const Movement& movement : file.movements)
            if (is_taken_back(movement)) originals_[*movement.id] = &movement;
    }

    FaultLines run() {
        definitions();
        alike("items", "item", file_.items, ledger_.items);
        alike("lots", "lot", file_.lots, ledger_.lots);
        each("brews", file_.brews, [&](const Brew& brew) { check_brew(brew); });
        each("packages", file_.packages, [&](const Package& package) { check_package(package); });
        each("plans", file_.plans, [&](const Plan& plan) { check_plan(plan); });
        each("tanks", file_.tanks, [&](const Tank& tank) { check_tank(tank); });
        each("movements", file_.movements, [&](const Movement& movement) { check_movement(movement); });
        return std::move(lines_);
    }

private:
    // Of each record in turn; what is told meanwhile is told with its place.
    template <class Record, class Look>
    void each(std::string_view list, const std::vector<Record>& records, Look&& look) {
        for (std::size_t i = 0; i < records.size(); ++i) {
            place_ = [this, list, i] { return places_.of(list, i); };
            look(records[i]);
        }
    }
    void line(std::string_view where, std::string_view what) {
        lines_.add([&] { return fmt::format("{}{}: {}: {}", source_, place_(), where, what); });
    }
    // A name is told of once, where it stands first. Beyond the lines that are told, the nearest name would be
    // looked for in vain.
    void unknown(const Names& names, const std::string& name, const std::string& where) {
        if (told_.emplace(&names, name).second) line(where, names.unknown(name, lines_.is_told()));
    }
    void known(const Names& names, const std::string& name, const std::string& where) {
        if (!names.holds(name)) unknown(names, name, where);
    }
    void known(const Names& names, const std::optional<std::string>& name, const std::string& where) {
        if (name) known(names, *name, where);
    }
    void known_amount(const std::string& lot, Amount amount, const std::string& where) {
        known(lots_, lot, where);
        const auto measure = measures_.find(lot);
        if (measure != measures_.end() && measure->second != amount.measure)
            line(where, fmt::format("{} of lot `{}`, which is kept {}", to_text(amount), lot,
                                    measure->second == Measure::mass     ? "by mass"
                                    : measure->second == Measure::volume ? "by volume"
                                                                         : "by the piece"));
    }

    void happened(std::string_view what, Date day, const std::string& where) {
        if (today_ && *today_ < day) line(where, fmt::format("{} on {}, a day that has not come", what, to_iso(day)));
    }
    // Whoever types one of them would be given the other.
    template <class Record>
    void alike(std::string_view list, std::string_view kind, const std::vector<Record>& file,
               const std::vector<Record>& ledger) {
        std::unordered_map<std::string, std::string_view> known;
        for (const Record& record : ledger)
            known.emplace(lowered(NameOf<Record>::of(record)), NameOf<Record>::of(record));
        each(list, file, [&](const Record& record) {
            const std::string_view name = NameOf<Record>::of(record);
            const auto other = known.emplace(lowered(name), name).first;
            if (other->second != name)
                line(fmt::format("{} {}", kind, name),
                     fmt::format("differs from `{}` in capitals alone", other->second));
        });
    }

    void check_lot(const Lot& lot) {
        const std::string where = "lot " + lot.code;
        known(items_, lot.item, where);
        known(brews_, lot.harvested_from, where);
        for (const Portion& source : lot.made_from) known_amount(source.lot, source.amount, where + ", made_from");
        happened("received", lot.received, where);
        if (lot.opened) happened("opened", *lot.opened, where);
        if (lot.certificate && lot.certificate->analysed) happened("analysed", *lot.certificate->analysed, where);
        for (const Retest& retest : lot.retests) happened("retested", retest.on, where);
        const auto item = records_.find(lot.item);
        if (item != records_.end())
            check_fit(lot, *item->second, [&](std::string_view, std::string_view what) { line(where, what); });
        const auto brewed = lot.harvested_from ? brewed_.find(*lot.harvested_from) : brewed_.end();
        if (brewed != brewed_.end() && lot.received < brewed->second)
            line(where, fmt::format("harvested on {} from {}, which was brewed on {}", to_iso(lot.received),
                                    *lot.harvested_from, to_iso(brewed->second)));
    }
    void definitions() {
        each("items", file_.items, [&](const Item& item) {
            for (const StandIn& other : item.stands_for)
                known(items_, other.item, "item " + item.name + ", stands_for");
        });
        each("brewhouses", file_.brewhouses, [&](const Brewhouse& brewhouse) {
            for (const Vessel& vessel : brewhouse.vessels) {
                const std::string where = fmt::format("brewhouse {}, vessel {}", brewhouse.name, word(vessel.point));
                known(instruments_, vessel.volume_instrument, where);
                known(instruments_, vessel.gravity_instrument, where);
            }
        });
        each("lots", file_.lots, [&](const Lot& lot) { check_lot(lot); });
        each("recipes", file_.recipes, [&](const Recipe& recipe) {
            for (const GristLine& malt : recipe.grist) known(items_, malt.item, "recipe " + recipe.name + ", grist");
            for (const HopLine& hop : recipe.hops) known(items_, hop.item, "recipe " + recipe.name + ", hops");
            for (const OtherLine& other : recipe.others)
                known(items_, other.item, "recipe " + recipe.name + ", others");
        });
        each("offers", file_.offers,
             [&](const Offer& offer) { known(items_, offer.item, "offer of " + offer.supplier); });
        each("orders", file_.orders, [&](const Order& order) {
            for (const OrderLine& line : order.lines) known(items_, line.item, "order " + order.code);
            for (const std::string& lot : order.received) known(lots_, lot, "order " + order.code + ", received");
        });
    }

    void check_brew(const Brew& brew) {
        const std::string where = "brew " + brew.code;
        happened("brewed", brew.date, where);
        known(brewhouses_, brew.brewhouse, where);
        known(recipes_, brew.recipe, where);
        known(plans_, brew.plan, where);
        known(brews_, brew.fermented_with, where);
        for (const Addition& addition : brew.additions) {
            known_amount(addition.lot, addition.amount, where + ", additions");
            known(instruments_, addition.mass_instrument, where + ", additions");
            known(items_, addition.instead_of, where + ", additions");
            check_primed(brew, addition, where + ", additions");
            if (addition.on) happened("added", *addition.on, where + ", additions");
        }
        for (const Unused& unused : brew.unused) {
            known_amount(unused.lot, unused.amount, where + ", unused");
            happened("back in stock", unused.on, where + ", unused");
        }
        for (const Reading& reading : brew.readings) {
            if (reading.on) happened("read", *reading.on, where + ", reading " + reading.id);
            known(instruments_, reading.volume_instrument, where + ", reading " + reading.id);
            known(instruments_, reading.gravity_instrument, where + ", reading " + reading.id);
        }
    }

    void check_primed(const Brew& brew, const Addition& addition, const std::string& where) {
        known(packages_, addition.package, where);
        const auto package = addition.package ? packaged_.find(*addition.package) : packaged_.end();
        if (package != packaged_.end() && package->second->brew != brew.code)
            line(where, fmt::format("package `{}` is beer of {}", *addition.package, package->second->brew));
    }

    // What the file knows beside what the ledger does: no more out than was filled, nor back than went there.
    void check_sent(const Package& package, const std::string& where) {
        Package whole = package;
        whole.sent.clear();
        const auto known = std::ranges::find(ledger_.packages, package.code, &Package::code);
        if (known != ledger_.packages.end()) whole.sent = known->sent;
        std::vector<Sent> there = whole.sent;
        for (const Sent& sent : package.sent) {
            const auto found = std::ranges::find(there, sent);
            if (found != there.end()) {
                there.erase(found);
                continue;
            }
            whole.sent.push_back(sent);
            if (sent_out(whole) > whole.count)
                return line(where, fmt::format("{} would be out of a run of {}", sent_out(whole), whole.count));
            if (sent_to(whole, sent.to) < 0)
                return line(where, fmt::format("more comes back from {} than went there", sent.to));
        }
    }

    void check_package(const Package& package) {
        const std::string where = "package " + package.code;
        known(brews_, package.brew, where);
        happened("packaged", package.on, where);
        for (const Sent& sent : package.sent) happened("sent", sent.on, where);
        const auto brewed = brewed_.find(package.brew);
        if (brewed != brewed_.end() && package.on < brewed->second)
            line(where, fmt::format("packaged on {}, but {} was brewed on {}", to_iso(package.on), package.brew,
                                    to_iso(brewed->second)));
        check_sent(package, where);
        const auto given_up = std::ranges::find_if(
            file_.brews, [&](const Brew& brew) { return brew.code == package.brew && brew.abandoned.has_value(); });
        if (given_up != file_.brews.end())
            line(where, fmt::format("{} was given up: {}", package.brew, *given_up->abandoned));
    }

    void check_tank(const Tank& tank) {
        const std::string where = "tank " + tank.name;
        known(brews_, tank.holds, where);
        if (tank.cleaned) happened("cleaned", *tank.cleaned, where);
        if (tank.since) happened("filled", *tank.since, where);
    }

    void check_plan(const Plan& plan) {
        const std::string where = "plan " + plan.code;
        known(recipes_, plan.recipe, where);
        known(brewhouses_, plan.brewhouse, where);
        known(tanks_, plan.tank, where);
        known(plans_, plan.yeast_of_plan, where);
        known(brews_, plan.yeast_of_brew, where);
        for (const Reservation& promise : plan.reserved) {
            known_amount(promise.lot, promise.amount, where + ", reserved");
            known(items_, promise.instead_of, where + ", reserved");
        }
        const auto recipe = std::ranges::find(file_.recipes, plan.recipe, &Recipe::name);
        if (recipe == file_.recipes.end()) return;
        const int weighed = static_cast<int>(recipe->grist.size() + recipe->hops.size());
        for (const Awaited& awaited : plan.awaited)
            if (awaited.line < weighed && awaited.amount.measure != Measure::mass)
                line(where + ", awaited", fmt::format("{} of line {} of {}, which is kept by mass",
                                                      to_text(awaited.amount), awaited.line, plan.recipe));
    }

    bool is_taken_back(const Movement& movement) const { return movement.id && originals_.contains(*movement.id); }

    void check_movement(const Movement& movement) {
        const auto where = [&] {
            return fmt::format("movement {} of {}", movement.id.value_or("without id"), to_iso(movement.on));
        };
        if (!lots_.holds(movement.lot) || measures_.at(movement.lot) != movement.change.measure)
            known_amount(movement.lot, movement.change, where());
        if (today_ && *today_ < movement.on) happened("booked", movement.on, where());
        // what has been taken back may have gone into a brew that was taken back with it
        if (movement.brew && !is_taken_back(movement) && !brews_.holds(*movement.brew))
            unknown(brews_, *movement.brew, where());
        if (!movement.reverses) return;
        const Movement* const original = originals_.at(*movement.reverses);
        if (original == nullptr)
            return line(where(), fmt::format("the file has no movement `{}` to take back", *movement.reverses));
        const Movement& first = *original;
        if (first.kind == MovementKind::reversal)
            line(where(), fmt::format("`{}` is a reversal itself and cannot be reversed", *movement.reverses));
        else if (first.lot != movement.lot || first.on != movement.on || first.change.units != -movement.change.units)
            line(where(), fmt::format("not the opposite of `{}`: the same lot and day, and {}", *movement.reverses,
                                      to_text(-first.change)));
        else if (!reversed_.insert(*movement.reverses).second)
            line(where(), fmt::format("`{}` is reversed twice", *movement.reverses));
    }

    const Book& file_;
    const Book& ledger_;
    std::string_view source_;
    const Places& places_;
    std::optional<Date> today_;
    std::function<std::string()> place_; // of the record that is looked at
    Names items_, instruments_, brewhouses_, lots_, recipes_, brews_, plans_, tanks_, packages_;
    std::unordered_map<std::string_view, Measure> measures_;
    std::unordered_map<std::string_view, const Item*> records_; // of items
    std::unordered_map<std::string_view, Date> brewed_;
    std::unordered_map<std::string_view, const Package*> packaged_;
    std::unordered_map<std::string_view, const Movement*> originals_; // the file's that are taken back; null: none such
    std::unordered_set<std::string_view> reversed_;
    std::set<std::pair<const Names*, std::string>> told_;
    FaultLines lines_;
};

} // namespace

FaultLines broken_references(const Book& file, const Book& ledger, std::string_view source, const Places& places,
                             std::optional<Date> today) {
    return ReferenceCheck(file, ledger, source, places, today).run();
}

} // namespace lotwort
