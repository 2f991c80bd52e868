#include "plan_remarks.hpp"
#include "pinned_lots.hpp"
#include "plan_parts.hpp"
#include "plan_yeast.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <set>

namespace lotwort {

namespace {

// What the store has taken from the hops since they were analysed, lot by lot, where it is enough to weigh by.
void remark_hops(const PlanRequest& request, PlannedBrew& out) {
    constexpr double worth_saying = 0.98;
    std::set<std::string> said;
    const std::size_t first = request.recipe.grist.size();
    for (std::size_t i = first; i < first + request.recipe.hops.size(); ++i)
        for (const Part& part : parts_of(request, out.lines[i])) {
            if (part.lot == nullptr || !said.insert(part.lot->code).second) continue;
            const HopAge age = hop_age(*part.item, *part.lot, request.date);
            if (age.analysed && age.share_left < worth_saying)
                out.remarks.push_back(fmt::format("{} is taken at {} alpha: {} % as analysed on {}, {} before",
                                                  part.lot->code, with_sd(age.alpha_pct.value, age.alpha_pct.sd, "%"),
                                                  readable(age.stated_pct.value), to_iso(*age.analysed),
                                                  counted(age.days, "day")));
            if (!age.analysed && age.stated_pct.origin == Origin::certificate)
                out.undated_alpha.push_back({part.lot->code, Percent(age.stated_pct.value)});
        }
}

std::string three_digits(double value) {
    return fmt::format("{:.{}f}", value, value < 10.0 ? 2 : value < 100.0 ? 1 : 0);
}

// How much of what is there does what the recipe's line means: "15 g of ... at 10.0 % alpha: 14 g of HA-1 at 10.8 %".
void remark_meant(const PlanRequest& request, PlannedBrew& out) {
    const Recipe& recipe = request.recipe;
    const double scale = request.volume / recipe.volume;
    const auto say = [&](const PlannedLine& line, Kilograms meant, const std::string& figure, const auto& figure_of) {
        const auto parts = parts_of(request, line);
        std::string there;
        for (const Part& part : parts)
            there += fmt::format("{}{} of {} at {}", there.empty() ? "" : ", ", to_text(part.amount), part.name(),
                                 figure_of(part));
        if (!parts.empty() && line.needed != Amount::of(meant))
            out.remarks.push_back(
                fmt::format("{} of {} at {}: {}", to_text(Amount::of(meant)), line.item, figure, there));
    };
    for (std::size_t i = 0; i < recipe.grist.size(); ++i) {
        const GristLine& line = recipe.grist[i];
        if (!line.mass || (!line.extract && !line.colour)) continue;
        const bool by_colour = is_by_colour(line, item_named(request, line.item));
        say(out.lines[i], *line.mass * scale,
            by_colour ? fmt::format("{} EBC", readable(line.colour->value()))
                      : fmt::format("{} % extract", readable(line.extract->value())),
            [&](const Part& part) {
                const MaltFigures f = figures_of(request, part);
                return by_colour ? three_digits(f.colour_ebc.value) + " EBC"
                                 : three_digits(f.extract_fine_dry_pct.value) + " %";
            });
    }
    std::set<std::string> by_mass;
    for (std::size_t i = 0; i < recipe.hops.size(); ++i) {
        const HopLine& line = recipe.hops[i];
        if (!line.mass || !line.alpha) continue;
        if (!is_bittering(line.stage, line.minutes)) {
            if (!by_mass.insert(line.item).second) continue;
            out.remarks.push_back(
                fmt::format("the {} % alpha of {} changes nothing: only hops boiled for 30 minutes or "
                            "more are weighed by it",
                            readable(line.alpha->value()), line.item));
            continue;
        }
        say(out.lines[recipe.grist.size() + i], to_kilograms(*line.mass * scale),
            fmt::format("{} % alpha", readable(line.alpha->value())),
            [&](const Part& part) { return three_digits(alpha_of(request, part).value) + " %"; });
    }
}

void remark_volume(const PlanRequest& request, PlannedBrew& out) {
    const double volume = request.volume.value(), meant = request.brewhouse.volume.value();
    if (volume > 1.25 * meant)
        out.remarks.push_back(fmt::format("{:.4g} L is more than the {:.4g} L that {} is meant for", volume, meant,
                                          request.brewhouse.name));
    if (volume < 0.4 * meant) // the tun, the kettle and the burner keep and boil off as much as of a whole brew
        out.remarks.push_back(fmt::format("{:.4g} L is little for {}, meant for {:.4g} L: what it keeps and boils off "
                                          "does not shrink with the brew, and the forecast is loose",
                                          volume, request.brewhouse.name, meant));
    const auto& into = out.forecast.volume_l;
    if (const double dry = 0.5 * std::erfc(into.value / (into.sd * std::sqrt(2.0))); into.sd > 0.0 && dry > 0.01)
        out.remarks.push_back(fmt::format("by these figures about one such brew in {:.0f} would leave nothing for the "
                                          "fermenter",
                                          std::max(2.0, 1.0 / dry)));
}

// A recipe by masses may state a gravity that they do not come to.
void remark_gravity(const PlanRequest& request, PlannedBrew& out) {
    constexpr double least = 0.004;
    const auto& meant = request.recipe.original_gravity;
    const auto& grist = request.recipe.grist;
    if (!meant || grist.empty() || std::ranges::any_of(grist, [](const GristLine& l) { return !l.mass; })) return;
    const Estimate& og = out.forecast.original_gravity_sg;
    if (og.value <= 1.0 || std::abs(og.value - meant->value()) <= std::max(least, 2.0 * og.sd)) return;
    out.remarks.push_back(fmt::format("{} is written for {:.4f}, and its masses come to {:.4f} on {}",
                                      request.recipe.name, meant->value(), og.value, request.brewhouse.name));
}

void remark_enzymes(const PlanRequest& request, PlannedBrew& out) {
    const double kg = grist_mass(request.recipe, out.lines).value();
    if (!request.recipe.diastatic_floor || kg <= 0.0) return;
    double power = 0.0;
    for (std::size_t i = 0; i < request.recipe.grist.size(); ++i)
        for (const Part& part : parts_of(request, out.lines[i]))
            power += part.amount.kilograms().value() * figures_of(request, part).diastatic_power_wk.value;
    power /= kg;
    if (power < request.recipe.diastatic_floor->value())
        out.remarks.push_back(
            fmt::format("the grist's diastatic power is about {:.0f} WK, below the recipe's {:.0f} WK", power,
                        request.recipe.diastatic_floor->value()));
}

} // namespace

void add_remarks(const PlanRequest& request, const Kit& kit, PlannedBrew& out) {
    if (request.learned) std::ranges::copy(request.learned->remarks, std::back_inserter(out.remarks));
    for (std::string& sentence : pin_remarks(request)) out.remarks.push_back(std::move(sentence));
    remark_meant(request, out);
    remark_hops(request, out);
    for (std::string& sentence : yeast_remarks(request, out)) out.remarks.push_back(std::move(sentence));
    remark_volume(request, out);
    remark_gravity(request, out);
    for (const PlannedLine& line : out.lines)
        if (line.kind == ItemKind::sugar && (line.stage == Stage::fermenter || line.stage == Stage::dry))
            out.remarks.push_back(
                fmt::format("{} goes into the fermenter: it counts in the final gravity and the alcohol, the original "
                            "gravity is of the wort before it",
                            line.item));
    out.assumed_figures = kit.assumed.size();
    remark_enzymes(request, out);
}

} // namespace lotwort
