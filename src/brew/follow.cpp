#include <deque>
#include <lotwort/brew/follow.hpp>
#include <set>

namespace lotwort {

std::vector<Followed> follow(const std::vector<std::string>& codes, const Steps& steps, From from) {
    const bool brews = from == From::brews;
    std::set<std::pair<bool, std::string>> seen;
    std::deque<Followed> waiting;
    for (const std::string& code : codes)
        if (seen.emplace(brews, code).second) waiting.push_back({code, brews, false, ""});
    const std::size_t asked = waiting.size();
    std::vector<Followed> found;
    for (std::size_t turn = 0; !waiting.empty(); ++turn) {
        const Followed at = waiting.front();
        waiting.pop_front();
        if (turn >= asked) found.push_back(at);
        const auto reach = [&](const Steps::Codes& next, bool is_brew) {
            for (const std::string& code : next(at.code))
                if (seen.emplace(is_brew, code).second) waiting.push_back({code, is_brew, at.is_brew, at.code});
        };
        reach(at.is_brew ? steps.lots_of_brew : steps.lots_of_lot, false);
        reach(at.is_brew ? steps.brews_beside : steps.brews_of_lot, true);
    }
    return found;
}

} // namespace lotwort
