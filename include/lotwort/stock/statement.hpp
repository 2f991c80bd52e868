// A period's account of stock: what was there, what came and went, and what is left.
//
//     opening + received + made + used + returned + lost + found = closing
//
// for each item, in its smallest unit and in hundredths of money alike: what goes is negative. Each movement bears what
// it changed of its lot's worth (stock/worth.hpp), so that a lot's part of all of them is its price and no cent is left
// over. A movement counts on the day it is about, whenever it was booked; what was taken back is left out.
#pragma once

#include <array>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/worth.hpp>
#include <set>
#include <string>
#include <vector>

namespace lotwort {

// received: of a supplier, or found in stock when the books began. made: harvested of a brew, and shared out or put
// together, which comes to nothing in an item. used: by brews, less what came back of one that was given up. lost:
// discarded, and short at a count. found: more at a count.
enum class Flow { received, made, used, returned, lost, found };

template <>
struct WordsOf<Flow> {
    static constexpr std::array<std::string_view, 6> list{"received", "made", "used", "returned", "lost", "found"};
};
inline constexpr std::size_t flow_count = WordsOf<Flow>::list.size();

[[nodiscard]] Flow flow_of(const Lot& lot, const Movement& movement); // of a standing one

struct Worth {
    Amount amount;
    Money value;
    friend bool operator==(const Worth&, const Worth&) = default;
};
void operator+=(Worth& sum, const Worth& more); // of one measure

struct StockAccount {
    std::string item; // empty: of all items of the kind
    ItemKind kind = ItemKind::malt;
    Worth opening, closing;
    std::array<Worth, flow_count> flows;
    [[nodiscard]] const Worth& of(Flow flow) const { return flows[static_cast<std::size_t>(flow)]; }
    [[nodiscard]] bool is_empty() const; // nothing was there, came or went
};

// One movement of the period, as the account has it.
struct StockPosting {
    Date on;
    std::string lot, item;
    ItemKind kind = ItemKind::malt;
    std::optional<std::string> supplier;
    Flow flow = Flow::received;
    Worth change;
    std::optional<std::string> reason, brew;
};

struct StockBooks {
    std::vector<StockAccount> items;     // by kind and name, then by measure; empty ones are left out
    std::vector<StockPosting> postings;  // by day, then by lot as given
    std::set<std::string> without_price; // lots that moved or lie there, and count for nothing in money
};

// Both days belong to the period. `kind_of` is asked for the kind of an item.
[[nodiscard]] StockBooks stock_books(const std::vector<Lot>& lots, LotValues& values,
                                     const std::function<ItemKind(const std::string&)>& kind_of, Date from, Date to);

// Items added up by kind and measure, in the order of the items.
[[nodiscard]] std::vector<StockAccount> by_kind(const std::vector<StockAccount>& items);

} // namespace lotwort
