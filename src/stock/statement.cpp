#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/statement.hpp>
#include <map>
#include <tuple>

namespace lotwort {

namespace {

StockAccount empty_account(std::string item, ItemKind kind, Measure measure) {
    const Worth nothing{{measure, 0}, {}};
    StockAccount account{std::move(item), kind, nothing, nothing, {}};
    account.flows.fill(nothing);
    return account;
}

bool is_nothing(const Worth& worth) {
    return worth.amount.units == 0 && worth.value.minor == 0;
}

} // namespace

void operator+=(Worth& sum, const Worth& more) {
    sum.amount = sum.amount + more.amount;
    sum.value.minor += more.value.minor;
}

Flow flow_of(const Lot& lot, const Movement& movement) {
    switch (movement.kind) {
    case MovementKind::receipt:
        return lot.made_from.empty() && !lot.harvested_from ? Flow::received : Flow::made;
    case MovementKind::move:
        return Flow::made;
    case MovementKind::brew:
    case MovementKind::unused:
        return Flow::used;
    case MovementKind::return_to_supplier:
        return Flow::returned;
    case MovementKind::discard:
        return Flow::lost;
    case MovementKind::count:
        return movement.change.units < 0 ? Flow::lost : Flow::found;
    case MovementKind::reversal:
        break;
    }
    LOTWORT_CHECK(false); // a reversal stands for nothing
    return Flow::lost;
}

bool StockAccount::is_empty() const {
    return is_nothing(opening) && is_nothing(closing) && std::ranges::all_of(flows, is_nothing);
}

StockBooks stock_books(const std::vector<Lot>& lots, LotValues& values,
                       const std::function<ItemKind(const std::string&)>& kind_of, Date from, Date to) {
    StockBooks books;
    std::map<std::tuple<ItemKind, std::string, Measure>, StockAccount> accounts;
    for (const Lot& lot : lots) {
        const ItemKind kind = kind_of(lot.item);
        const Measure measure = lot.received_amount.measure;
        StockAccount& account =
            accounts.try_emplace({kind, lot.item, measure}, empty_account(lot.item, kind, measure)).first->second;
        Amount there{measure, 0};
        bool has_part = false;
        for (const LotValues::Step& step : values.steps(lot)) {
            const Movement& movement = step.movement;
            if (movement.on > to) continue;
            const Worth change{movement.change, step.change.value_or(Money{})};
            there = there + movement.change;
            account.closing += change;
            if (movement.on < from) {
                account.opening += change;
                continue;
            }
            const Flow flow = flow_of(lot, movement);
            account.flows[static_cast<std::size_t>(flow)] += change;
            has_part = true;
            books.postings.push_back(
                {movement.on, lot.code, lot.item, kind, lot.supplier, flow, change, movement.reason, movement.brew});
        }
        if ((has_part || there.units != 0) && !values.price(lot)) books.without_price.insert(lot.code);
    }
    for (auto& [key, account] : accounts)
        if (!account.is_empty()) books.items.push_back(std::move(account));
    std::ranges::stable_sort(books.postings, {}, &StockPosting::on);
    return books;
}

std::vector<StockAccount> by_kind(const std::vector<StockAccount>& items) {
    std::map<std::pair<ItemKind, Measure>, StockAccount> kinds;
    for (const StockAccount& item : items) {
        const Measure measure = item.opening.amount.measure;
        StockAccount& sum =
            kinds.try_emplace({item.kind, measure}, empty_account("", item.kind, measure)).first->second;
        sum.opening += item.opening;
        sum.closing += item.closing;
        for (std::size_t i = 0; i < flow_count; ++i) sum.flows[i] += item.flows[i];
    }
    std::vector<StockAccount> sums;
    for (auto& [key, sum] : kinds) sums.push_back(std::move(sum));
    return sums;
}

} // namespace lotwort
