// The code a lot gets where nobody gives it one.
#pragma once

#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>

namespace lotwort::verbs {

class LotCodes {
public:
    // A lot of that item has that code.
    void take(std::string_view code, std::string_view item);
    // The initials of the item's name and the next number that no lot has: "pale ale malt" gives PAM-1, PAM-2, ...
    // A name of one word gives its first three letters. Where another item has lots called so, more of the first word:
    // caramel malt CM-1, crystal malt CRM-1, chocolate malt CHM-1.
    [[nodiscard]] std::string next(std::string_view item) const;

private:
    struct Stem {
        std::int64_t most = 0;
        std::set<std::string, std::less<>> items;
    };
    std::unordered_map<std::string, Stem> stems_; // by what stands before the number
};

} // namespace lotwort::verbs
