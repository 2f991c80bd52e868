#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/utf8.hpp>
#include <lotwort/verbs/visible.hpp>

namespace lotwort::verbs {

void demand_text(std::string_view text, std::string_view whose) {
    if (find_invalid_utf8(text))
        throw Error(ErrorKind::usage, fmt::format("{} is not UTF-8 text", whose),
                    "set the terminal to UTF-8 and type it again");
    if (const auto hidden = find_hidden(text))
        throw Error(ErrorKind::usage, fmt::format("{} holds {}", whose, hidden_words(*hidden)),
                    "type it by hand, in one line");
}

Answer answered_visibly(const Surroundings& surroundings, const std::function<Answer(const Surroundings&)>& run) {
    Surroundings around = surroundings;
    if (around.ask)
        around.ask = [ask = surroundings.ask](const std::string& question) {
            const auto said = ask(visible_text(question));
            if (said) demand_text(*said, "the answer");
            return said;
        };
    if (around.progress)
        around.progress = [tell = surroundings.progress](const std::string& line) { tell(visible_line(line)); };
    try {
        Answer answer = run(around);
        answer.text = visible_text(answer.text);
        return answer;
    } catch (const Error& fault) {
        throw Error(fault.kind(), visible_text(fault.what()), visible_text(fault.hint()));
    }
}

} // namespace lotwort::verbs
