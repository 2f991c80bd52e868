#include "substitute_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/recipe.hpp>
#include <lotwort/report/substitute.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <utility>

namespace lotwort::report {

namespace {

using plan::AnswerKind;
using plan::SubstituteAnswer;

const Lot& lot_of(const ShownSubstitution& shown, const std::string& code) {
    const auto found = std::ranges::find(shown.request->lots, code, [](const LotState& s) { return s.lot.code; });
    LOTWORT_CHECK(found != shown.request->lots.end());
    return found->lot;
}
const Lot& lot_of(const ShownSubstitution&&, const std::string&) = delete;

std::string indented(const std::string& text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const auto end = std::min(text.find('\n', at), text.size() - 1) + 1;
        out += "  " + text.substr(at, end - at);
        at = end;
    }
    return out;
}

std::string passed_over_text(const plan::Shortage& s) {
    constexpr std::size_t most = 3;
    std::string text;
    for (std::size_t i = 0; i < std::min(most, s.passed_over.size()); ++i)
        text += wrapped(fmt::format("  {} of {} not taken: {}", to_text(s.passed_over[i].amount), s.passed_over[i].lot,
                                    s.passed_over[i].why),
                        4);
    if (s.passed_over.size() > most) text += fmt::format("  {} more lots not taken\n", s.passed_over.size() - most);
    return text;
}

// Of one brew each item and the lots that were passed over; of several a sentence each.
std::string lacking_text(const std::vector<plan::Shortage>& items) {
    std::string text, sentence;
    const bool one_brew =
        std::ranges::all_of(items, [&](const plan::Shortage& s) { return s.brew == items.front().brew; });
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (one_brew) {
            text += wrapped(lacks_sentence(items[i]), 2) + passed_over_text(items[i]);
            continue;
        }
        sentence += sentence.empty() ? lacks_sentence(items[i]) : "; " + lacks_words(items[i]);
        if (i + 1 < items.size() && items[i + 1].brew == items[i].brew) continue;
        text += wrapped(std::exchange(sentence, {}), 2);
    }
    return text;
}

std::string shortages_text(const plan::Shortages& shortages, const std::vector<std::string>& due) {
    if (shortages.lines.empty() && due.empty()) return "Nothing lacks: each brew finds its own malts and hops.\n";
    std::string text = shortages.lines.empty() ? "Nothing lacks once what is on order has come.\n" : "";
    text += lacking_text(by_item(shortages));
    for (const std::string& said : due) text += wrapped((shortages.lines.empty() ? "  " : "") + said, 4);
    return text;
}

std::string how_good(const SubstituteAnswer& answer) {
    if (answer.proven_optimal) return "proven best";
    return fmt::format("within {:.2g} % of what is possible", 100.0 * answer.gap);
}

std::string lines_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    return indented(table_text(
        {{{"BREW"}, {"FOR", Align::left, true}, {"LOT"}, {"ITEM", Align::left, true}, {"AMOUNT", Align::right}, {""}},
         line_rows(shown, answer)}));
}

std::string effects_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    Table table{{{"BREW", Align::left, true},
                 {"GRAVITY", Align::right},
                 {"LITRES", Align::right},
                 {"EBC", Align::right},
                 {"IBU", Align::right},
                 {"WK", Align::right},
                 {"EXTRACT KG", Align::right}},
                effect_rows(shown, answer)};
    return table.rows.empty() ? "" : indented(table_text(table));
}

// What is said of one answer alone.
std::string notices_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    std::string text;
    const auto say = [&](const std::string& sentence) { text += wrapped("  " + sentence, 4); };
    for (const auto& brew : shown.request->brews) {
        const auto found = answer.effect.find(brew.code);
        if (found == answer.effect.end()) continue;
        say(fmt::format("{}: to notice: {}", brew.code, found->second.to_notice));
        if (found->second.hop_oil_ml)
            say(fmt::format("{}: oil of the hops that are not boiled for bitterness: {:.2g} ml", brew.code,
                            *found->second.hop_oil_ml));
    }
    if (answer.crumbs > 0)
        say(answer.crumbs == 1 ? "one lot is left with less than is worth keeping"
                               : fmt::format("{} lots are left with less than is worth keeping", answer.crumbs));
    return text;
}

std::string cost_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    const auto& first = shown.found->answers.front();
    if (&first == &answer || !plan::is_full_size(answer.kind) || !first.cost || !answer.cost) return "";
    const double more = *answer.cost - *first.cost;
    if (std::abs(more) < 0.005) return "";
    return fmt::format(" {:.2f} {} {}.", std::abs(more), shown.currency, more > 0.0 ? "dearer" : "cheaper");
}

std::string also_text(const SubstituteAnswer& answer) {
    std::string text;
    for (const AnswerKind kind : answer.also) text += fmt::format("{}{}", text.empty() ? " (also " : ", ", word(kind));
    return text.empty() ? "" : text + ")";
}

std::string answer_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    std::string text = wrapped(answer_sentence(shown, answer), 2);
    constexpr std::size_t most_reasons = 4;
    const std::size_t reasons = answer.left.size();
    const std::size_t told = shown.whole || reasons <= most_reasons + 1 ? reasons : most_reasons;
    for (std::size_t i = 0; i < told; ++i) text += wrapped("  " + answer.left[i], 4);
    if (told < reasons)
        text += fmt::format("  {} more reasons: lotwort substitute{} --show {}\n", reasons - told, shown.named,
                            word(answer.kind));
    if (!shown.whole || answer.kind == AnswerKind::buy) return text;
    text += "  " + how_good(answer) + (answer.cost ? fmt::format("; {:.2f} {}\n", *answer.cost, shown.currency) : "\n");
    return text + lines_text(shown, answer) + effects_text(shown, answer) + notices_text(shown, answer);
}

std::string remarks_text(const ShownSubstitution& shown) {
    std::string text;
    for (const auto& sentence : remark_sentences(shown)) text += wrapped(sentence, 2);
    return text.empty() ? "" : "\n" + text;
}

// Of the nearest before the answers, for it is the one that is looked for; of others behind them.
std::string none_text(const ShownSubstitution& shown, bool of_nearest) {
    std::string text;
    if (shown.found->shortages.lines.empty() || (!of_nearest && !shown.every_none)) return text;
    for (const auto& missing : shown.found->none)
        if ((missing.kind == AnswerKind::nearest) == of_nearest)
            text +=
                wrapped(fmt::format("{} {}: none: {}", number_of(missing.kind), word(missing.kind), missing.reason), 2);
    return text;
}

} // namespace

// The recipe's item; of a hop that it uses at several times, at which.
std::string used_as(const ShownSubstitution& shown, const plan::AnswerLine& take) {
    const auto brew = std::ranges::find(shown.request->brews, take.brew, &plan::BrewToFill::code);
    const std::size_t grist = brew->recipe.grist.size(), line = std::size_t(take.line);
    const auto& hops = brew->recipe.hops;
    if (line < grist || line >= grist + hops.size() || std::ranges::count(hops, take.recipe_item, &HopLine::item) < 2)
        return take.recipe_item;
    const HopLine& hop = hops[line - grist];
    return take.recipe_item + ", " + when_text(hop.stage, hop.minutes, hop.temperature, hop.days);
}

std::vector<std::vector<std::string>> line_rows(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    std::vector<std::vector<std::string>> rows;
    std::string brew;
    int line = -1;
    for (const auto& take : answer.lines) {
        const std::string& item = lot_of(shown, take.lot).item;
        const bool same_brew = take.brew == brew, same_line = same_brew && take.line == line;
        rows.push_back({same_brew ? "" : take.brew, same_line ? "" : used_as(shown, take), take.lot,
                        item == take.recipe_item ? "" : item, to_text(Amount::of(Kilograms(take.mass_kg))),
                        take.changed ? "new" : ""});
        brew = take.brew;
        line = take.line;
    }
    return rows;
}

std::vector<std::vector<std::string>> effect_rows(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    std::vector<std::vector<std::string>> rows;
    for (const auto& brew : shown.request->brews) {
        const auto found = answer.effect.find(brew.code);
        if (found == answer.effect.end()) continue;
        const plan::Effect& e = found->second;
        const plan::Effect& r = shown.found->recipe.at(brew.code);
        rows.push_back({brew.code, with_sd(e.original_gravity_sg.value, e.original_gravity_sg.sd, {}, 4),
                        with_sd(e.volume_l.value, e.volume_l.sd, {}, 1),
                        with_sd(e.colour_ebc.value, e.colour_ebc.sd, {}, 1),
                        with_sd(e.bitterness_ibu.value, e.bitterness_ibu.sd, {}, 0),
                        with_sd(e.diastatic_power_wk.value, e.diastatic_power_wk.sd, {}, 0),
                        with_sd(e.extract_kg.value, e.extract_kg.sd, {}, 2)});
        rows.push_back({"plan", fixed(r.original_gravity_sg.value, 4), fixed(r.volume_l.value, 1),
                        fixed(r.colour_ebc.value, 1), fixed(r.bitterness_ibu.value, 0),
                        fixed(r.diastatic_power_wk.value, 0), fixed(r.extract_kg.value, 2)});
    }
    return rows;
}

// A hop that lacks at three times of the boil is one thing to find.
std::vector<plan::Shortage> by_item(const plan::Shortages& shortages) {
    std::vector<plan::Shortage> items;
    for (const plan::Shortage& line : shortages.lines) {
        const auto same = std::ranges::find_if(items, [&](const plan::Shortage& known) {
            return known.brew == line.brew && known.item == line.item && known.needed.measure == line.needed.measure;
        });
        if (same == items.end()) {
            items.push_back(line);
            items.back().needed = line.needed_of_item;
            continue;
        }
        same->from_orders = same->from_orders + line.from_orders;
        same->missing = same->missing + line.missing;
    }
    return items;
}

std::string lacks_sentence(const plan::Shortage& s) {
    return fmt::format("{} on {} lacks {}", s.brew, to_iso(s.date), lacks_words(s));
}

std::string lacks_words(const plan::Shortage& s) {
    const std::string how_much = s.missing == s.needed
                                     ? fmt::format("all its {}", to_text(s.needed))
                                     : fmt::format("{} of its {}", to_text(s.missing), to_text(s.needed));
    std::string said = fmt::format("{} of {}", how_much, s.item);
    if (s.from_orders.units > 0) said += fmt::format("; {} comes by open order", to_text(s.from_orders));
    if (s.more_due) said += fmt::format("; more is due on {}", to_iso(*s.more_due));
    return said;
}

std::string answer_sentence(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    return fmt::format("{} {}{}: {}{}", number_of(answer.kind), word(answer.kind), also_text(answer), answer.sentence,
                       cost_text(shown, answer));
}

std::vector<std::string> remark_sentences(const ShownSubstitution& shown) {
    std::vector<std::string> said;
    const auto say = [&](const std::string& sentence) {
        if (std::ranges::find(said, sentence) == said.end()) said.push_back(sentence);
    };
    for (const auto& answer : shown.found->answers) {
        for (const auto& sentence : answer.opened) say(sentence);
        for (const auto& sentence : answer.says) say(sentence);
    }
    for (const auto& remark : shown.remarks) say(remark);
    return said;
}

int number_of(plan::AnswerKind kind) {
    return static_cast<int>(kind) + 1;
}

std::string substitute_text(const ShownSubstitution& shown) {
    std::string text = shortages_text(shown.found->shortages, shown.due);
    std::string answers = none_text(shown, true);
    for (std::size_t i = 0; i < shown.found->answers.size(); ++i)
        answers +=
            answer_text(shown, shown.found->answers[i]) + (i == 0 && shown.found->answers.size() > 1 ? "\n" : "");
    answers += none_text(shown, false);
    if (!answers.empty()) text += "\n" + answers;
    text += remarks_text(shown);
    if (!shown.next.empty()) text += fmt::format("\nnext: {}\n", shown.next);
    if (shown.booked != nullptr) text += booked_line(*shown.booked);
    return text;
}

std::string substitute_csv(const ShownSubstitution& shown) {
    std::string csv = csv_row({"answer", "kind", "brew", "line", "recipe_item", "lot", "item", "mass_kg", "changed"});
    for (const auto& answer : shown.found->answers)
        for (const auto& take : answer.lines)
            csv += csv_row({std::to_string(number_of(answer.kind)), std::string(word(answer.kind)), take.brew,
                            std::to_string(take.line), take.recipe_item, take.lot, lot_of(shown, take.lot).item,
                            shortest(take.mass_kg), take.changed ? "yes" : "no"});
    return csv;
}

} // namespace lotwort::report
