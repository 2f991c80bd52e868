#include "sentence.hpp"
#include <algorithm>
#include <cctype>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/brew/forecast_words.hpp>

namespace lotwort::plan {

namespace {

std::string kg_text(double kg) {
    return to_text(Amount::of(Kilograms(kg)));
}

struct ByLot {
    const Candidate* of = nullptr;
    double kg = 0.0;
};

// What goes into all lines of an item that lack, as one thing to fetch.
std::string item_words(const SubstitutionCase& c, const Solved& solved, std::size_t brew, const std::string& item) {
    const auto is_of_it = [&](const Hole& hole) { return hole.brew == brew && hole.item == item; };
    std::vector<ByLot> lots;
    for (const Take& take : solved.takes) {
        const Hole& hole = c.holes[take.hole];
        if (!is_of_it(hole)) continue;
        const Candidate& k = hole.candidates[take.candidate];
        auto same = std::ranges::find_if(lots, [&](const ByLot& known) { return known.of->lot == k.lot; });
        if (same == lots.end()) same = lots.insert(lots.end(), {&k, 0.0});
        same->kg += take.mass_kg;
    }
    double filled_kg = 0.0, to_get_kg = 0.0; // lines that nothing fills at all are told apart
    bool by_colour = false;
    for (const Hole& hole : c.holes)
        if (is_of_it(hole)) {
            filled_kg += hole.mass_kg;
            by_colour = by_colour || hole.kind == HoleKind::colour;
            for (const Stubborn& rest : c.to_get)
                if (rest.brew == brew && rest.line == hole.line) to_get_kg += rest.missing.kilograms().value();
        }
    std::vector<std::string> parts;
    for (const ByLot& lot : lots) {
        const std::string& code = c.lots[lot.of->lot].state->lot.code;
        const std::string& name = lot.of->character.item->name;
        parts.push_back(name == item ? fmt::format("{} of {}", kg_text(lot.kg), code)
                                     : fmt::format("{} of {}, {},", kg_text(lot.kg), code, name));
    }
    const std::string part = to_get_kg > 0.0 ? kg_text(filled_kg) + " of " : "";
    const std::string lacking = fmt::format("{}the missing {} of {}", part, kg_text(filled_kg + to_get_kg), item);
    if (parts.empty()) return fmt::format("brew without {}: too little to matter", lacking);
    std::string taken = listed(parts);
    if (const auto at = taken.find(",,"); at != std::string::npos) taken.erase(at, 1);
    return fmt::format("take {} for {}{}", taken, lacking, by_colour ? ", by its colour" : "");
}

} // namespace

std::string listed(const std::vector<std::string>& parts) {
    if (parts.size() < 2) return parts.empty() ? "" : parts.front();
    return fmt::format("{} and {}", fmt::join(parts.begin(), parts.end() - 1, ", "), parts.back());
}

std::string takes_sentence(const SubstitutionCase& c, const Solved& solved) {
    std::string text;
    for (std::size_t b = 0; b < c.brews.size(); ++b) {
        if (solved.left[b]) continue;
        std::vector<std::string> items, parts;
        for (const Hole& hole : c.holes)
            if (hole.brew == b && std::ranges::find(items, hole.item) == items.end()) items.push_back(hole.item);
        for (const std::string& item : items) parts.push_back(item_words(c, solved, b, item));
        if (!text.empty()) text += "; ";
        if (c.brews.size() > 1) text += c.brews[b].brew->code + ": ";
        text += listed(parts);
    }
    return text;
}

std::string with_to_get(std::string takes, const SubstituteAnswer& answer) {
    std::vector<std::pair<std::string, Amount>> items;
    for (const ToGet& one : answer.to_get) {
        auto at = std::ranges::find_if(
            items, [&](const auto& i) { return i.first == one.item && i.second.measure == one.missing.measure; });
        if (at == items.end())
            items.emplace_back(one.item, one.missing);
        else
            at->second = at->second + one.missing;
    }
    std::vector<std::string> parts;
    for (const auto& [item, missing] : items) parts.push_back(fmt::format("{} of {}", to_text(missing), item));
    if (parts.empty()) return takes;
    const Amount first = items.front().second;
    const bool one = parts.size() == 1 && (first.measure != Measure::count || first.units == 1);
    return fmt::format("{}{} {} {} still to be got", takes, takes.empty() ? "" : ";", listed(parts),
                       one ? "is" : "are");
}

std::string with_effects(std::string what, const SubstituteAnswer& answer, const std::map<std::string, Effect>& meant) {
    std::string text = std::move(what);
    const bool several = answer.effect.size() > 1;
    bool first = true;
    for (const auto& [brew, effect] : answer.effect) {
        text += first ? ": " : "; ";
        if (several) text += brew + " ";
        text += difference_words(glass_of(effect), glass_of(meant.at(brew)));
        first = false;
    }
    return as_sentence(std::move(text));
}

std::string as_sentence(std::string text) {
    // a brew's code is written as it is
    if (!text.empty() && text.find(": take") == std::string::npos)
        text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    if (!text.empty() && text.back() != '.') text += '.';
    return text;
}

} // namespace lotwort::plan
