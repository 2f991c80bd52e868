#include "given.hpp"
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

std::string options_given(const Call& call) {
    std::string text;
    for (const Option& option : call.command().options)
        for (const std::string& value : call.args.all(option.name)) {
            text += " --" + std::string(option.name);
            if (!option.value.empty()) text += (value.starts_with('-') ? "=" : " ") + shell_word(value);
        }
    return text;
}

} // namespace lotwort::verbs
