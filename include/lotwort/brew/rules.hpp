// What recipes, brewhouses, readings and brews must hold beyond their single fields, and whole books (stock/rules.hpp).
#pragma once

#include <lotwort/brew/book.hpp>
#include <lotwort/stock/rules.hpp>

namespace lotwort {

void check_rules(const Instrument& instrument, const TellBroken& tell);
void check_rules(const Vessel& vessel, const TellBroken& tell);
void check_rules(const Brewhouse& brewhouse, const TellBroken& tell);
void check_rules(const GristLine& line, const TellBroken& tell);
void check_rules(const HopLine& line, const TellBroken& tell);
void check_rules(const OtherLine& line, const TellBroken& tell);
void check_rules(const Recipe& recipe, const TellBroken& tell);
void check_rules(const Reading& reading, const TellBroken& tell);
void check_rules(const Brew& brew, const TellBroken& tell);
void check_rules(const Package& package, const TellBroken& tell);
void check_rules(const Tank& tank, const TellBroken& tell);
void check_rules(const Plan& plan, const TellBroken& tell);

// Of a yeast: it is counted by its cells then (stock/yeast.hpp).
[[nodiscard]] bool states_no_amount(const OtherLine& line);

// The lines of a grist that are stated by share, and what their shares sum to.
struct GristShares {
    std::size_t lines = 0;
    double sum_pct = 0.0;
    [[nodiscard]] bool is_whole() const { return sum_pct >= 99.5 && sum_pct <= 100.5; } // as people round them
};
[[nodiscard]] GristShares shares_of(const Recipe& recipe);

// Is told of a broken rule with the record it is of: "recipe `pale`", "grist[0]", "needs either share_pct or mass_kg".
using TellRecord = std::function<void(std::string_view record, std::string_view field, std::string_view what)>;

// Of each record of a book, and the records in it. What one record says of another is looked at where the ledger is
// at hand.
void check_rules(const Book& book, const TellRecord& tell);

} // namespace lotwort
