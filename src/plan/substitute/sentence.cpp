#include "sentence.hpp"
#include <cctype>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/brew/forecast_words.hpp>

namespace lotwort::plan {

namespace {

std::string kg_text(double kg) {
    return to_text(Amount::of(Kilograms(kg)));
}

std::string hole_words(const SubstitutionCase& c, const Solved& solved, std::size_t h) {
    std::vector<std::string> parts;
    for (const Take& take : solved.takes) {
        if (take.hole != h) continue;
        const Candidate& k = c.holes[h].candidates[take.candidate];
        const bool own = k.character.item->name == c.holes[h].item;
        const std::string& code = c.lots[k.lot].state->lot.code;
        parts.push_back(own ? fmt::format("{} of {}", kg_text(take.mass_kg), code)
                            : fmt::format("{} of {}, {},", kg_text(take.mass_kg), code, k.character.item->name));
    }
    const std::string lacking = fmt::format("the missing {} of {}", kg_text(c.holes[h].mass_kg), c.holes[h].item);
    if (parts.empty()) return fmt::format("brew without {}: too little to matter", lacking);
    return fmt::format("take {} for {}", listed(parts), lacking);
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
        std::vector<std::string> parts;
        for (std::size_t h = 0; h < c.holes.size(); ++h)
            if (c.holes[h].brew == b) parts.push_back(hole_words(c, solved, h));
        if (!text.empty()) text += "; ";
        if (c.brews.size() > 1) text += c.brews[b].brew->code + ": ";
        text += listed(parts);
    }
    return text;
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
