// The answer of `lotwort stock --ageing`: what spoils or loses its bitterness first.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/malt.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

inline constexpr int ageing_days = 90; // how far it looks ahead: a season's brews

struct AgeingLine {
    std::string lot;
    std::string item;
    ItemKind kind = ItemKind::malt;
    Amount on_hand;
    std::optional<Date> best_before;
    std::optional<int> days_left;     // to the best before; below nothing: so long past it
    std::optional<Figure> alpha_now;  // of a hop, per cent
    std::optional<Figure> alpha_then; // ageing_days on
    std::optional<Date> weak_from;    // a tenth of today's alpha is lost by that day; none: it is not known to age
    std::vector<std::string> assumed; // of the hop's ageing, in sentences
    std::optional<Date> opened;
    std::optional<std::string> held;
    std::optional<Money> value;    // at cost
    std::optional<Money> at_stake; // of it, within ageing_days
};

struct AgeingList {
    std::vector<AgeingLine> lines; // the first to go bad first
    Date today;
    std::string currency;
    Money at_stake;
    std::size_t lots_without_price = 0; // of the lines
    std::size_t lots_without_date = 0;  // not listed: nothing is known of their ageing
};

[[nodiscard]] std::string ageing_text(const AgeingList& list);
[[nodiscard]] std::string ageing_csv(const AgeingList& list);
[[nodiscard]] std::string ageing_json(const AgeingList& list); // lotwort/stock/1: "ageing"

} // namespace lotwort::report
