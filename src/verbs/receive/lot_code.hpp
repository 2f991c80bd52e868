// The code a lot gets where nobody gives it one.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>

namespace lotwort::verbs {

class LotCodes {
public:
    // A lot has that code.
    void take(std::string_view code);
    // The initials of the item's name and the next number that no lot has: "pale ale malt" gives PAM-1, PAM-2, ...
    // A name of one word gives its first three letters.
    [[nodiscard]] std::string next(std::string_view item) const;

private:
    std::unordered_map<std::string, std::int64_t> most_; // by initials
};

} // namespace lotwort::verbs
