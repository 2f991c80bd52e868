#include "order_receipt.hpp"
#include <algorithm>
#include <cstdlib>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/stock/order_rest.hpp>
#include <lotwort/stock/worth.hpp>
#include <map>
#include <set>

namespace lotwort::verbs {

namespace {

std::string days(std::int64_t number) {
    return fmt::format("{} {}", number, number == 1 ? "day" : "days");
}

std::string price_difference(const OrderedItem& ordered, const Lot& lot, const std::string& currency) {
    if (!lot.price || ordered.amount.measure != lot.received_amount.measure) return "";
    const std::int64_t off =
        lot.price->minor - price_as_ordered(ordered, lot.received_amount, {ordered.amount.measure, 0}).minor;
    if (std::abs(off) <= 1) return ""; // rounded, of what came in parts
    return fmt::format("{}: {}, {} {} than ordered", lot.item, report::money_text(*lot.price),
                       report::money_text(Money{std::abs(off)}, currency), off > 0 ? "more" : "less");
}

} // namespace

Order open_order(const Book& book, const std::string& code, const std::vector<LotState>& lots) {
    std::vector<std::string> codes;
    for (const Order& order : book.orders) {
        codes.push_back(order.code);
        if (order.code != code) continue;
        if (order.closed)
            throw Error(ErrorKind::refused, fmt::format("order {} is closed: {}", code, *order.closed),
                        "what came beside it is received without --order");
        if (!is_open(order, lots))
            throw Error(ErrorKind::refused,
                        fmt::format("all of order {} has come: {}", code, fmt::join(order.received, ", ")),
                        "what came beside it is received without --order");
        return order;
    }
    refuse_unknown("order", code, codes, "lotwort buy");
}

std::optional<OrderedItem> ordered_of(const Order& order, const std::string& item) {
    std::optional<OrderedItem> sum;
    const std::vector<Money> costs = landed_costs(order);
    for (std::size_t l = 0; l < order.lines.size(); ++l) {
        const OrderLine& line = order.lines[l];
        const auto pack = pack_of(line);
        if (line.item != item || !pack) continue;
        if (!sum) sum = OrderedItem{{pack->measure, 0}, {}};
        if (sum->amount.measure != pack->measure) continue;
        sum->amount.units += pack->units * line.packs;
        sum->cost.minor += costs[l].minor;
    }
    return sum;
}

Money price_as_ordered(const OrderedItem& ordered, Amount amount, Amount before) {
    if (ordered.amount.units <= 0) return Money{};
    return Money{value_at_cost(ordered.cost, before + amount, ordered.amount).minor -
                 value_at_cost(ordered.cost, before, ordered.amount).minor};
}

Amount came_of(const Order& order, const std::string& item, Measure measure, const std::vector<LotState>& lots) {
    Amount came{measure, 0};
    for (const OrderRest& rest : rest_of(order, lots))
        if (order.lines[rest.line].item == item && rest.received.measure == measure) came = came + rest.received;
    return came;
}

std::vector<std::string> differences(const Order& order, const std::vector<LotState>& before,
                                     const std::vector<Lot>& came, const std::string& currency) {
    std::vector<std::string> says;
    std::set<std::string> said;
    Order after = order;
    std::vector<LotState> lots = before;
    for (const Lot& lot : came) {
        after.received.push_back(lot.code);
        lots.push_back({lot, lot.received_amount, {lot.received_amount.measure, 0}});
    }
    after.closed.reset();
    std::map<std::string, Amount> received, awaited;
    const auto add = [](std::map<std::string, Amount>& sums, const std::string& item, Amount amount) {
        const auto [at, is_new] = sums.emplace(item, amount);
        if (!is_new) at->second = at->second + amount;
    };
    for (const OrderRest& rest : rest_of(after, lots)) {
        add(received, order.lines[rest.line].item, rest.received);
        add(awaited, order.lines[rest.line].item, rest.awaited);
    }
    for (const Lot& lot : came) {
        const std::string& item = lot.item;
        const auto ordered = ordered_of(order, item);
        if (!ordered || !said.insert(item).second) continue;
        const Amount all = received[item];
        if (ordered->amount < all)
            says.push_back(fmt::format("{}: {} more than the {} ordered", item, to_text(all - ordered->amount),
                                       to_text(ordered->amount)));
        else if (all < ordered->amount)
            says.push_back(fmt::format("{}: {} of {} ordered; {} {}", item, to_text(all), to_text(ordered->amount),
                                       to_text(awaited[item]), order.closed ? "will not come" : "is still awaited"));
    }
    for (const Lot& lot : came)
        if (const auto ordered = ordered_of(order, lot.item))
            if (const auto text = price_difference(*ordered, lot, currency); !text.empty() && said.insert(text).second)
                says.push_back(text); // of equal packs once
    if (order.arrives && !came.empty() && came.front().received > *order.arrives)
        says.push_back(fmt::format("{} after it was due", days((came.front().received - *order.arrives).count())));
    return says;
}

std::vector<std::string> awaited_again(const Book& book, std::vector<LotState> lots, const std::string& lot,
                                       Amount returned) {
    std::vector<std::vector<OrderRest>> before;
    for (const Order& order : book.orders) before.push_back(rest_of(order, lots));
    std::ranges::find(lots, lot, [](const LotState& state) { return state.lot.code; })->returned += returned.units;
    std::vector<std::string> says;
    for (std::size_t o = 0; o < before.size(); ++o) {
        const Order& order = book.orders[o];
        const auto after = rest_of(order, lots);
        for (std::size_t i = 0; i < after.size(); ++i)
            if (before[o][i].awaited < after[i].awaited)
                says.push_back(fmt::format("{} of {} of order {} is awaited again; if it is not to come:\n"
                                           "  lotwort receive --order {} --no-more REASON",
                                           to_text(after[i].awaited - before[o][i].awaited),
                                           order.lines[after[i].line].item, order.code, shell_word(order.code)));
    }
    return says;
}

std::vector<std::string> overdue(const Book& book, const std::vector<LotState>& lots, Date today) {
    std::vector<std::string> says;
    for (const Order& order : book.orders) {
        if (!order.arrives || *order.arrives >= today || !is_open(order, lots)) continue;
        std::vector<std::string> awaited;
        for (const OrderRest& rest : rest_of(order, lots))
            if (rest.awaited.units > 0)
                awaited.push_back(fmt::format("{} of {}", to_text(rest.awaited), order.lines[rest.line].item));
        says.push_back(fmt::format("order {} of {} was due on {}, {} ago{}{}", order.code, order.supplier,
                                   to_iso(*order.arrives), days((today - *order.arrives).count()),
                                   awaited.empty() ? "" : ": ", fmt::join(awaited, ", ")));
    }
    return says;
}

} // namespace lotwort::verbs
