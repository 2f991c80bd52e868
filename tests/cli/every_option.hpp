// A small brewery in which every verb has something to do in each of its ways, and the command lines that go them: what
// the test of every option adds one word to.
#pragma once

#include "brewery.hpp"
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::test {

// One way of a verb: a command line that works. `instead`: values of options that fit it better than the verb's own.
// `only`: the line is refused, until this option is added.
struct Way {
    std::string line;
    std::map<std::string, std::string, std::less<>> instead = {};
    std::string only = {};
    [[nodiscard]] std::string verb() const { return line.substr(0, line.find(' ')); }
};
[[nodiscard]] const std::vector<Way>& every_way();

// The words that give an option of a verb a value that says something new: "--colour 9EBC". A word beside it stands
// where the option needs another: "--extract 80% --basis fine-dry".
[[nodiscard]] std::string words_of_option(const Way& way, const cli::Option& option);
// A word for a positional that the line leaves out.
[[nodiscard]] std::string word_of_positional(const Way& way, const cli::Positional& positional);

// Where an option changes nothing and that is right, with the reason.
struct Idle {
    std::string_view line, option, why;
};
[[nodiscard]] const std::vector<Idle>& rightly_idle();

// What else a refusal may say instead of naming the option.
[[nodiscard]] const std::vector<std::string>& own_words();

void stock_every_kind(Brewery& b);

} // namespace lotwort::test
