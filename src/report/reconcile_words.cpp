#include "reconcile_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::report {

namespace {

std::string share_text(const Estimate& share) {
    return fixed(100.0 * share.value, decimals_for(100.0 * share.sd) > 0 ? 1 : 0);
}

std::string span_text(const Estimate& share) {
    return interval(100.0 * share.low, 100.0 * share.high, 100.0 * share.sd, "%");
}

std::string yield_sentence(const Reconciliation& result) {
    const auto& brewhouse = result.efficiencies.brewhouse;
    if (!brewhouse.estimate)
        return fmt::format("Nothing can be said of the brewhouse efficiency: {}.\n", brewhouse.reason);
    const auto& e = *brewhouse.estimate;
    const bool poor = e.sd > 0.05;
    return fmt::format("Brewhouse efficiency {} %: 9 times in 10 it lies within {}{}.\n", share_text(e), span_text(e),
                       poor ? ", so it is poorly known" : "");
}

std::string without_sentence(const Suspect& suspect) {
    const auto& without = suspect.efficiencies_without.brewhouse.estimate;
    if (!without) return "";
    return fmt::format(" Without it the efficiency would be {} % ({}).", share_text(*without), span_text(*without));
}

// What the figures stand on, where not all that was read agrees.
std::string stands_on(const Reconciliation& result) {
    if (result.answered_without.empty()) return "With every reading as it stands: ";
    return fmt::format("No brew fits all of it. Without {}: ", fmt::join(result.answered_without, ", "));
}

} // namespace

std::string chance_text(double p) {
    constexpr double most = 10'000.0;
    const double times = 1.0 / std::max(p, 1e-9);
    if (times > most) return "by chance less than once in 10,000";
    const double step = std::pow(10.0, std::floor(std::log10(times)) - 1.0); // two digits
    return fmt::format("by chance once in {:.0f}", std::round(times / std::max(step, 1.0)) * std::max(step, 1.0));
}

std::array<NamedEfficiency, 5> named(const Efficiencies& e) {
    return {{{"conversion", "conversion", e.conversion},
             {"lauter", "lauter", e.lauter},
             {"kettle_yield", "kettle yield", e.kettle_yield},
             {"transfer", "transfer", e.transfer},
             {"brewhouse", "brewhouse", e.brewhouse}}};
}

std::pair<std::string, std::string> words_of_quantity(const std::string& name) {
    if (name == "alcohol_abv_pct") return {"alcohol by volume", "pct"};
    if (name == "wort_retained_l") return {"left in the grain", "l"};
    if (name == "boil_off_l") return {"boiled off", "l"};
    if (name == "kettle_loss_l") return {"left in the kettle", "l"};
    if (name == "fermenter_l") return {"in the fermenter", "l"};
    const auto tail = name.rfind('_');
    std::string said = name.substr(0, tail);
    for (char& c : said)
        if (c == '_') c = ' ';
    std::string unit = tail == std::string::npos ? "" : name.substr(tail + 1);
    if (unit == "sg" && !said.ends_with("gravity")) said += " gravity";
    return {said, unit};
}

int decimals_of_unit(std::string_view unit) {
    if (unit == "sg") return 4;
    if (unit == "kg" || unit == "1") return 3;
    return 2;
}

std::string shown_unit(std::string_view unit) {
    if (unit == "l") return "L";
    if (unit == "c") return "°C";
    if (unit == "plato") return "°P";
    if (unit == "brix") return "°Bx";
    if (unit == "pct") return "%";
    if (unit == "sg" || unit == "1") return "";
    return std::string(unit);
}

std::string subject(const Suspect& suspect) {
    if (suspect.is_expectation) return fmt::format("what is expected of {}", suspect.point);
    return fmt::format("the {} {} ({})", suspect.point, suspect.kind, suspect.reading);
}

std::vector<std::string> not_told_from(const Suspect& suspect) {
    constexpr std::string_view expectation = "expect:";
    std::vector<std::string> said = suspect.cannot_be_told_from;
    for (std::string& id : said)
        if (id.starts_with(expectation))
            id = "what is expected of " + id.substr(expectation.size(), id.find(' ') - expectation.size());
    return said;
}

std::string likely_error(const Suspect& suspect) {
    if (!suspect.impossible.empty()) return "it cannot be: " + suspect.impossible;
    const std::string size = with_sd(std::abs(suspect.likely_error), suspect.likely_error_sd, shown_unit(suspect.unit),
                                     decimals_of_unit(suspect.unit));
    // an error is read minus true: what was expected too high was in truth less
    if (suspect.is_expectation)
        return fmt::format("likely {} {} than expected", size, suspect.likely_error > 0.0 ? "less" : "more");
    return fmt::format("likely read {} too {}", size, suspect.likely_error > 0.0 ? "high" : "low");
}

std::optional<double> said_of(const Suspect& suspect, double figure) {
    return suspect.impossible.empty() ? std::optional(figure) : std::nullopt;
}

std::string set_aside_line(const std::string& brew, const std::vector<Suspect>& suspects) {
    if (suspects.empty()) return "";
    const Suspect& first = suspects.front();
    if (first.is_expectation) {
        const bool unwritten = (first.point == "top-up" || first.point == "kettle-liquor") && first.likely_error < 0.0;
        if (!unwritten || first.is_swapped) return "";
        const std::string before = first.in_reading.empty() ? "" : " --before " + shell_word(first.in_reading);
        return fmt::format("If liquor was added: lotwort measure {} {} {}L{}\n", shell_word(brew), first.point,
                           fixed(-first.likely_error, 1), before);
    }
    // a reading of another brew of the fermenter is told by that brew's code
    const auto colon = first.reading.find(':');
    const std::string whose = colon == std::string::npos ? brew : first.reading.substr(0, colon);
    const std::string id = colon == std::string::npos ? first.reading : first.reading.substr(colon + 1);
    return fmt::format("To leave it out: lotwort measure {} --set-aside {} --reason \"misread\"\n", shell_word(whose),
                       shell_word(id));
}

std::string agreement_sentence(const Reconciliation& result) {
    const auto& test = result.test;
    if (result.readings_used == 0 && !result.suspects.empty())
        return "Nothing that was read can be used: these are the forecast's figures.\n";
    if (result.readings_used == 0 && result.quantities.empty()) return ""; // no malt, nothing to balance: read or not
    if (result.readings_used == 0) return "Nothing has been read yet: these are the forecast's figures.\n";
    if (!test.p_value) return "The readings cannot be held against each other: there is none to spare.\n";
    const std::string expected = result.others == 0 ? "what the brewhouse is expected to do"
                                                    : fmt::format("what {} other brew{} led to expect", result.others,
                                                                  result.others == 1 ? "" : "s");
    if (test.passed)
        return fmt::format("The {} reading{} and {} agree.\n", result.readings_used,
                           result.readings_used == 1 ? "" : "s", expected);
    return fmt::format("The readings contradict each other ({}).\n", chance_text(*test.p_value));
}

std::string suspect_sentence(const Reconciliation& result) {
    if (result.suspects.empty()) return "";
    const Suspect& first = result.suspects.front();
    std::string text = fmt::format("Strongest suspect: {}, {}.", subject(first), likely_error(first));
    if (!first.cannot_be_told_from.empty())
        text += fmt::format(" It cannot be told from {}.", fmt::join(not_told_from(first), ", "));
    if (!first.looks_like.empty()) text += fmt::format(" It looks like {}.", first.looks_like.front());
    // where the answer is without it already, its own sentence follows
    const bool answered = std::ranges::find(result.answered_without, first.reading) != result.answered_without.end();
    return text + (answered ? "" : without_sentence(first)) + "\n";
}

std::string verdict(const ReconciledBrew& brew) {
    const auto& result = brew.result;
    const std::string beyond = result.beyond_original.empty() ? "" : result.beyond_original + "\n";
    if (result.suspects.empty()) return beyond + yield_sentence(result) + agreement_sentence(result);
    // what is wrong comes before a figure that rests on it
    return beyond + agreement_sentence(result) + suspect_sentence(result) +
           set_aside_line(result.brew, result.suspects) + stands_on(result) + yield_sentence(result);
}

} // namespace lotwort::report
