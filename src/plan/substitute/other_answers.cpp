#include "other_answers.hpp"
#include "effect.hpp"
#include "sentence.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort::plan {

namespace {

constexpr double least_worth_brewing = 0.3; // of the volume, or of the extract
constexpr std::size_t most_days_tried = 60;

const std::string& code_of(const SubstituteRequest& request, const StandingBrew& brew) {
    return request.brews[brew.brew].code;
}
const std::string& code_of(const SubstituteRequest&&, const StandingBrew&) = delete;

// The lots as they would be without what the brew has.
std::vector<LotState> given_back(std::vector<LotState> lots, const StandingBrew& brew) {
    return without_promises(brew.has.plan, std::move(lots));
}

std::optional<PlannedBrew> drawn(const BrewToFill& brew, const std::vector<Item>& items,
                                 const std::vector<LotState>& lots) {
    try {
        return draw_up_plan(plan_request(brew, items, lots));
    } catch (const Error&) { // so small a brew has no grist that reaches its gravity
        return std::nullopt;
    }
}

void settle(SubstituteAnswer& answer, const SubstituteRequest& request) {
    answer.bound = answer.objective;
    answer.proven_optimal = true;
    add_cost(request, answer);
}

// Malt, sugar and hops make the wort; yeast, salts and finings are fetched for a brew of any size.
bool makes_wort(const PlannedLine& line) {
    return line.kind == ItemKind::malt || line.kind == ItemKind::sugar || line.kind == ItemKind::hop;
}

const PlannedLine& line_of(const StandingBrew& brew, const Gap& gap) {
    return brew.has.lines[static_cast<std::size_t>(gap.line)];
}
const PlannedLine& line_of(const StandingBrew&&, const Gap&) = delete;

// Less of what makes the wort is an answer to these alone.
bool lacks_for_wort(const StandingBrew& brew) {
    return std::ranges::any_of(brew.gaps,
                               [&](const Gap& gap) { return gap.missing.units > 0 && makes_wort(line_of(brew, gap)); });
}

// "P1: nothing is there of saaz", where a line of the brew has nothing at all.
std::string why_no_smaller(const std::string& code, const StandingBrew& brew) {
    if (!lacks_for_wort(brew)) return fmt::format("{}: none of its malts and hops lacks", code);
    std::vector<std::string> gone;
    for (const Gap& gap : brew.gaps) {
        const PlannedLine& line = line_of(brew, gap);
        if (!makes_wort(line) || !line.allotment.taken.empty() || gap.from_orders.units > 0) continue;
        if (std::ranges::find(gone, line.item) == gone.end()) gone.push_back(line.item);
    }
    if (gone.empty()) return fmt::format("{}: what is there is less than a third of it", code);
    return fmt::format("{}: nothing is there of {}", code, listed(gone));
}

// What the lines of a brew drawn up anew are short of; nothing where more of what makes the wort is short than an order
// brings by the day.
std::optional<std::vector<Lacking>> filled_by_order(const StandingBrew& brew, const PlannedBrew& made) {
    std::vector<Lacking> by_then;
    for (const PlannedLine& line : made.lines) {
        if (!line.is_short()) continue;
        if (!makes_wort(line)) {
            by_then.push_back({line.line, line.allotment.missing});
            continue;
        }
        const auto gap = std::ranges::find(brew.gaps, line.line, &Gap::line);
        if (gap == brew.gaps.end() || gap->from_orders.measure != line.allotment.missing.measure ||
            gap->from_orders < line.allotment.missing)
            return std::nullopt;
        by_then.push_back({line.line, line.allotment.missing});
    }
    return by_then;
}

// "no dry hops", where all of some time after the long boil are among what lacks; else empty.
std::string hops_lost(const BrewToFill& asked, const StandingBrew& brew) {
    const std::size_t first = asked.recipe.grist.size();
    for (const auto& [stage, words] :
         {std::pair{Stage::dry, "no dry hops"}, std::pair{Stage::stand, "no hops in the stand"},
          std::pair{Stage::boil, "no late hops"}}) {
        std::size_t lines = 0, lost = 0;
        for (std::size_t h = 0; h < asked.recipe.hops.size(); ++h) {
            const HopLine& hop = asked.recipe.hops[h];
            if (hop.stage != stage || is_bittering(hop.stage, hop.minutes)) continue;
            const PlannedLine& line = brew.has.lines[first + h];
            ++lines;
            lost += line.allotment.taken.empty() && line.is_short() ? 1 : 0;
        }
        if (lines > 0 && lost == lines) return words;
    }
    return {};
}

std::vector<Lacking> by_order(const StandingBrew& brew) {
    std::vector<Lacking> lacking;
    for (const Gap& gap : brew.gaps)
        if (gap.from_orders.units > 0) lacking.push_back({gap.line, gap.from_orders});
    return lacking;
}

// The greatest volume in tenths of a litre (litres of a large brew) that what is there fills.
std::optional<PlannedBrew> largest(const SubstituteRequest& request, const StandingBrew& brew,
                                   const std::vector<LotState>& lots) {
    BrewToFill asked = request.brews[brew.brew];
    const double whole = asked.volume.value(), step = whole > 200.0 ? 1.0 : 0.1;
    std::optional<PlannedBrew> best;
    const auto fits = [&](int steps) {
        asked.volume = Litres(steps * step);
        auto made = drawn(asked, request.items, lots);
        if (!made || !filled_by_order(brew, *made)) return false;
        best = std::move(made);
        return true;
    };
    int low = 0, high = static_cast<int>(std::ceil(whole / step - 1e-9)); // of which the high does not fit
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        (fits(middle) ? low : high) = middle;
    }
    return best;
}

} // namespace

std::optional<SubstituteAnswer> smaller_answer(const SubstituteRequest& request, const Standing& standing,
                                               const std::map<std::string, Effect>& meant, std::string& why) {
    SubstituteAnswer answer;
    answer.kind = AnswerKind::smaller;
    std::vector<LotState> lots = standing.lots;
    std::vector<std::string> parts;
    for (const StandingBrew& brew : standing.brews) {
        if (!brew.lacks()) continue;
        lots = given_back(std::move(lots), brew);
        const auto made = lacks_for_wort(brew) ? largest(request, brew, lots) : std::nullopt;
        const double whole = request.brews[brew.brew].volume.value();
        if (!made || made->plan.volume->value() < least_worth_brewing * whole) {
            for (const Reservation& kept : brew.has.plan.reserved) promise(lots, {{kept.lot, kept.amount}});
            answer.left.push_back(why_no_smaller(code_of(request, brew), brew));
            continue;
        }
        for (const PlannedLine& line : made->lines)
            if (line.is_short() && !makes_wort(line))
                answer.to_get.push_back({code_of(request, brew), line.line, line.item, line.allotment.missing});
        for (const Reservation& taken : made->plan.reserved) promise(lots, {{taken.lot, taken.amount}});
        Plan plan = made->plan;
        plan.adopted = std::string(word(AnswerKind::smaller));
        parts.push_back(
            fmt::format("{:.4g} of the {:.4g} L of {}", plan.volume->value(), whole, code_of(request, brew)));
        answer.objective -= plan.volume->value();
        add_plan(request, brew, std::move(plan), *filled_by_order(brew, *made), answer);
    }
    if (answer.plans.empty()) {
        why = fmt::format("{}", fmt::join(answer.left, "; "));
        return std::nullopt;
    }
    settle(answer, request);
    answer.sentence = with_effects(
        with_to_get(fmt::format("brew {}, the recipe as it is", fmt::join(parts, ", ")), answer), answer, meant);
    return answer;
}

std::optional<SubstituteAnswer> short_answer(const SubstituteRequest& request, const Standing& standing,
                                             const std::map<std::string, Effect>& meant, std::string& why) {
    SubstituteAnswer answer;
    answer.kind = AnswerKind::short_of_it;
    std::vector<std::string> parts;
    const bool several = std::ranges::count_if(standing.brews, &StandingBrew::lacks) > 1;
    for (const StandingBrew& brew : standing.brews) {
        if (!brew.lacks()) continue;
        if (!lacks_for_wort(brew)) {
            answer.left.push_back(fmt::format("{}: it needs what it lacks", code_of(request, brew)));
            continue;
        }
        std::vector<Lacking> coming = by_order(brew);
        std::vector<ToGet> to_get;
        std::vector<std::pair<std::string, Amount>> without; // by item
        for (const Gap& gap : brew.gaps) {
            if (gap.missing.units <= 0) continue;
            if (!makes_wort(line_of(brew, gap))) {
                coming.push_back({gap.line, gap.missing});
                to_get.push_back({code_of(request, brew), gap.line, gap.item, gap.missing});
                continue;
            }
            const auto same = std::ranges::find_if(without, [&](const auto& one) {
                return one.first == gap.item && one.second.measure == gap.missing.measure;
            });
            if (same == without.end())
                without.emplace_back(gap.item, gap.missing);
            else
                same->second = same->second + gap.missing;
        }
        Plan plan = bare_plan(request.brews[brew.brew]);
        plan.reserved = brew.has.plan.reserved;
        plan.adopted = std::string(word(AnswerKind::short_of_it));
        SubstituteAnswer with = answer;
        add_plan(request, brew, std::move(plan), coming, with);
        const double extract = with.effect.at(code_of(request, brew)).extract_kg.value;
        if (extract < least_worth_brewing * meant.at(code_of(request, brew)).extract_kg.value) {
            answer.left.push_back(fmt::format("{}: too much lacks to brew it so", code_of(request, brew)));
            continue;
        }
        answer = std::move(with);
        answer.to_get.insert(answer.to_get.end(), to_get.begin(), to_get.end());
        const std::string lost = hops_lost(request.brews[brew.brew], brew);
        answer.loses_hops = answer.loses_hops || !lost.empty();
        std::vector<std::string> words;
        for (const auto& [item, missing] : without) words.push_back(fmt::format("{} of {}", to_text(missing), item));
        parts.push_back((several ? code_of(request, brew) + " without the " : "") + listed(words) +
                        (lost.empty() ? "" : ", so with " + lost));
    }
    if (answer.plans.empty()) {
        why = fmt::format("{}", fmt::join(answer.left, "; "));
        return std::nullopt;
    }
    settle(answer, request);
    answer.sentence = with_effects(
        with_to_get(fmt::format("brew {}{}", several ? "" : "without the ", fmt::join(parts, ", ")), answer), answer,
        meant);
    return answer;
}

namespace {

// Days on which something changes for the brew, the nearest first.
std::vector<Date> days_to_try(const SubstituteRequest& request, const StandingBrew& brew) {
    std::set<Date> days;
    const Date now = request.brews[brew.brew].date;
    const auto is_wanted = [&](const std::string& item) {
        return std::ranges::find(brew.gaps, item, &Gap::item) != brew.gaps.end();
    };
    for (const LotState& state : request.lots) {
        if (!is_wanted(state.lot.item)) continue;
        days.insert(state.lot.received);
        if (state.lot.best_before) days.insert(*state.lot.best_before);
    }
    for (const Order& order : request.orders)
        if (order.arrives && std::ranges::any_of(order.lines, [&](const OrderLine& l) { return is_wanted(l.item); }))
            days.insert(*order.arrives);
    std::vector<Date> sorted;
    for (const Date day : days)
        if (day != now && day >= request.today) sorted.push_back(day);
    std::ranges::stable_sort(sorted, {}, [&](Date day) { return std::abs((day - now).count()); });
    if (sorted.size() > most_days_tried) sorted.resize(most_days_tried);
    return sorted;
}

// What open orders bring of an item by the day, beyond what they bring for the other brews.
Amount coming(const SubstituteRequest& request, const Standing& standing, const StandingBrew& moved,
              const std::string& item, Date day, Measure measure) {
    Amount sum{measure, 0};
    for (const Order& order : request.orders)
        if (order.arrives && *order.arrives <= day)
            for (const OrderRest& rest : rest_of(order, request.lots))
                if (order.lines[rest.line].item == item && rest.awaited.measure == measure) sum = sum + rest.awaited;
    for (const StandingBrew& brew : standing.brews)
        for (const Gap& gap : brew.gaps)
            if (&brew != &moved && gap.item == item && gap.from_orders.measure == measure) sum = sum - gap.from_orders;
    return sum;
}

bool is_cured(const SubstituteRequest& request, const Standing& standing, const StandingBrew& brew,
              const PlannedBrew& made, Date day) {
    return std::ranges::all_of(made.lines, [&](const PlannedLine& line) {
        const Amount missing = line.allotment.missing;
        return missing.units <= 0 || !(coming(request, standing, brew, line.item, day, missing.measure) < missing);
    });
}

} // namespace

std::optional<SubstituteAnswer> reschedule_answer(const SubstituteRequest& request, const Standing& standing,
                                                  const std::map<std::string, Effect>& meant, std::string& why) {
    SubstituteAnswer answer;
    answer.kind = AnswerKind::reschedule;
    std::vector<LotState> lots = standing.lots;
    std::vector<std::string> parts;
    for (const StandingBrew& brew : standing.brews) {
        if (!brew.lacks()) continue;
        const BrewToFill& asked = request.brews[brew.brew];
        const std::vector<LotState> without = given_back(lots, brew);
        bool cured = false;
        for (const Date day : days_to_try(request, brew)) {
            BrewToFill moved = asked;
            moved.date = day;
            const auto made = drawn(moved, request.items, without);
            if (!made || !is_cured(request, standing, brew, *made, day)) continue;
            lots = without;
            std::vector<Lacking> by_then;
            for (const PlannedLine& line : made->lines) {
                promise(lots, line.allotment.taken);
                if (line.is_short()) by_then.push_back({line.line, line.allotment.missing});
            }
            answer.moves.push_back({asked.code, asked.date, day});
            answer.objective += std::abs(double((day - asked.date).count()));
            parts.push_back(fmt::format("brew {} on {}{}", asked.code, to_iso(day),
                                        by_then.empty() ? "" : ", when what is on order is there"));
            add_plan(request, brew, made->plan, by_then, answer);
            cured = true;
            break;
        }
        if (!cured) {
            why = "no other date cures it";
            return std::nullopt;
        }
    }
    settle(answer, request);
    answer.sentence = with_effects(fmt::format("{}", fmt::join(parts, ", ")), answer, meant);
    return answer;
}

} // namespace lotwort::plan
