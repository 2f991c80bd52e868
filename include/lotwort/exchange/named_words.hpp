// What a program sends to a verb: its words and options by name, as one JSON object.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

// {"ITEM": "pale ale malt", "AMOUNT": "25kg", "dry-run": true, "malt": ["pale ale malt=90%", "wheat malt=10%"]}. A
// value is a text, a number as it is written, true for a switch, or a list of these for what may come several times.
// false and null are as good as nothing. A switch has one empty word. Error(usage) for anything else.
[[nodiscard]] std::map<std::string, std::vector<std::string>, std::less<>> named_words(std::string_view json);

} // namespace lotwort
