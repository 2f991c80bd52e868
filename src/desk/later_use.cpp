#include <algorithm>
#include <fmt/format.h>
#include <lotwort/desk/later_use.hpp>
#include <map>

namespace lotwort {

namespace {

constexpr std::chrono::days one{1}, a_year{365}, four_weeks{28};
constexpr std::size_t enough_brews = 3;
constexpr int usual_horizon = 90; // days ahead, where nobody says

double in_its_unit(Amount amount) {
    if (amount.measure == Measure::mass) return amount.kilograms().value();
    return amount.measure == Measure::volume ? amount.litres().value() : static_cast<double>(amount.units);
}

// What the brews took of each item from a day to another, both included.
std::map<std::string, double> used_between(const Desk& desk, const std::vector<Brew>& brews, Date from, Date until) {
    std::map<std::string, std::string> item_of;
    for (const LotState& state : desk.ledger.lots()) item_of[state.lot.code] = state.lot.item;
    std::map<std::string, double> used;
    for (const Brew& brew : brews)
        for (const Addition& addition : brew.additions) {
            const Date on = addition.on.value_or(brew.date);
            const auto item = item_of.find(addition.lot);
            if (item != item_of.end() && on >= from && on <= until) used[item->second] += in_its_unit(addition.amount);
        }
    return used;
}

} // namespace

void foresee_use(const Desk& desk, plan::PurchaseWish& wish) {
    wish.later.reset();
    std::vector<Brew> brews = desk.ledger.brews();
    std::erase_if(brews, [&](const Brew& brew) { return brew.date > desk.today; });
    if (brews.size() < enough_brews || brews.front().date > desk.today - four_weeks) return;
    plan::LaterUse& later = wish.later.emplace();
    later.until = desk.today + std::chrono::days(wish.horizon_days.value_or(usual_horizon));
    later.from = desk.today;
    for (const plan::BrewToFill& brew : wish.brews)
        if (!wish.horizon_days || brew.date <= later.until) later.from = std::max(later.from, brew.date);
    later.from += one;
    if (later.until < later.from) return; // the plans go further than anybody asked
    if (brews.front().date <= later.from - a_year && later.until - a_year <= desk.today) {
        later.used = used_between(desk, brews, later.from - a_year, later.until - a_year);
        later.how = "as in the same days a year before";
        return;
    }
    const Date since = std::max(brews.front().date, desk.today - a_year + one);
    const auto days = (desk.today - since).count() + 1;
    later.used = used_between(desk, brews, since, desk.today);
    for (auto& [item, amount] : later.used)
        amount *= static_cast<double>((later.until - later.from).count() + 1) / static_cast<double>(days);
    later.how = fmt::format("as the mean of the last {} days", days);
}

} // namespace lotwort
