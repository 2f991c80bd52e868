#include "differences.hpp"
#include "faults.hpp"
#include "new_movements.hpp"
#include "new_readings.hpp"
#include "references.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/exchange/exchange_file.hpp>
#include <map>
#include <set>
#include <tuple>
#include <unordered_map>

namespace lotwort {

namespace {

// What an offer is known by.
auto offer_key(const Offer& offer) {
    return std::tuple(std::string_view(offer.supplier), std::string_view(offer.item), offer.pack, offer.pack_volume,
                      offer.pack_count);
}

class Difference {
public:
    Difference(const Book& file, const Book& ledger, std::string_view source, const Places& places,
               std::optional<Date> today, const UseIds& use_ids)
        : today_(today), file_(file), ledger_(ledger), source_(source), places_(places), use_ids_(use_ids) {}

    Book part() {
        FaultLines broken = broken_references(file_, ledger_, source_, places_, today_);
        is_refused_ = broken.count() > 0;
        if (!file_.currency.empty() && !ledger_.currency.empty() && file_.currency != ledger_.currency)
            conflict("", fmt::format("money in {}; the ledger is kept in {}", file_.currency, ledger_.currency));
        named("items", "item", file_.items, ledger_.items, part_.items);
        named("instruments", "instrument", file_.instruments, ledger_.instruments, part_.instruments);
        named("brewhouses", "brewhouse", file_.brewhouses, ledger_.brewhouses, part_.brewhouses);
        named("recipes", "recipe", file_.recipes, ledger_.recipes, part_.recipes);
        named("tanks", "tank", file_.tanks, ledger_.tanks, part_.tanks);
        named("plans", "plan", file_.plans, ledger_.plans, part_.plans);
        named("lots", file_.lots, ledger_.lots, part_.lots, [&](const Lot& a, const Lot& b) { grown_lot(a, b); });
        named("orders", file_.orders, ledger_.orders, part_.orders,
              [&](const Order& a, const Order& b) { same_order(a, b); });
        named("suppliers", file_.suppliers, ledger_.suppliers, part_.suppliers,
              [&](const Supplier& a, const Supplier& b) { same_supplier(a, b); });
        named("brews", file_.brews, ledger_.brews, part_.brews,
              [&](const Brew& a, const Brew& b) { grown_brew(a, b); });
        named("packages", file_.packages, ledger_.packages, part_.packages,
              [&](const Package& a, const Package& b) { grown_package(a, b); });
        offers();
        auto moved = new_movements(file_.movements, ledger_.movements, std::move(standing_), use_ids_, source_, places_,
                                   conflicts_);
        for (const Movement& use : moved.withdrawn) withdraw(use);
        for (const Use& use : moved.corrected) correct(use);
        part_.movements = std::move(moved.added);
        throw_conflicts(std::move(broken));
        return std::move(part_);
    }

private:
    void conflict(std::string_view where, std::string_view what) {
        conflicts_.add([&] { return fmt::format("{}: {}{}{}", source_, where, where.empty() ? "" : ": ", what); });
    }
    // Of the record that is looked at.
    Prefix prefix(std::string_view kind, std::string name) const {
        return [this, kind, name = std::move(name)] {
            return fmt::format("{}{}: {} {}: ", source_, places_.of(list_, index_), kind, name);
        };
    }

    // What is going to be refused need not be held twice.
    template <class Record, class Given>
    void add(std::vector<Record>& part, Given&& record) {
        if (!is_refused_) part.push_back(std::forward<Given>(record));
    }

    // Records of a new name go into the part; those of a known one go to `known`.
    template <class Record, class Known>
    void named(std::string_view list, const std::vector<Record>& file, const std::vector<Record>& ledger,
               std::vector<Record>& part, Known known) {
        list_ = list;
        std::unordered_map<std::string_view, const Record*> by_name;
        for (const Record& record : ledger) by_name[NameOf<Record>::of(record)] = &record;
        for (index_ = 0; index_ < file.size(); ++index_) {
            const Record& record = file[index_];
            const auto found = by_name.find(NameOf<Record>::of(record));
            if (found == by_name.end())
                add(part, record);
            else
                known(record, *found->second);
        }
    }
    template <class Record>
    void named(std::string_view list, std::string_view kind, const std::vector<Record>& file,
               const std::vector<Record>& ledger, std::vector<Record>& part) {
        named(list, file, ledger, part, [&](const Record& a, const Record& b) {
            list_differences(a, b, prefix(kind, std::string(NameOf<Record>::of(a))), {}, conflicts_);
        });
    }

    // A lot gains retests. The ledger may know more of it: later ones, and that it is on hold.
    void grown_lot(const Lot& file, const Lot& ledger) {
        list_differences(file, ledger, prefix("lot", file.code),
                         {"retests", file.held ? "" : "held", file.opened ? "" : "opened"}, conflicts_);
        Lot grown = ledger;
        grown.retests.clear();
        for (const Retest& retest : file.retests)
            if (std::ranges::find(ledger.retests, retest) == ledger.retests.end()) grown.retests.push_back(retest);
        if (!grown.retests.empty()) add(part_.lots, std::move(grown));
    }

    // Lots may have come of an order since.
    void same_order(const Order& file, const Order& ledger) {
        list_differences(file, ledger, prefix("order", file.code), {"received"}, conflicts_);
        for (const std::string& lot : file.received)
            if (std::ranges::find(ledger.received, lot) == ledger.received.end())
                conflicts_.add([&] {
                    return fmt::format("{}received: {} is not among the ledger's", prefix("order", file.code)(), lot);
                });
    }

    // A supplier known by name alone (a delivery named it) takes the terms the file states.
    void same_supplier(const Supplier& file, const Supplier& ledger) {
        Supplier bare;
        bare.name = ledger.name;
        if (ledger == bare && file != bare)
            part_.suppliers.push_back(file);
        else if (file != bare)
            list_differences(file, ledger, prefix("supplier", file.name), {}, conflicts_);
    }

    void grown_brew(const Brew& file, const Brew& ledger) {
        list_differences(file, ledger, prefix("brew", file.code),
                         {"additions", "readings", "unused", ledger.abandoned && file.abandoned ? "" : "abandoned"},
                         conflicts_);
        Brew grown = head_of(ledger);
        std::vector<Use> there;
        for (std::size_t i = 0; i < ledger.additions.size(); ++i) there.push_back({&ledger, i});
        for (const Addition& addition : file.additions) {
            const auto found = std::ranges::find_if(there, [&](const Use& use) {
                return !use.in_both && ledger.additions[use.addition] == addition; // each answers for one
            });
            if (found == there.end())
                grown.additions.push_back(addition);
            else
                found->in_both = true;
        }
        standing_.insert(standing_.end(), there.begin(), there.end());
        grown.readings = new_readings(file, ledger, prefix("brew", file.code), conflicts_);
        const bool ends = file.abandoned && !ledger.abandoned;
        if (ends) grown.unused = file.unused;
        if (ends) grown.abandoned = file.abandoned;
        if (!grown.additions.empty() || !grown.readings.empty() || ends) add(part_.brews, std::move(grown));
    }

    static Brew head_of(const Brew& ledger) {
        Brew head = ledger;
        head.additions.clear();
        head.readings.clear();
        head.unused.clear();
        return head;
    }

    // Its brew's head goes with what takes back a weight; one like it in the file is then another, and new.
    void correct(const Use& use) {
        const std::string& code = use.brew->code;
        if (std::ranges::find(part_.brews, code, &Brew::code) == part_.brews.end())
            add(part_.brews, head_of(*use.brew));
        const auto brew = std::ranges::find(part_.brews, code, &Brew::code);
        if (!use.in_both || brew == part_.brews.end()) return;
        brew->additions.push_back(use.brew->additions[use.addition]);
        const auto& order = std::ranges::find(file_.brews, code, &Brew::code)->additions;
        std::ranges::stable_sort(brew->additions, {}, [&](const Addition& a) { return std::ranges::find(order, a); });
    }

    // A weight that the ledger took back since is known, and not booked again.
    void withdraw(const Movement& use) {
        const auto ledger = std::ranges::find(ledger_.brews, use.brew.value_or(""), &Brew::code);
        const auto brew = std::ranges::find(part_.brews, use.brew.value_or(""), &Brew::code);
        if (ledger == ledger_.brews.end() || brew == part_.brews.end()) return;
        for (std::size_t i = 0; i < brew->additions.size(); ++i) {
            if (!is_use(use, {&*brew, i})) continue;
            brew->additions.erase(brew->additions.begin() + static_cast<std::ptrdiff_t>(i));
            break;
        }
        const bool ends = brew->abandoned && !ledger->abandoned;
        if (brew->additions.empty() && brew->readings.empty() && !ends) part_.brews.erase(brew);
    }

    // More may have gone out since, in the file or in the ledger.
    void grown_package(const Package& file, const Package& ledger) {
        list_differences(file, ledger, prefix("package", file.code), {"sent"}, conflicts_);
        Package grown = ledger;
        grown.sent.clear();
        std::vector<Sent> there = ledger.sent;
        for (const Sent& sent : file.sent) {
            const auto found = std::ranges::find(there, sent);
            if (found == there.end())
                grown.sent.push_back(sent);
            else
                there.erase(found); // each answers for one
        }
        if (!grown.sent.empty()) add(part_.packages, std::move(grown));
    }

    void offers() {
        std::map<decltype(offer_key(file_.offers[0])), const Offer*> known;
        for (const Offer& offer : ledger_.offers) known[offer_key(offer)] = &offer;
        list_ = "offers";
        for (index_ = 0; index_ < file_.offers.size(); ++index_) {
            const Offer& offer = file_.offers[index_];
            const auto found = known.find(offer_key(offer));
            if (found == known.end())
                add(part_.offers, offer);
            else
                list_differences(offer, *found->second,
                                 prefix("offer of", fmt::format("{}, {}", offer.supplier, offer.item)), {}, conflicts_);
        }
    }

    void throw_conflicts(FaultLines lines) {
        const bool names_are_known = lines.count() == 0;
        lines.append(conflicts_);
        if (lines.count() == 0) return;
        if (names_are_known && lines.count() > 1) {
            throw Error(ErrorKind::refused,
                        fmt::format("{} differs from the ledger in {} places{}", source_, lines.count(), listed(lines)),
                        "the ledger is not overwritten: give what is another thing another name in the file, or change "
                        "the record");
        }
        throw_faults(source_, lines,
                     conflicts_.count() == 0 ? ""
                                             : "the ledger is not overwritten: mend the file, or change the record");
    }

    std::optional<Date> today_;
    const Book& file_;
    const Book& ledger_;
    std::string_view source_;
    const Places& places_;
    const UseIds& use_ids_;
    std::vector<Use> standing_; // of brews that the file has too
    std::string_view list_;     // and the entry of it that is looked at
    std::size_t index_ = 0;
    bool is_refused_ = false;
    Book part_;
    FaultLines conflicts_;
};

} // namespace

Book new_in(const Book& file, const Book& ledger, std::string_view source, const Places& places,
            std::optional<Date> today, const UseIds& use_ids) {
    return Difference(file, ledger, source, places, today, use_ids).part();
}

} // namespace lotwort
