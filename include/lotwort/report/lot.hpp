// The answer of `lotwort lot`: one lot whole.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/stock/movement.hpp>
#include <lotwort/stock/yeast.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

struct LotAnswer {
    LotState state;
    Item item;
    std::vector<Movement> movements;
    std::optional<MaltFigures> malt; // what holds on the day, of a malt or sugar
    std::optional<HopAge> hop;       // of a hop, aged to the day
    std::optional<YeastCells> yeast{}; // of a yeast, on the day
    std::string fault{};             // why a malt has no figures; empty where it has
    std::optional<Money> value;      // of what is on hand, at cost
    std::map<std::string, Money> changes{}; // of its worth by each movement that stands, by id
    std::string currency;
    std::optional<Booked> booked; // a retest
    std::vector<std::string> says{}; // of a day gone by: what cannot be known of it
};

[[nodiscard]] std::string lot_text(const LotAnswer& answer);
[[nodiscard]] std::string lot_csv(const LotAnswer& answer);  // its movements
[[nodiscard]] std::string lot_json(const LotAnswer& answer); // lotwort/lot/1

} // namespace lotwort::report
