#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/ageing_list.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/worth.hpp>
#include <tuple>

namespace lotwort {

namespace {

using report::AgeingLine;
using report::AgeingList;
using std::chrono::days;

constexpr double a_tenth_lost = 0.9;
constexpr int most_days = 7300; // what the ageing formula takes

// The first day on which no more than nine tenths of today's alpha are left; none: not within twenty years.
std::optional<Date> weak_from(const Item& item, const Lot& lot, Date today, double alpha_now) {
    const auto is_weak = [&](int after) {
        return hop_age(item, lot, today + days(after)).alpha_pct.value <= a_tenth_lost * alpha_now;
    };
    int strong = 0, weak = most_days;
    if (alpha_now <= 0.0 || !is_weak(weak)) return std::nullopt;
    while (weak - strong > 1) {
        const int middle = (strong + weak) / 2;
        (is_weak(middle) ? weak : strong) = middle;
    }
    return today + days(weak);
}

void age_hop(AgeingLine& line, const Item& item, const Lot& lot, Date today) {
    const HopAge now = hop_age(item, lot, today);
    const HopAge then = hop_age(item, lot, today + days(report::ageing_days));
    line.alpha_now = now.alpha_pct;
    line.alpha_then = then.alpha_pct;
    line.assumed = then.assumed;
    if (now.analysed) line.weak_from = weak_from(item, lot, today, now.alpha_pct.value);
}

std::optional<Money> at_stake(const AgeingLine& line, Date today) {
    if (!line.value) return std::nullopt;
    if (line.best_before && *line.best_before <= today + days(report::ageing_days)) return line.value;
    if (!line.alpha_now || line.alpha_now->value <= 0.0) return Money{};
    const double lost = 1.0 - line.alpha_then->value / line.alpha_now->value;
    return Money{std::llround(std::max(lost, 0.0) * static_cast<double>(line.value->minor))};
}

AgeingLine line_of(const Item& item, const LotState& state, Date today) {
    const Lot& lot = state.lot;
    AgeingLine line;
    line.lot = lot.code;
    line.item = lot.item;
    line.kind = item.kind;
    line.on_hand = state.on_hand;
    line.best_before = lot.best_before;
    if (lot.best_before) line.days_left = static_cast<int>((*lot.best_before - today).count());
    line.opened = lot.opened;
    line.held = lot.held;
    if (item.kind == ItemKind::hop) age_hop(line, item, lot, today);
    if (lot.price) line.value = value_at_cost(*lot.price, state.on_hand, lot.received_amount);
    line.at_stake = at_stake(line, today);
    return line;
}

auto urgency(const AgeingLine& line) {
    constexpr Date never = Date::max();
    return std::tuple(std::min(line.best_before.value_or(never), line.weak_from.value_or(never)),
                      std::string_view(line.item), std::string_view(line.lot));
}

} // namespace

AgeingList ageing_list(const std::vector<Item>& items, const std::vector<LotState>& lots,
                       const std::optional<std::string>& item, Date today, std::string currency) {
    AgeingList list;
    list.today = today;
    list.currency = std::move(currency);
    for (const LotState& state : lots) {
        if (state.on_hand.units == 0 || (item && state.lot.item != *item)) continue;
        const auto of = std::ranges::find(items, state.lot.item, &Item::name);
        LOTWORT_CHECK(of != items.end());
        AgeingLine line = line_of(*of, state, today);
        if (!line.best_before && !line.weak_from && !line.opened) {
            ++list.lots_without_date;
            continue;
        }
        list.at_stake.minor += line.at_stake.value_or(Money{}).minor;
        if (!line.value) ++list.lots_without_price;
        list.lines.push_back(std::move(line));
    }
    std::ranges::sort(list.lines, [](const AgeingLine& a, const AgeingLine& b) { return urgency(a) < urgency(b); });
    return list;
}

} // namespace lotwort
