// Every verb as a form, made of what it declares.
#pragma once

#include "page.hpp"
#include "run.hpp"
#include <string>

namespace lotwort::serve {

// Its form: for a verb that books, sent to be booked; for one that looks, asked by the address. `given` is put in.
[[nodiscard]] std::string generic_form(const Command& command, const Visit& visit, const Fields& given);

// What a run of it came to, above a page: the answer with its entry and the way to take it back, or the refusal.
[[nodiscard]] std::string answer_of(const Ran& ran, const Visit& visit);

// Above the page as it is now: what has changed in what the form showed, and who did it. A button books it all the
// same, with the form's number.
[[nodiscard]] std::string answer_of_changed(const Ran& ran, const std::string& verb, const Fields& sent,
                                            const Visit& visit);

// A text answer: columns as they stand, sentences as paragraphs.
[[nodiscard]] std::string answer_text(const std::string& text);

// All verbs by the order of work, a link each.
[[nodiscard]] std::string list_of_verbs();

} // namespace lotwort::serve
