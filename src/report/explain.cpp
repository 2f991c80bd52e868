#include "explain_words.hpp"
#include "reconcile_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/explain.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

std::string with_sign(double value, int decimals) {
    const std::string text = fixed(value, decimals);
    return value > 0.0 && text.find_first_of("123456789") != std::string::npos ? "+" + text : text;
}

namespace {

OutcomeWords words_of(const std::string& quantity) {
    if (quantity == "original_gravity_sg")
        return {"original gravity", "gravity is higher", "gravity is lower", "", 4, "GRAVITY"};
    if (quantity == "volume_l") return {"in the fermenter", "volume is larger", "volume is smaller", " L", 2, "LITRES"};
    if (quantity == "final_gravity_sg")
        return {"final gravity", "final gravity is higher", "final gravity is lower", "", 4, "FINAL"};
    return {"alcohol by volume", "alcohol is higher", "alcohol is lower", " %", 2, "ALCOHOL %"};
}

// "half of it is", "a third of it is": how people say a share of something, a part that is not quite all included.
std::string share_words(double share) {
    struct Said {
        double share;
        const char* words;
    };
    static constexpr Said known[] = {{0.1, "a tenth"},         {0.2, "a fifth"},     {0.25, "a quarter"},
                                     {1.0 / 3.0, "a third"},   {0.5, "half"},        {2.0 / 3.0, "two thirds"},
                                     {0.75, "three quarters"}, {0.9, "nine tenths"}, {1.0, "nearly all"}};
    const Said* best = known;
    for (const auto& said : known)
        if (std::abs(said.share - share) < std::abs(best->share - share)) best = &said;
    return best->words;
}

// The parts that the readings can tell, the largest first: those that made the difference, or those against it.
std::vector<const ExplainedPart*> told_parts(const ExplainedOutcome& o, bool against) {
    constexpr double worth_naming = 0.05; // of the difference
    std::vector<const ExplainedPart*> told;
    for (const auto& part : o.parts)
        if (part.told && std::abs(part.difference.value) >= worth_naming * std::abs(o.difference) &&
            (part.difference.value * o.difference > 0.0) != against)
            told.push_back(&part);
    std::ranges::sort(told, [](const auto* a, const auto* b) {
        return std::abs(a->difference.value) > std::abs(b->difference.value);
    });
    return told;
}

// What a brewer can act on: the parts that the readings can tell, then what is left, so that all of it is accounted
// for. A part alone is a share of the whole where it is less; beside others, and where it is more, it is a figure.
std::string sentence(const ExplainedOutcome& o, bool readings_agree) {
    const OutcomeWords words = words_of(o.quantity);
    const auto size = [&](double value) { return fixed(std::abs(value), words.decimals) + words.unit; };
    if (std::abs(o.difference) < 0.5 * std::pow(10.0, -words.decimals))
        return fmt::format("The {} is as forecast.", o.quantity == "volume_l"           ? "volume"
                                                     : o.quantity == "alcohol_abv_pct"  ? "alcohol"
                                                     : o.quantity == "final_gravity_sg" ? "final gravity"
                                                                                        : "gravity");
    std::string text =
        fmt::format("The {} than forecast by {}: ", o.difference >= 0.0 ? words.more : words.less, size(o.difference));
    if (!readings_agree) return text + "no share is named while the readings contradict each other.";
    const auto made = told_parts(o, false), against = told_parts(o, true);
    if (made.empty()) return text + "no part of it is larger than what your readings can tell.";
    double left = o.difference;
    const auto figure_of = [&](const ExplainedPart* part) {
        left -= part->difference.value;
        return size(part->difference.value);
    };
    const double share = made.front()->difference.value / o.difference;
    const bool is_all = size(made.front()->difference.value) == size(o.difference);
    if (made.size() == 1 && (is_all || share < 1.0)) {
        text += fmt::format("{} of it is {}", is_all ? "all" : share_words(share), made.front()->cause);
        left -= made.front()->difference.value;
    } else {
        for (std::size_t i = 0; i < made.size(); ++i)
            text += fmt::format("{}{} made {}", i == 0 ? "" : ", ", made[i]->cause, figure_of(made[i]));
    }
    for (const auto* part : against) text += fmt::format("; {} worked against it by {}", part->cause, figure_of(part));
    if (size(left) == size(0.0)) return text + ".";
    return text +
           (left * o.difference > 0.0 ? "; the rest" : fmt::format("; what worked against it, {},", size(left))) +
           " is smaller than what your readings can tell.";
}

// What is wrong comes before a split that rests on it.
std::string contradiction_text(const Explanation& explanation) {
    if (explanation.test.passed && explanation.suspects.empty()) return "";
    std::string text = explanation.test.passed ? ""
                                               : fmt::format("The readings contradict each other ({}). ",
                                                             chance_text(*explanation.test.p_value));
    if (!explanation.suspects.empty()) {
        const Suspect& first = explanation.suspects.front();
        text += fmt::format("Strongest suspect: {}, {}. ", subject(first), likely_error(first));
    }
    if (explanation.test.passed)
        text += "What follows is without it.";
    else
        text += fmt::format("What follows stands on readings that contradict each other; every part is {} times as "
                            "wide for it.",
                            fixed(explanation.widened, 1));
    return wrapped(text, 0) + set_aside_line(explanation.brew, explanation.suspects) + "\n";
}

std::string outcome_text(const ExplainedOutcome& o) {
    const OutcomeWords words = words_of(o.quantity);
    const auto figure = [&](double value) { return fixed(value, words.decimals) + words.unit; };
    const auto plato = [&](double value) {
        return o.quantity.ends_with("gravity_sg")
                   ? fmt::format(", {} °P", fixed(in_plato(normal_estimate(value, 0.0)).value, 1))
                   : "";
    };
    std::string text = fmt::format("\n{}: forecast {}{} ({} to {})\n{} {}{}, difference {}{}\n", words.name,
                                   figure(o.forecast.value), plato(o.forecast.value), figure(o.forecast.low),
                                   figure(o.forecast.high), o.outcome_was_read ? "came" : "balanced", figure(o.outcome),
                                   plato(o.outcome), with_sign(o.difference, words.decimals), words.unit);
    Table table{{{"CAUSE"}, {"PART", Align::right}, {"9 TIMES IN 10", Align::right}, {""}}, {}};
    for (const auto& part : o.parts) {
        const auto& e = part.difference;
        table.rows.push_back(
            {part.cause, with_sign(e.value, words.decimals),
             fmt::format("{} to {}", with_sign(e.low, words.decimals), with_sign(e.high, words.decimals)),
             part.told ? "" : "cannot tell"});
    }
    return text + table_text(table);
}

// "a, b and c"
std::string together(const std::vector<std::string>& words) {
    if (words.size() == 1) return words.front();
    return fmt::format("{} and {}", fmt::join(words.begin(), words.end() - 1, ", "), words.back());
}

// It differs, and no part of that is told.
bool is_untold(const ExplainedOutcome& o) {
    return std::abs(o.difference) >= 0.5 * std::pow(10.0, -words_of(o.quantity).decimals) &&
           told_parts(o, false).empty();
}

// "the volume (0.50 L smaller)"
std::string untold_words(const ExplainedOutcome& o) {
    const OutcomeWords words = words_of(o.quantity);
    const std::string_view said = o.difference >= 0.0 ? words.more : words.less; // "volume is smaller"
    const auto is = said.find(" is ");
    return fmt::format("the {} ({}{} {})", said.substr(0, is), fixed(std::abs(o.difference), words.decimals),
                       words.unit, said.substr(is + 4));
}

// What came of it, where nobody can say why: one sentence for all outcomes.
std::string differences_text(const Explanation& explanation) {
    std::vector<std::string> said;
    for (const auto& o : explanation.outcomes) said.push_back(untold_words(o));
    if (said.empty()) return "";
    return fmt::format("Of {} no share is named while the readings contradict each other.", together(said));
}

// The causes of all outcomes in one order: each outcome's own is kept.
std::vector<std::string> causes_of(const Explanation& explanation) {
    std::vector<std::string> causes;
    for (const auto& o : explanation.outcomes) {
        auto before = causes.end();
        for (auto part = o.parts.rbegin(); part != o.parts.rend(); ++part) {
            const auto known = std::ranges::find(causes, part->cause);
            before = known != causes.end() ? known : causes.insert(before, part->cause);
        }
    }
    return causes;
}

// Of which the readings tell nothing in any outcome; one alone keeps its name.
std::vector<std::string> untold_causes(const Explanation& explanation) {
    std::vector<std::string> untold = causes_of(explanation);
    for (const auto& o : explanation.outcomes)
        for (const auto& part : o.parts)
            if (part.told) std::erase(untold, part.cause);
    return untold.size() > 1 ? untold : std::vector<std::string>();
}

// Those parts put together, as one.
ExplainedOutcome with_the_rest(ExplainedOutcome o, const std::vector<std::string>& untold) {
    if (untold.empty()) return o;
    ExplainedPart rest;
    rest.cause = "the rest";
    for (const auto& part : o.parts)
        if (std::ranges::find(untold, part.cause) != untold.end()) rest.difference.value += part.difference.value;
    std::erase_if(o.parts, [&](const auto& part) { return std::ranges::find(untold, part.cause) != untold.end(); });
    o.parts.push_back(rest);
    return o;
}

// All outcomes side by side: a column each, a row a cause; in brackets what the readings cannot tell.
std::string parts_table(Explanation explanation) {
    if (explanation.outcomes.empty()) return "";
    const auto untold = untold_causes(explanation);
    for (auto& o : explanation.outcomes) o = with_the_rest(std::move(o), untold);
    Table table{{{""}}, {{"forecast"}, {"came"}}};
    const auto causes = causes_of(explanation);
    for (const auto& cause : causes) table.rows.push_back({cause});
    for (const auto& o : explanation.outcomes) {
        const OutcomeWords words = words_of(o.quantity);
        table.columns.push_back({words.heading, Align::right});
        table.rows[0].push_back(fixed(o.forecast.value, words.decimals));
        table.rows[1].push_back(fixed(o.outcome, words.decimals) + (o.outcome_was_read ? "" : "*"));
        for (std::size_t i = 0; i < causes.size(); ++i) {
            const auto part = std::ranges::find(o.parts, causes[i], &ExplainedPart::cause);
            if (part == o.parts.end()) {
                table.rows[2 + i].emplace_back();
                continue;
            }
            const std::string value = with_sign(part->difference.value, words.decimals);
            table.rows[2 + i].push_back(part->told ? value + " " : "(" + value + ")");
        }
    }
    const bool any_balanced =
        std::ranges::any_of(explanation.outcomes, [](const auto& o) { return !o.outcome_was_read; });
    return "\n" + table_text(table) +
           wrapped(
               fmt::format("(parts sum to the difference; in brackets what is smaller than the readings can tell{})",
                           any_balanced ? "; * balanced, not read" : ""),
               1);
}

} // namespace

OutcomeWords words_of_outcome(const std::string& quantity) {
    return words_of(quantity);
}

std::vector<std::string> explained_sentences(const Explanation& explanation) {
    if (!explanation.test.passed) {
        const std::string differences = differences_text(explanation);
        return differences.empty() ? std::vector<std::string>() : std::vector{differences};
    }
    std::vector<std::string> said, untold;
    for (const auto& o : explanation.outcomes)
        if (is_untold(o))
            untold.push_back(untold_words(o));
        else
            said.push_back(sentence(o, true));
    if (!untold.empty()) said.push_back(fmt::format("Of {} your readings can tell no part.", together(untold)));
    return said;
}

std::string forecast_words(const Explanation& explanation) {
    const std::string whose =
        explanation.plan.empty() ? "its forecast" : fmt::format("the forecast of its plan {}", explanation.plan);
    const int taught = explanation.learned_from_brews;
    if (taught == 0) return fmt::format("against {} by book and certificates", whose);
    return fmt::format("against {} with what {} before it taught", whose, counted(taught, "brew"));
}

std::string explain_text(const Explanation& explanation, bool full) {
    std::string text = fmt::format("{}, {}\n\n", explanation.brew, forecast_words(explanation));
    text += contradiction_text(explanation);
    for (const auto& said : explained_sentences(explanation)) text += wrapped(said, 2);
    if (!full) {
        text += parts_table(explanation);
    } else {
        for (const auto& o : explanation.outcomes) text += outcome_text(o);
        text += "(parts sum to the difference; cannot tell: smaller than the readings can tell)\n";
    }
    for (const auto& remark : explanation.remarks) text += wrapped(remark, 2);
    return text;
}

std::string explain_csv(const Explanation& explanation) {
    std::string csv =
        csv_row({"brew", "quantity", "forecast", "outcome", "difference", "cause", "part", "sd", "low", "high"});
    for (const auto& o : explanation.outcomes)
        for (const auto& part : o.parts)
            csv +=
                csv_row({explanation.brew, o.quantity, shortest(o.forecast.value), shortest(o.outcome),
                         shortest(o.difference), part.cause, shortest(part.difference.value),
                         shortest(part.difference.sd), shortest(part.difference.low), shortest(part.difference.high)});
    return csv;
}

namespace {

void trust_json(JsonWriter& w, const Explanation& explanation) {
    const GlobalTest& test = explanation.test;
    w.key("test").begin_object(JsonWriter::Layout::one_line).field("statistic", test.statistic);
    w.field("degrees_of_freedom", test.degrees_of_freedom).field("p_value", test.p_value);
    w.field("passed", test.passed).end_object().field("widened", explanation.widened).key("suspects").begin_array();
    for (const auto& s : explanation.suspects) {
        w.begin_object(JsonWriter::Layout::one_line).field("reading", s.reading).field("point", s.point);
        w.field("kind", s.kind).field("likely_error", said_of(s, s.likely_error));
        w.field("likely_error_sd", said_of(s, s.likely_error_sd)).field("unit", s.unit);
        w.field("p_value", said_of(s, s.p_value)).field("is_expectation", s.is_expectation);
        if (!s.impossible.empty()) w.field("impossible", s.impossible);
        w.end_object();
    }
    w.end_array();
}

} // namespace

std::string explain_json(const Explanation& explanation) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/explain/1").field("brew", explanation.brew);
    w.field("learned_from_brews", explanation.learned_from_brews);
    if (!explanation.plan.empty()) w.field("forecast_of_plan", explanation.plan);
    trust_json(w, explanation);
    w.key("outcomes").begin_object();
    for (const auto& o : explanation.outcomes) {
        w.key(o.quantity).begin_object().key("forecast").begin_object(JsonWriter::Layout::one_line);
        w.field("value", o.forecast.value).field("sd", o.forecast.sd).field("low", o.forecast.low);
        w.field("high", o.forecast.high).end_object().field("outcome", o.outcome);
        w.field("outcome_was_read", o.outcome_was_read).field("difference", o.difference);
        w.field("sentence", sentence(o, explanation.test.passed)).key("parts").begin_array();
        for (const auto& part : o.parts) {
            w.begin_object(JsonWriter::Layout::one_line)
                .field("cause", part.cause)
                .field("value", part.difference.value);
            w.field("sd", part.difference.sd).field("low", part.difference.low).field("high", part.difference.high);
            w.field("told", part.told).end_object();
        }
        w.end_array().end_object();
    }
    w.end_object().field("remarks", explanation.remarks).end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
