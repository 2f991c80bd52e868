// Names as people order them: L2 before L10.
#pragma once

#include <algorithm>
#include <compare>
#include <string_view>

namespace lotwort {

// Digits that stand together count as the number they make, all else byte by byte. Names that differ in leading zeros
// alone go by their bytes, so that no two names are alike. A name is compared where it stands: it outlives this.
struct NaturalOrder {
    std::string_view name;

    friend std::strong_ordering operator<=>(NaturalOrder left, NaturalOrder right) {
        std::string_view a = left.name, b = right.name;
        while (!a.empty() && !b.empty()) {
            const std::string_view x = number_at(a), y = number_at(b);
            if (x.empty() || y.empty()) {
                if (a.front() != b.front())
                    return static_cast<unsigned char>(a.front()) <=> static_cast<unsigned char>(b.front());
                a.remove_prefix(1);
                b.remove_prefix(1);
                continue;
            }
            a.remove_prefix(x.size());
            b.remove_prefix(y.size());
            const std::string_view p = without_zeros(x), q = without_zeros(y);
            if (const auto order = p.size() <=> q.size(); order != 0) return order;
            if (const auto order = p <=> q; order != 0) return order;
        }
        if (const auto order = a.size() <=> b.size(); order != 0) return order;
        return left.name <=> right.name;
    }
    friend bool operator==(NaturalOrder left, NaturalOrder right) { return left.name == right.name; }

private:
    static std::string_view number_at(std::string_view text) {
        return text.substr(0, std::min(text.find_first_not_of("0123456789"), text.size()));
    }
    static std::string_view without_zeros(std::string_view digits) {
        return digits.substr(std::min(digits.find_first_not_of('0'), digits.size()));
    }
};

} // namespace lotwort
