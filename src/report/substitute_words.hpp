// What the answers to a shortage come to, for the screen and for the page.
#pragma once

#include <lotwort/report/substitute.hpp>
#include <lotwort/report/table.hpp>

namespace lotwort::report {

// A row a line of the brews that are answered: brew, recipe's item, lot, its item where it is another, amount, "new".
[[nodiscard]] std::vector<std::vector<std::string>> line_rows(const ShownSubstitution& shown,
                                                              const plan::SubstituteAnswer& answer);

// Two rows a brew: gravity, litres, EBC, IBU, WK and extract of the answer, and of the plan with nothing missing.
[[nodiscard]] std::vector<std::vector<std::string>> effect_rows(const ShownSubstitution& shown,
                                                                const plan::SubstituteAnswer& answer);

// An item a brew: what lacks of it in all its lines, of what all of them need.
[[nodiscard]] std::vector<plan::Shortage> by_item(const plan::Shortages& shortages);
// "P1 on 2026-03-20 lacks 1 kg of its 4 kg of pale ale malt"
[[nodiscard]] std::string lacks_sentence(const plan::Shortage& shortage);
[[nodiscard]] std::string lacks_words(const plan::Shortage& shortage); // the same without the brew and its day

// "1 nearest (also oldest): Take ... 0.40 EUR cheaper."
[[nodiscard]] std::string answer_sentence(const ShownSubstitution& shown, const plan::SubstituteAnswer& answer);

// Of all answers shown, each once.
[[nodiscard]] std::vector<std::string> remark_sentences(const ShownSubstitution& shown);

} // namespace lotwort::report
