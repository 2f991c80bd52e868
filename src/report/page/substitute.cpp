// What lacks, and what a brewer could do: the recommended answer first, each with its lines and what it makes of the
// beer.
#include "../substitute_words.hpp"
#include "html_page.hpp"
#include "html_text.hpp"
#include <fmt/format.h>
#include <lotwort/report/pages.hpp>

namespace lotwort::report {

namespace {

std::string lead(const ShownSubstitution& shown) {
    if (shown.found->shortages.lines.empty()) return "Nothing lacks: each brew finds its own malts and hops.";
    if (shown.found->answers.empty()) return "Nothing that is there stands in for what lacks.";
    return shown.found->answers.front().sentence;
}

std::string lacking(const ShownSubstitution& shown) {
    std::string items;
    for (const auto& shortage : by_item(shown.found->shortages)) items += html::of_text("li", lacks_sentence(shortage));
    for (const auto& due : shown.due) items += html::of_text("li", due);
    return items.empty() ? "" : html::element("ul", items);
}

std::string answer(const ShownSubstitution& shown, const plan::SubstituteAnswer& made) {
    std::string inner = html::of_text("p", answer_sentence(shown, made));
    for (const auto& left : made.left) inner += html::of_text("p", left);
    const Table lines{{{"Brew"}, {"For"}, {"Lot"}, {"Item"}, {"Amount", Align::right}, {"New"}},
                      line_rows(shown, made)};
    const Table effects{{{"Brew"},
                         {"Gravity", Align::right},
                         {"Litres", Align::right},
                         {"EBC", Align::right},
                         {"IBU", Align::right},
                         {"WK", Align::right},
                         {"Extract kg", Align::right}},
                        effect_rows(shown, made)};
    if (!lines.rows.empty()) inner += html::table(lines, fmt::format("What goes in: {}", word(made.kind)));
    if (!effects.rows.empty())
        inner += html::table(effects, fmt::format("What it makes of the beer: {}", word(made.kind)));
    return inner;
}

std::string list_of(const std::vector<std::string>& sentences) {
    std::string items;
    for (const auto& sentence : sentences) items += html::of_text("li", sentence);
    return items.empty() ? "" : html::element("ul", items);
}

} // namespace

std::string substitution_page(const ShownSubstitution& shown) {
    std::string answers;
    for (const auto& made : shown.found->answers)
        answers += html::section(fmt::format("{}: {}", number_of(made.kind), word(made.kind)), answer(shown, made));
    std::vector<std::string> none;
    for (const auto& missing : shown.found->none)
        if (missing.kind == plan::AnswerKind::nearest && !shown.found->shortages.lines.empty())
            none.push_back(fmt::format("{}: {}", word(missing.kind), missing.reason));
    return html::whole({"What lacks", "as of " + to_iso(shown.request->today),
                        html::of_text("p", lead(shown), "class=\"lead\"") + html::section("Lacking", lacking(shown)) +
                            answers + html::section("No answer", list_of(none)) +
                            html::section("Worth knowing", list_of(remark_sentences(shown)))});
}

} // namespace lotwort::report
