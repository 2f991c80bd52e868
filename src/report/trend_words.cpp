#include "trend_words.hpp"
#include "reconcile_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

// With its sign, but never "-0.0".
std::string sign(double share) {
    const std::string text = fixed(100.0 * share, 1);
    return text.starts_with('-') || text == "0.0" ? text : "+" + text;
}

} // namespace

std::string signed_pct(double share) {
    return sign(share) + " %";
}

std::string difference(const Estimate& e) {
    return fmt::format("{} to {} %", sign(e.low), sign(e.high));
}

LearnedWords learned_words(const std::string& name, const Estimate& e) {
    const bool share =
        name.starts_with("attenuation") || name.starts_with("conversion per") || name.starts_with("packaged");
    const double times = share ? 100.0 : 1.0;
    const char* unit = share ? "%" : "";
    return {with_sd(times * e.value, times * e.sd, unit), interval(times * e.low, times * e.high, times * e.sd, unit)};
}

namespace {

constexpr double suspect_from = 0.75; // probability from which an instrument is worth a reading

std::string probability(double p) {
    return fmt::format("{:.0f} %", std::clamp(100.0 * p, 1.0, 99.0));
}

std::string causes_of(const Drift& d) {
    std::string text;
    for (const auto& cause : d.causes)
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", cause.what, probability(cause.probability));
    return text;
}

// "From B8 on garage gives 3.9 % less of its malt (-5.1 to -2.7 %): the brewhouse's conversion 83 %, its lautering 12
// %."
std::string change_words(const Drift& d) {
    return fmt::format("From {} on {} gives {} {} of its malt ({}): {}.", d.from_brew, d.brewhouse,
                       fixed(100.0 * std::abs(d.change), 1) + " %", d.change < 0.0 ? "less" : "more",
                       difference({d.change, d.sd, d.low, d.high}), causes_of(d));
}

std::string odd_words(const LearnedLot& lot) {
    return fmt::format("Lot {} ({}) is odd: {} against its malt as usual ({}), {}; "
                       "against its certificate {} ({}).",
                       lot.lot, lot.item, signed_pct(lot.against_malt.value), difference(lot.against_malt),
                       chance_text(lot.p_value), signed_pct(lot.difference.value), difference(lot.difference));
}

std::string suspect_words(const LearnedInstrument& i) {
    if (i.is_told) return fmt::format("{}: {}.", instrument_words(i), offset_words(i));
    std::string text =
        fmt::format("{}: perhaps {}, {}", instrument_words(i), offset_words(i), probability(i.probability));
    if (!i.or_else.empty()) {
        text += "; or it is";
        for (const auto& other : i.or_else)
            text += fmt::format("{} {} ({})", &other == &i.or_else.front() ? "" : ",", other.what,
                                probability(other.probability));
    }
    return text + ". Would tell: " + would_tell(i) + ".";
}

std::string unit_of(const LearnedInstrument& i) {
    return shown_unit(i.unit);
}

int decimals_of(const LearnedInstrument& i) {
    return i.unit == "c" ? 1 : decimals_of_unit(i.unit);
}

} // namespace

std::string instrument_words(const LearnedInstrument& i) {
    constexpr std::string_view typical = "typical ";
    const std::string name = i.name.starts_with(typical) ? i.name.substr(typical.size()) : i.name;
    return i.brewhouse.empty() ? name : fmt::format("{} ({})", name, i.brewhouse);
}

std::string offset_words(const LearnedInstrument& i) {
    const int decimals = decimals_of(i);
    const std::string unit = unit_of(i).empty() ? "" : " " + unit_of(i);
    const auto signed_figure = [&](double x) {
        const std::string text = fixed(x, decimals);
        return x > 0.0 && text.find_first_of("123456789") != std::string::npos ? "+" + text : text;
    };
    const std::string size = fixed(std::abs(i.offset.value), decimals);
    const char* const side = size == fixed(0.0, decimals) ? "off" : i.offset.value < 0.0 ? "low" : "high";
    return fmt::format("{}{} {} ({} to {}{})", size, unit, side, signed_figure(i.offset.low),
                       signed_figure(i.offset.high), unit);
}

std::string would_tell(const LearnedInstrument& i) {
    if (i.unit == "sg") return "100 g of sugar in 900 g of water, which is 1.0400 at 20 °C";
    if (i.unit == "plato" || i.unit == "brix") return "100 g of sugar in 900 g of water, which is 10.0 % by weight";
    if (i.unit == "l" || i.unit == "cm") return "water weighed in";
    if (i.unit == "c") return "ice in water, which is 0 °C, and water at the boil";
    return "a weight that is known, or litres of water from a measure that is";
}

std::string check_command(const LearnedInstrument& i) {
    constexpr std::string_view typical = "typical ";
    const bool is_gravity = i.unit == "sg" || i.unit == "plato" || i.unit == "brix",
               is_stated = !i.name.starts_with(typical);
    if (!is_stated && i.unit == "l") return {}; // whose marks they are is stated first, with the vessel
    const std::string name = is_stated ? i.name : i.name.substr(typical.size());
    const std::string_view known = is_gravity       ? "10%"
                                   : i.unit == "l"  ? "20kg"
                                   : i.unit == "c"  ? "ice"
                                   : i.unit == "cm" ? "20cm"
                                                    : "5kg";
    return fmt::format("{}lotwort brewhouse check {} --known {} --read FIGURE",
                       is_stated ? "" : fmt::format("lotwort brewhouse instrument {} --kind {}; then ", name, name),
                       shell_word(name), known);
}

bool is_suspect(const LearnedInstrument& i) {
    return i.is_told || i.probability >= suspect_from;
}

std::string stated_words(const LearnedInstrument& i) {
    return fixed(i.stated_sd, decimals_of(i));
}

std::string standing_words(const LearnedInstrument& i) {
    std::string text = i.is_told ? "errs" : is_suspect(i) ? "doubted" : "";
    if (i.checks > 0) text += fmt::format("{}{} check{}", text.empty() ? "" : ", ", i.checks, i.checks == 1 ? "" : "s");
    return text;
}

std::string instruments_text(const std::vector<LearnedInstrument>& instruments) {
    Table table{{{"INSTRUMENT", Align::left, true},
                 {"READS", Align::right},
                 {"STATED ±", Align::right},
                 {"BREWS", Align::right},
                 {""}},
                {}};
    for (const auto& i : instruments)
        table.rows.push_back(
            {instrument_words(i), offset_words(i), stated_words(i), std::to_string(i.brews), standing_words(i)});
    std::string offers;
    for (const auto& i : instruments) {
        if (!i.correction) continue;
        const int decimals = decimals_of(i) + 1;
        offers += fmt::format("  lotwort brewhouse instrument {} --correction={} --bias-sd {}\n", shell_word(i.name),
                              fixed(*i.correction, decimals), fixed(i.offset.sd, decimals));
    }
    std::string checks;
    for (const auto& i : instruments)
        if (const std::string command = check_command(i); !i.is_told && is_suspect(i) && !command.empty())
            checks += wrapped("  " + command, 4);
    if (!checks.empty()) checks = "To enter what would tell:\n" + checks;
    if (!offers.empty()) offers = "To enter what is sure as your correction (readings stay as read):\n" + offers;
    return table.rows.empty() ? "" : "\n" + table_text(table) + offers + checks;
}

std::string headline(const Learning& l) {
    std::string text;
    for (const auto& d : l.drift) text += wrapped(change_words(d), 2);
    std::size_t odd = 0;
    for (const auto& lot : l.lots) {
        if (!lot.is_odd) continue;
        ++odd;
        text += wrapped(odd_words(lot), 2);
    }
    const double by_chance = odd_lot_level * static_cast<double>(l.lots.size());
    if (odd > 0 && by_chance >= 1.0)
        text += wrapped(
            fmt::format("Of {} lots, some {} would look odd by chance alone.", l.lots.size(), fixed(by_chance, 0)), 2);
    for (const auto& i : l.instruments)
        if (is_suspect(i)) text += wrapped(suspect_words(i), 2);
    return text.empty() ? "Nothing has changed, no lot is odd, and no instrument is known to err.\n" : text;
}

std::string steadiness(const Learning& l) {
    std::string text;
    constexpr int few = 3; // brews that repeat nothing
    if (!l.scales.empty() && l.brews >= few) {
        const auto& s = l.scales.front();
        text += wrapped(fmt::format("Your brews repeat within {} % ({} to {}); before any was brewed {} was taken as "
                                    "typical.",
                                    fixed(100.0 * s.value, 1), fixed(100.0 * s.low, 1), fixed(100.0 * s.high, 1),
                                    fixed(100.0 * s.prior, 1)),
                        2);
    }
    for (const auto& p : l.power)
        text += wrapped(fmt::format("{}A fall of less than {} % that began {} brews ago would not show yet; four more "
                                    "brews would show {} %.",
                                    l.power.size() > 1 ? p.brewhouse + ": " : "", fixed(100.0 * p.least, 1),
                                    p.began_ago, fixed(100.0 * p.with_four_more, 1)),
                        2);
    return text;
}

} // namespace lotwort::report
