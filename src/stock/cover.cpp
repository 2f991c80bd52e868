#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/cover.hpp>

namespace lotwort {

namespace {

constexpr double most_days = 3653.0;

bool is_of(const DayAmount& amount, const ItemStock& stock) {
    return amount.item == stock.item && amount.amount.measure == stock.free.measure;
}

Date lasts_until(const CoverRequest& request, const ItemStock& stock, double rate) {
    std::vector<const DayAmount*> due;
    for (const DayAmount& arrival : request.arriving)
        if (is_of(arrival, stock) && arrival.on >= request.today) due.push_back(&arrival);
    std::ranges::sort(due, {}, &DayAmount::on);
    double level = static_cast<double>(std::max<std::int64_t>(stock.free.units, 0));
    Date from = request.today;
    if (request.planned_until) from = std::max(from, *request.planned_until + std::chrono::days(1));
    const auto end = [&] {
        return from + std::chrono::days(static_cast<int>(std::min(std::floor(level / rate), most_days)));
    };
    for (const DayAmount* arrival : due)
        if (arrival->on <= end()) level += static_cast<double>(arrival->amount.units);
    return end();
}

} // namespace

std::vector<Cover> stock_cover(const CoverRequest& request) {
    LOTWORT_CHECK(request.window_days >= 1);
    const Date from = request.today - std::chrono::days(request.window_days);
    std::vector<Cover> covers;
    for (const ItemStock& stock : request.stock) {
        Cover cover{stock, 0.0, std::nullopt};
        for (const DayAmount& use : request.used)
            if (is_of(use, stock) && use.on > from && use.on <= request.today)
                cover.used_a_day += static_cast<double>(use.amount.units);
        cover.used_a_day /= request.window_days;
        if (cover.used_a_day > 0.0) cover.lasts_until = lasts_until(request, stock, cover.used_a_day);
        covers.push_back(std::move(cover));
    }
    return covers;
}

} // namespace lotwort
