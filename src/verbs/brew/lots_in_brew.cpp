#include "lots_in_brew.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

namespace {

// "4.5 kg of PAM-1, 30 g of LAT-1"
std::string what_went_in(const Brew& brew, const std::vector<const Lot*>& of) {
    std::vector<std::string> took;
    for (const Addition& addition : brew.additions)
        if (of.empty() || std::ranges::any_of(of, [&](const Lot* lot) { return lot->code == addition.lot; }))
            took.push_back(fmt::format("{} of {}", to_text(addition.amount), addition.lot));
    return fmt::format("{}", fmt::join(took, ", "));
}

} // namespace

const Lot& lot_in_brew(const Brew& brew, const std::vector<LotState>& lots, const std::string& name,
                       const std::string& else_do) {
    std::vector<const Lot*> of_code, of_item;
    for (const LotState& state : lots) {
        if (std::ranges::find(brew.additions, state.lot.code, &Addition::lot) == brew.additions.end()) continue;
        if (state.lot.code == name) return state.lot;
        if (lowered(state.lot.code) == lowered(name)) of_code.push_back(&state.lot);
        if (lowered(state.lot.item) == lowered(name)) of_item.push_back(&state.lot);
    }
    const auto& meant = of_code.size() == 1 ? of_code : of_item;
    if (meant.size() == 1) return *meant.front();
    if (meant.size() > 1)
        throw Error(ErrorKind::refused,
                    fmt::format("{} lots of {} went into {}", meant.size(), meant.front()->item, brew.code),
                    "write the code of one: " + what_went_in(brew, meant));
    std::vector<std::string> hints;
    if (!brew.additions.empty()) hints.push_back("it took " + what_went_in(brew, {}));
    if (!else_do.empty()) hints.push_back(else_do);
    throw Error(ErrorKind::refused, fmt::format("nothing of `{}` went into {}", name, brew.code),
                hints.empty() ? "lotwort brew " + shell_word(brew.code) : fmt::format("{}", fmt::join(hints, "; ")));
}

} // namespace lotwort::verbs
