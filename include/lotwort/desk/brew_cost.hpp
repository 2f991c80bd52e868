// What brews cost by what went in.
//
// A line costs what its lot lost of its worth by it (stock/worth.hpp), and its part of the freight of the order that
// the lot came of. Delivery is a supplier's, once for each day it was ordered at, and shared over the goods by what
// they cost. Bought yeast is shared in equal parts by all brews that it and what was harvested of it have been
// pitched into so far. So a brew's yeast gets cheaper with each generation, and all brews together cost what was
// bought. Hundredths that are left go by the largest remainder (stock/share.hpp).
#pragma once

#include <functional>
#include <lotwort/brew/book.hpp>
#include <lotwort/brew/brew.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/store/ledger.hpp>
#include <map>
#include <memory>

namespace lotwort {

class BrewCosts {
public:
    // for_all: all brews are going to be asked about, and their lots are read at once.
    enum class Reads { as_asked, all_at_once };
    explicit BrewCosts(Ledger& ledger, Reads reads = Reads::as_asked);
    ~BrewCosts();
    BrewCosts(const BrewCosts&) = delete;
    BrewCosts& operator=(const BrewCosts&) = delete;

    // What went in and did not come back, a line each; lots without a price are named. Without volumes.
    [[nodiscard]] report::BrewCost of(const Brew& brew);

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

// The part of each lot in the freight that stands in no lot's price: the delivery charge of its supplier's terms, and
// what was billed when goods had come. Lots of no order have none.
[[nodiscard]] std::map<std::string, Money, std::less<>>
freight_beside(const Book& definitions, const std::function<std::optional<Lot>(const std::string&)>& lot);

// With what it is a litre, in the fermenter and packaged, of all brews that share it.
[[nodiscard]] report::BrewCost brew_cost(const Brew& brew, Ledger& ledger);

} // namespace lotwort
