// What a form sends: application/x-www-form-urlencoded (WHATWG URL Standard, 5).
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lotwort::serve {

// Names and values in the order of the form; a name may come several times.
class Fields {
public:
    Fields() = default;
    // Whatever is no escape stays as it is. Line ends become \n.
    explicit Fields(std::string_view sent);

    [[nodiscard]] std::string one(std::string_view name) const; // the first; empty where there is none
    [[nodiscard]] bool has(std::string_view name) const;
    [[nodiscard]] std::vector<std::string> all(std::string_view name) const;
    void add(std::string name, std::string value) { pairs_.emplace_back(std::move(name), std::move(value)); }
    [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& pairs() const { return pairs_; }

private:
    std::vector<std::pair<std::string, std::string>> pairs_;
};

// A text as a part of an address: "pale%20ale%20malt".
[[nodiscard]] std::string in_address(std::string_view text);

} // namespace lotwort::serve
