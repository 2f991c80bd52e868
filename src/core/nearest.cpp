#include <algorithm>
#include <lotwort/core/nearest.hpp>
#include <utility>

namespace lotwort {

std::string lowered(std::string_view text) {
    std::string low(text);
    for (char& c : low)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return low;
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
    const std::string from = lowered(a);
    const std::string to = lowered(b);
    std::vector<std::size_t> before(to.size() + 1);
    std::vector<std::size_t> last(to.size() + 1);
    std::vector<std::size_t> now(to.size() + 1);
    for (std::size_t j = 0; j <= to.size(); ++j) last[j] = j;
    for (std::size_t i = 1; i <= from.size(); ++i) {
        now[0] = i;
        for (std::size_t j = 1; j <= to.size(); ++j) {
            const std::size_t changed = last[j - 1] + (from[i - 1] == to[j - 1] ? 0 : 1);
            now[j] = std::min({last[j] + 1, now[j - 1] + 1, changed});
            const bool swapped = i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1];
            if (swapped) now[j] = std::min(now[j], before[j - 2] + 1);
        }
        std::swap(before, last);
        std::swap(last, now);
    }
    return last[to.size()];
}

std::vector<std::string> nearest(std::string_view typed, const std::vector<std::string>& names, std::size_t most) {
    const std::string wanted = lowered(typed);
    const std::size_t limit = std::max<std::size_t>(1, typed.size() / 3);
    std::vector<std::pair<std::size_t, std::string>> found;
    for (const auto& name : names) {
        const std::string known = lowered(name);
        const bool part = wanted.size() >= 3 && known.size() >= 3 &&
                          (known.find(wanted) != std::string::npos || wanted.find(known) != std::string::npos);
        const std::size_t distance = edit_distance(wanted, known);
        if (distance <= limit || part) found.emplace_back(distance, name);
    }
    std::sort(found.begin(), found.end());
    std::vector<std::string> result;
    for (auto& [distance, name] : found)
        if (result.size() < most) result.push_back(std::move(name));
    return result;
}

std::string did_you_mean(std::string_view typed, const std::vector<std::string>& names) {
    const auto near = nearest(typed, names);
    if (near.empty()) return {};
    std::string text = "did you mean ";
    for (std::size_t i = 0; i < near.size(); ++i) {
        if (i > 0) text += i + 1 == near.size() ? " or " : ", ";
        text += "`" + near[i] + "`";
    }
    return text + "?";
}

} // namespace lotwort
