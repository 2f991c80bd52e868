#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
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

std::string shortages_text(const plan::Shortages& shortages, const std::vector<std::string>& due) {
    if (shortages.lines.empty() && due.empty()) return "Nothing lacks: each brew finds its own malts and hops.\n";
    std::string text = shortages.lines.empty() ? "Nothing lacks once what is on order has come.\n" : "Lacking\n";
    for (const std::string& said : due) text += wrapped("  " + said, 4);
    for (const auto& s : shortages.lines) {
        text += wrapped(fmt::format("  {} on {}: {} of {} of {}", s.brew, to_iso(s.date), to_text(s.missing),
                                    to_text(s.needed), s.item),
                        4);
        for (const auto& lot : s.passed_over)
            text += wrapped(fmt::format("    {} of {} not taken: {}", to_text(lot.amount), lot.lot, lot.why), 6);
        if (s.from_orders.units > 0) text += fmt::format("    {} comes by open order\n", to_text(s.from_orders));
        if (s.more_due) text += fmt::format("    more is due on {}\n", to_iso(*s.more_due));
    }
    for (const auto& crumb : shortages.crumbs)
        text += wrapped(
            fmt::format("  {} would be left with {}, too little to weigh out again", crumb.lot, to_text(crumb.left)),
            4);
    return text;
}

std::string_view what_it_is(AnswerKind kind) {
    switch (kind) {
    case AnswerKind::nearest:
        return "nearest to the recipe";
    case AnswerKind::cheapest:
        return "cheapest";
    case AnswerKind::oldest:
        return "oldest stock first";
    case AnswerKind::smaller:
        return "the most beer, in smaller batches";
    case AnswerKind::reschedule:
        return "another date";
    case AnswerKind::buy:
        return "what to buy";
    }
    return "";
}

std::string how_good(const SubstituteAnswer& answer) {
    if (answer.proven_optimal) return answer.gap > 1e-9 ? "proven best to 0.1 %" : "proven best";
    return fmt::format("within {:.2g} % of what is possible", 100.0 * answer.gap);
}

std::string lines_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    Table table{
        {{"  BREW"}, {"FOR", Align::left, true}, {"LOT"}, {"ITEM", Align::left, true}, {"AMOUNT", Align::right}}, {}};
    std::string brew;
    int line = -1;
    for (const auto& take : answer.lines) {
        const std::string& item = lot_of(shown, take.lot).item;
        const bool same_brew = take.brew == brew, same_line = same_brew && take.line == line;
        table.rows.push_back({same_brew ? "  " : "  " + take.brew, same_line ? "" : take.recipe_item, take.lot,
                              item == take.recipe_item ? "" : item, to_text(Amount::of(Kilograms(take.mass_kg)))});
        brew = take.brew;
        line = take.line;
    }
    return table_text(table);
}

// A brew's figures, the recipe's own below them.
std::string effects_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    Table table{{{"  BREW", Align::left, true},
                 {"GRAVITY", Align::right},
                 {"LITRES", Align::right},
                 {"EBC", Align::right},
                 {"IBU", Align::right},
                 {"WK", Align::right},
                 {"EXTRACT KG", Align::right}},
                {}};
    for (const auto& brew : shown.request->brews) {
        const auto found = answer.effect.find(brew.code);
        if (found == answer.effect.end()) continue;
        const plan::Effect& e = found->second;
        const plan::Effect& r = shown.found->recipe.at(brew.code);
        table.rows.push_back({"  " + brew.code, with_sd(e.original_gravity_sg.value, e.original_gravity_sg.sd, {}, 4),
                              with_sd(e.volume_l.value, e.volume_l.sd, {}, 1),
                              with_sd(e.colour_ebc.value, e.colour_ebc.sd, {}, 1),
                              with_sd(e.bitterness_ibu.value, e.bitterness_ibu.sd, {}, 0),
                              with_sd(e.diastatic_power_wk.value, e.diastatic_power_wk.sd, {}, 0),
                              with_sd(e.extract_kg.value, e.extract_kg.sd, {}, 2)});
        table.rows.push_back({"  recipe", fixed(r.original_gravity_sg.value, 4), fixed(r.volume_l.value, 1),
                              fixed(r.colour_ebc.value, 1), fixed(r.bitterness_ibu.value, 0),
                              fixed(r.diastatic_power_wk.value, 0), fixed(r.extract_kg.value, 2)});
    }
    return table.rows.empty() ? "" : table_text(table);
}

std::string sentences_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    std::string text;
    const auto say = [&](const std::string& sentence) { text += wrapped("  " + sentence, 4); };
    for (const auto& move : answer.moves)
        say(fmt::format("{}: on {} instead of {}", move.brew, to_iso(move.to), to_iso(move.from)));
    if (answer.kind == AnswerKind::smaller)
        for (const auto& [brew, scale] : answer.scale)
            if (scale < 0.999)
                say(scale < 0.001 ? fmt::format("{}: not brewed; taking this answer calls it off", brew)
                                  : fmt::format("{}: {:.1f} % of its volume", brew, 100.0 * scale));
    for (const auto& brew : shown.request->brews) {
        const auto found = answer.effect.find(brew.code);
        if (found == answer.effect.end()) continue;
        say(fmt::format("{}: to notice: {}", brew.code, found->second.to_notice));
        if (found->second.hop_oil_ml)
            say(fmt::format("{}: oil of the hops that are not boiled for bitterness: {:.2g} ml", brew.code,
                            *found->second.hop_oil_ml));
    }
    if (answer.crumbs > 0)
        say(fmt::format("{} left with less than can be weighed out again: no answer leaves fewer",
                        answer.crumbs == 1 ? "one lot is" : fmt::format("{} lots are", answer.crumbs)));
    if (answer.bittering_by_half_step)
        say("bittering hops to half a weigh step: no whole steps come within 1 % of the bitterness");
    for (const auto& sentence : answer.says) say(sentence);
    return text;
}

std::string to_buy_text(const SubstituteAnswer& answer) {
    std::string text;
    for (const auto& s : answer.to_buy)
        text += wrapped(fmt::format("  {} of {} by {}, for {}", to_text(s.missing), s.item, to_iso(s.date), s.brew), 4);
    return text;
}

std::string answer_text(const ShownSubstitution& shown, const SubstituteAnswer& answer) {
    std::string text = fmt::format("\n{} {}: {}", number_of(answer.kind), word(answer.kind), what_it_is(answer.kind));
    if (answer.kind == AnswerKind::buy) return text + "\n" + to_buy_text(answer);
    text += fmt::format("; {}; {:.2f} {}\n", how_good(answer), answer.cost, shown.currency);
    for (const auto& other : shown.found->answers) { // the same weighings need no second telling
        if (other.kind == answer.kind) break;
        if (other.lines == answer.lines && other.moves.empty() && answer.moves.empty())
            return text + fmt::format("  the same weighings as answer {}\n", number_of(other.kind));
    }
    return text + lines_text(shown, answer) + effects_text(shown, answer) + sentences_text(shown, answer);
}

} // namespace

int number_of(plan::AnswerKind kind) {
    return static_cast<int>(kind) + 1;
}

std::string substitute_text(const ShownSubstitution& shown) {
    std::string text = shortages_text(shown.found->shortages, shown.remarks);
    for (const auto& answer : shown.found->answers) text += answer_text(shown, answer);
    std::string none;
    for (const auto& missing : shown.found->none)
        none += wrapped(fmt::format("{} {}: none: {}", number_of(missing.kind), word(missing.kind), missing.reason), 2);
    if (!none.empty()) text += "\n" + none;
    if (!shown.next.empty()) text += fmt::format("\nnext: {}\n", shown.next);
    if (shown.booked != nullptr) text += booked_line(*shown.booked);
    return text;
}

std::string substitute_csv(const ShownSubstitution& shown) {
    std::string csv = csv_row({"answer", "kind", "brew", "line", "recipe_item", "lot", "item", "mass_kg"});
    for (const auto& answer : shown.found->answers)
        for (const auto& take : answer.lines)
            csv += csv_row({std::to_string(number_of(answer.kind)), std::string(word(answer.kind)), take.brew,
                            std::to_string(take.line), take.recipe_item, take.lot, lot_of(shown, take.lot).item,
                            shortest(take.mass_kg)});
    return csv;
}

} // namespace lotwort::report
