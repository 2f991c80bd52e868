#include "fields.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace lotwort::serve {

namespace {

int digit(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    return c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
}

std::string decoded(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const int high = i + 2 < text.size() ? digit(text[i + 1]) : -1;
        const int low = i + 2 < text.size() ? digit(text[i + 2]) : -1;
        if (text[i] == '%' && high >= 0 && low >= 0) {
            const char c = static_cast<char>(high * 16 + low);
            i += 2;
            if (c != '\r') out += c;
        } else {
            out += text[i] == '+' ? ' ' : text[i];
        }
    }
    return out;
}

} // namespace

Fields::Fields(std::string_view sent) {
    while (!sent.empty()) {
        const std::string_view pair = sent.substr(0, sent.find('&'));
        sent.remove_prefix(std::min(pair.size() + 1, sent.size()));
        if (pair.empty()) continue;
        const auto equals = std::min(pair.find('='), pair.size());
        pairs_.emplace_back(decoded(pair.substr(0, equals)), decoded(pair.substr(std::min(equals + 1, pair.size()))));
    }
}

std::string Fields::one(std::string_view name) const {
    const auto found = std::ranges::find(pairs_, name, [](const auto& p) { return std::string_view(p.first); });
    return found == pairs_.end() ? std::string() : found->second;
}

bool Fields::has(std::string_view name) const {
    return std::ranges::any_of(pairs_, [&](const auto& p) { return p.first == name; });
}

std::vector<std::string> Fields::all(std::string_view name) const {
    std::vector<std::string> values;
    for (const auto& [known, value] : pairs_)
        if (known == name) values.push_back(value);
    return values;
}

std::string in_address(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           std::string_view("-._~").find(c) != std::string_view::npos;
        if (plain)
            out += c;
        else
            out += fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return out;
}

} // namespace lotwort::serve
