#include "borrow.hpp"
#include "cards.hpp"
#include "effect.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/plan/stand_in.hpp>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort::plan {

namespace {

bool serves(const Lot& lot, const std::string& item, Date day, bool allow_past_best) {
    return lot.item == item && lot.received <= day && !lot.held &&
           (allow_past_best || !lot.best_before || *lot.best_before >= day);
}

// So much of a lot as gives what an amount of its item as known gives.
Amount like(Amount amount, double counts, double step_kg) {
    if (amount.measure != Measure::mass) return amount;
    const double kg = std::round(amount.kilograms().value() / counts / step_kg) * step_kg;
    return Amount::of(Kilograms(kg));
}

} // namespace

Lenders::Lenders(const SubstituteRequest& request, const Standing& standing) : request_(request) {
    for (const Order& order : request.orders)
        if (order.arrives)
            for (const OrderRest& rest : rest_of(order, request.lots))
                coming_.push_back({order.lines[rest.line].item, order.code, *order.arrives, rest.awaited});
    const auto claim = [&](const std::string& item, Amount amount) {
        for (Coming& come : coming_)
            if (come.item == item && come.left.measure == amount.measure) {
                const Amount part = std::min(come.left, amount);
                come.left = come.left - part;
                amount = amount - part;
            }
    };
    for (const StandingBrew& brew : standing.brews)
        for (const Gap& gap : brew.gaps) claim(gap.item, gap.from_orders);
    for (const PlanAsItStands& plan : request.others)
        for (const PlanLack& lack : plan.lacks) claim(lack.line.item, lack.from_orders);
    for (const auto* plans : {&request.plans, &request.others})
        for (const PlanAsItStands& plan : *plans) lenders_.push_back(plan.kept);
    std::ranges::stable_sort(lenders_, std::greater{}, &Plan::date);
}

std::vector<Lenders::Loan> Lenders::loans_for(const StandingBrew& brew, const Gap& gap) const {
    const BrewToFill& asked = request_.brews[brew.brew];
    const PlannedLine& line = brew.has.lines[static_cast<std::size_t>(gap.line)];
    const Item& item = *std::ranges::find(brew.items, gap.item, &Item::name);
    const double step = weighing_of(item.kind, asked.brewhouse).step_kg;
    std::vector<Loan> loans;
    std::vector<Amount> coming;
    for (const Coming& come : coming_) coming.push_back(come.left);
    Amount missing = gap.missing;
    for (std::size_t l = 0; l < lenders_.size(); ++l) {
        if (lenders_[l].date <= asked.date) continue;
        for (std::size_t r = 0; r < lenders_[l].reserved.size(); ++r) {
            const Reservation& held = lenders_[l].reserved[r];
            const auto state = std::ranges::find(request_.lots, held.lot, [](const LotState& s) { return s.lot.code; });
            if (state == request_.lots.end() || !serves(state->lot, gap.item, asked.date, request_.allow_past_best))
                continue;
            const double counts = missing.measure == Measure::mass
                                      ? counts_as(line, item, item, state->lot, asked.date).value_or(1.0)
                                      : 1.0;
            for (std::size_t c = 0; c < coming.size() && missing.units > 0; ++c) {
                if (coming_[c].item != gap.item || coming_[c].arrives > lenders_[l].date) continue;
                const Amount wanted = like(missing, counts, step);
                const Amount amount = std::min({wanted, held.amount, coming[c]});
                if (amount.units <= 0) continue;
                loans.push_back({l, r, c, amount});
                coming[c] = coming[c] - amount;
                missing.units =
                    amount == wanted ? 0 : missing.units - std::llround(counts * static_cast<double>(amount.units));
            }
        }
    }
    return missing.units > 0 ? std::vector<Loan>{} : loans;
}

void Lenders::book(const StandingBrew& brew, const Gap& gap, const Loan& loan, Plan& borrower) {
    Plan& lender = lenders_[loan.lender];
    Reservation& held = lender.reserved[loan.reservation];
    borrower.reserved.push_back({gap.line, held.lot, loan.amount});
    held.amount = held.amount - loan.amount;
    if (lender.adopted) lender.awaited.push_back({held.line, loan.amount});
    coming_[loan.coming].left = coming_[loan.coming].left - loan.amount;
    touched_.insert(lender.code);
    said_.push_back(fmt::format("{} of {} from {}, which order {} makes whole again on {}, for the missing {} of {}",
                                to_text(loan.amount), held.lot, lender.code, coming_[loan.coming].order,
                                to_iso(coming_[loan.coming].arrives), to_text(gap.missing),
                                brew.has.lines[static_cast<std::size_t>(gap.line)].item));
}

std::optional<std::string> Lenders::fill(const StandingBrew& brew, const std::set<int>& lines,
                                         SubstituteAnswer& answer) {
    const Lenders before = *this;
    said_.clear();
    touched_.clear();
    const std::string& code = request_.brews[brew.brew].code;
    Plan borrower = bare_plan(request_.brews[brew.brew]);
    borrower.adopted = brew.has.plan.adopted;
    borrower.reserved = brew.has.plan.reserved;
    if (const auto filled = std::ranges::find(answer.plans, code, &Plan::code); filled != answer.plans.end())
        borrower = *filled;
    std::vector<Lacking> coming;
    for (const Gap& gap : brew.gaps) {
        if (gap.from_orders.units > 0) coming.push_back({gap.line, gap.from_orders});
        if (gap.missing.units <= 0 || (!lines.empty() && !lines.contains(gap.line))) continue;
        const std::vector<Loan> loans = loans_for(brew, gap);
        if (loans.empty()) {
            lenders_ = before.lenders_;
            coming_ = before.coming_;
            return std::nullopt;
        }
        for (const Loan& loan : loans) book(brew, gap, loan, borrower);
    }
    std::ranges::stable_sort(borrower.reserved, {}, &Reservation::line);
    for (const Plan& lender : lenders_) {
        if (!touched_.contains(lender.code)) continue;
        std::erase_if(answer.plans, [&](const Plan& p) { return p.code == lender.code; });
        answer.plans.push_back(lender);
        std::erase_if(answer.plans.back().reserved, [](const Reservation& r) { return r.amount.units == 0; });
    }
    std::erase_if(answer.plans, [&](const Plan& p) { return p.code == code; });
    std::erase_if(answer.lines, [&](const AnswerLine& l) { return l.brew == code; });
    add_plan(request_, brew, std::move(borrower), coming, answer);
    return fmt::format("take {}", fmt::join(said_, " and "));
}

} // namespace lotwort::plan
