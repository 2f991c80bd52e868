// One item's purchases, exactly: which chances of buying to take, and how many packs, by dynamic programming.
//
// The sack that pays to be bought on Monday depends on what is in the house. What is in the house is so many packs
// bought so far, less what was used. So it is enough to know the least cost of every number of packs after every use
// (Wagner and Whitin 1958). Here packs are whole, have price steps, and are so many at most. Amounts are counted in
// `unit`s that divide every pack.
#pragma once

#include <cstddef>
#include <limits>
#include <vector>

namespace lotwort::plan {

struct PackBand {
    int from = 1, to = 1; // packs of one order
    double price = 0.0;   // of each of them
    double spared = 0.0;  // of each: what it may be worth at the end beyond what is counted there
};

// An offer on an order day.
struct LotChance {
    std::size_t use = 0;                             // the first use that it comes in time for; uses.size(): none
    int units = 1;                                   // in a pack
    double kept = 0.0;                               // money for keeping a pack until that use
    int most_state = 0;                              // units that can still serve; what is bought beyond them spoils
    int most_gain = std::numeric_limits<int>::max(); // of the units of one purchase, too
    bool keeps = true;                               // what is left of it counts at the end
    double left_worth = 0.0; // money, of an amount of one of it that is left, as far as it counts
    double left_more = 0.0;  // and beside that, of all of it
    std::vector<PackBand> bands;
};

// A day's uses. The state k is the units bought and not thrown away.
struct LotUse {
    int least = 0;          // state that meets it, and its safety stock
    double rate = 0.0;      // money for keeping an amount of one until the next use
    double base = 0.0;      // rate is borne by max(0, base + k unit held)
    bool may_spoil = false; // something may have spoilt: units may be thrown away after it
    double held = 1.0;      // what a pack holds, at the least, of what its units come to
};

struct LotItem {
    double unit = 1.0;
    int most_state = 0;
    std::vector<LotUse> uses;
    std::vector<LotChance> chances; // by arrival
    // What is bought beyond all uses is left: of state k, max(0, min(left_base, 0) + k unit), and no more than
    // left_most of it counts. (Older goods are used first, so what is left is of the last purchases.)
    double left_base = 0.0, left_most = 0.0;
    double constant = 0.0; // money no choice alters
};

// What a chance costs now, besides its packs.
struct ChanceTerms {
    bool open = true;
    double setup = 0.0;     // money, if anything is bought
    double price_off = 0.0; // share of the price
};

struct LotChoice {
    double cost = 0.0;      // infinite: the uses cannot be met
    std::vector<int> packs; // by chance
};

// Least cost over all numbers of packs; `terms` by chance. Exact to rounding; the work is chances times states.
class LotSizer {
public:
    LotChoice solve(const LotItem& item, const std::vector<ChanceTerms>& terms);

private:
    struct Step {
        int from = 0;  // state before
        int packs = 0; // bought
    };
    void buy(const LotItem& item, const LotChance& chance, const ChanceTerms& terms, std::vector<Step>& steps);
    void buy_within(const LotChance& chance, const PackBand& band, double pack, double setup, std::vector<Step>& steps);
    void buy_beyond(const LotItem& item, const LotChance& chance, const PackBand& band, double pack, double setup,
                    std::vector<Step>& steps);
    void reach(double cost, std::size_t state, const Step& step, std::vector<Step>& steps);
    void use(const LotUse& use, double held, std::vector<Step>& steps);
    std::vector<Step>& next_steps(std::size_t states);

    std::vector<double> cost_, before_, left_, beyond_;
    std::vector<int> window_;
    std::vector<std::vector<Step>> steps_; // by event; kept between calls for their room
    std::size_t events_ = 0;
    int low_ = 0; // the least state that has met all uses so far
};

} // namespace lotwort::plan
