#include "sent_json.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/package.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

constexpr double grams_per_volume = 1.977; // carbon dioxide, of the gas's own volume at 0 °C

std::string line(std::string_view what, const std::string& value) {
    return value.empty() ? "" : wrapped(fmt::format("  {:<14} {}", what, value), 17, line_width());
}

std::string grams_per_litre(double g_per_l) {
    return fixed(g_per_l, 1) + " g/L";
}

// Who has of it and how many, in the order of the first.
std::vector<std::pair<std::string, int>> holders(const Package& package) {
    std::vector<std::pair<std::string, int>> all;
    for (const Sent& sent : package.sent) {
        const auto known = std::ranges::find(all, sent.to, &std::pair<std::string, int>::first);
        if (known == all.end())
            all.emplace_back(sent.to, sent.count);
        else
            known->second += sent.count;
    }
    std::erase_if(all, [](const auto& holder) { return holder.second == 0; });
    return all;
}

std::string strength_text(const PackagedBeer& beer) {
    if (!beer.abv_pct) return "not known: no final gravity below the original was read";
    return fmt::format("{} % by volume{}", fixed(*beer.abv_pct, 1),
                       beer.priming_abv_pct < 0.005
                           ? std::string()
                           : fmt::format(", {} of it by priming", fixed(beer.priming_abv_pct, 2)));
}

std::string primed_text(const ShownPackage& run) {
    std::vector<std::string> parts;
    for (const Primed& primed : run.primed)
        parts.push_back(fmt::format("{} of {} ({})", to_text(primed.amount), primed.lot, primed.item));
    if (parts.empty()) return "";
    return fmt::format("{}: {} of fermentable extract", fmt::join(parts, ", "),
                       grams_per_litre(run.beer.priming_g_per_l));
}

std::string gas_text(const ShownPackage& run) {
    const auto gas = run.beer.carbon_dioxide;
    if (!gas) return "";
    const std::string sum = fmt::format("{} ({} volumes)", grams_per_litre(*gas), fixed(*gas / grams_per_volume, 1));
    const auto left = run.beer.carbon_dioxide_left;
    if (!left) return sum + ", to be put in";
    return fmt::format("{}: {} stayed in beer no warmer than {} °C, {} by priming", sum, fixed(*left, 1),
                       readable(run.package.warmest.value_or(usual_warmest).value()), fixed(*gas - *left, 1));
}

std::string pressure_text(const PackagedBeer& beer) {
    if (!beer.cold_bar || !beer.warm_bar) return "";
    return fmt::format("{} bar at {} °C, {} bar at {} °C, above the air's", fixed(*beer.cold_bar, 1),
                       readable(kept_cold_c), fixed(*beer.warm_bar, 1), readable(left_warm_c));
}

std::string tank_text(const BeerLeft& tank) {
    const std::string lost =
        tank.lost.value() > 0.0 ? fmt::format(" and {} lost", litres_text(tank.lost.value())) : std::string();
    if (!tank.held)
        return fmt::format("cannot tell what is left: no volume was read in the fermenter; {} packaged{}",
                           litres_text(tank.packaged.value()), lost);
    const double left = tank.left()->value();
    const std::string of = fmt::format("of {}, with {} packaged{}", litres_text(tank.held->value()),
                                       litres_text(tank.packaged.value()), lost);
    return left < 0.0 ? fmt::format("{} more than was read: {}", litres_text(-left), of)
                      : fmt::format("{} left {}", litres_text(left), of);
}

std::string run_text(const ShownPackage& run, const std::optional<BeerLeft>& tank) {
    const Package& p = run.package;
    std::string text = wrapped(fmt::format("{}: {} of {}{}, on {}", p.code, filled_text(p), p.brew,
                                           run.recipe.empty() ? "" : ", " + run.recipe, to_iso(p.on)),
                               2);
    text += line("strength", strength_text(run.beer)) + line("primed with", primed_text(run));
    text += line("carbon dioxide", gas_text(run)) + line("pressure", pressure_text(run.beer));
    text += line("best before", date_text(p.best_before));
    const int here = p.count - sent_out(p);
    const std::string sent = sent_text(p);
    text += line("went to", sent.empty() ? "" : fmt::format("{}; {} here", sent, here));
    if (tank) text += line("in the tank", tank_text(*tank));
    return text;
}

Table table_of(const std::vector<ShownPackage>& runs) {
    Table table{{{"RUN"},
                 {"FILLED"},
                 {"BREW"},
                 {"BEER", Align::left, true},
                 {"WHAT"},
                 {"ABV %", Align::right},
                 {"HERE", Align::right},
                 {"WENT TO", Align::left, true}},
                {}};
    for (const ShownPackage& run : runs) {
        const Package& p = run.package;
        const auto abv = run.beer.abv_pct;
        table.rows.push_back({p.code, to_iso(p.on), p.brew, run.recipe,
                              fmt::format("{} {} {}", p.count, p.container.value_or("x"), to_text(Amount::of(p.each))),
                              abv ? fixed(*abv, 1) : "", std::to_string(p.count - sent_out(p)), sent_text(p)});
    }
    return table;
}

void run_json(JsonWriter& w, const ShownPackage& run) {
    const Package& p = run.package;
    w.begin_object().field("code", p.code).field("brew", p.brew);
    if (!run.recipe.empty()) w.field("recipe", run.recipe);
    w.field("packaged", p.on).field("container", p.container).field("count", p.count).field("each_l", p.each);
    w.field("volume_l", packaged_volume(p)).field("lost_l", p.lost).field("alcohol_abv_pct", run.beer.abv_pct);
    w.field("carbon_dioxide_g_per_l", run.beer.carbon_dioxide).field("warmest_c", p.warmest);
    w.field("best_before", p.best_before).field("here", p.count - sent_out(p));
    w.key("primed").begin_array();
    for (const Primed& primed : run.primed) {
        w.begin_object(JsonWriter::Layout::one_line).field("lot", primed.lot).field("item", primed.item);
        write_amount_field(w, "amount", primed.amount);
        w.field("fermentable_g", primed.fermentable_g).end_object();
    }
    w.end_array();
    sent_json(w, p);
    w.end_object();
}

} // namespace

std::string litres_text(double l) {
    return readable(std::round(l * 100.0) / 100.0) + " L";
}

void sent_json(JsonWriter& w, const Package& package) {
    w.key("sent").begin_array();
    for (const Sent& sent : package.sent)
        w.begin_object(JsonWriter::Layout::one_line)
            .field("on", sent.on)
            .field("to", sent.to)
            .field("count", sent.count)
            .end_object();
    w.end_array();
}

bool BeerLeft::is_emptied() const {
    return packaged.value() > 0.0 && (!held || left()->value() <= trub_share * held->value());
}

std::optional<Litres> BeerLeft::left() const {
    if (!held) return std::nullopt;
    return Litres(held->value() - packaged.value() - lost.value());
}

std::string filled_text(const Package& package) {
    const std::string all =
        package.count == 1 ? std::string() : fmt::format(" ({})", litres_text(packaged_volume(package).value()));
    return fmt::format("{} {} of {}{}", package.count, package.container.value_or("packages"),
                       to_text(Amount::of(package.each)), all);
}

std::string sent_text(const Package& package) {
    std::vector<std::string> parts;
    for (const auto& [whom, count] : holders(package)) parts.push_back(fmt::format("{} {}", whom, count));
    return fmt::format("{}", fmt::join(parts, ", "));
}

std::string package_text(const PackageAnswer& answer) {
    std::string text;
    if (answer.is_run)
        text = run_text(answer.runs.front(), answer.tank);
    else if (answer.runs.empty())
        text = answer.asked.empty() ? "nothing is packaged yet; next: lotwort package BREW 40 bottles 0.5L\n"
                                    : fmt::format("nothing of {} is packaged yet\n", answer.asked);
    else
        text = table_text(table_of(answer.runs));
    if (!answer.is_run && answer.tank) text += line("in the tank", tank_text(*answer.tank));
    for (const std::string& remark : answer.remarks) text += wrapped(remark, 2);
    if (answer.booked) text += booked_line(*answer.booked);
    return text;
}

std::string package_csv(const PackageAnswer& answer) {
    std::string csv = csv_row({"package", "brew", "recipe", "packaged", "container", "count", "each_l", "volume_l",
                               "alcohol_abv_pct", "carbon_dioxide_g_per_l", "best_before", "here", "sent"});
    const auto number = [](const std::optional<double>& value, int decimals) {
        return value ? fixed(*value, decimals) : std::string();
    };
    for (const ShownPackage& run : answer.runs) {
        const Package& p = run.package;
        csv += csv_row({p.code, p.brew, run.recipe, to_iso(p.on), p.container.value_or(""), std::to_string(p.count),
                        shortest(p.each.value()), shortest(packaged_volume(p).value()), number(run.beer.abv_pct, 2),
                        number(run.beer.carbon_dioxide, 2), date_text(p.best_before),
                        std::to_string(p.count - sent_out(p)), sent_text(p)});
    }
    return csv;
}

std::string package_json(const PackageAnswer& answer) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/package/1").key("packages").begin_array();
    for (const ShownPackage& run : answer.runs) run_json(w, run);
    w.end_array();
    if (answer.tank) {
        w.key("tank").begin_object().field("brews", answer.tank->brews).field("held_l", answer.tank->held);
        w.field("packaged_l", answer.tank->packaged).field("lost_l", answer.tank->lost);
        w.field("left_l", answer.tank->left()).end_object();
    }
    w.field("remarks", answer.remarks);
    if (answer.booked) booked_fields(w, *answer.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
