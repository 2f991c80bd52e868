// Many brews: some put into weighings together, the others as they stand, again and again.
#pragma once

#include "mip/budget.hpp"
#include "draws.hpp"
#include "solve.hpp"

namespace lotwort::plan {

// The brews of a case, each with its weighings or with none yet. Deterministic but for the clock.
class Windows {
public:
    // All outlive it.
    Windows(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, Budget& budget);

    // One brew after the other in the order of their days, each from what those before it left; where that leaves a
    // brew too little, those that took what it needs are opened again with it. `reserved`: masses not in steps yet that
    // are kept for their brews until these have their turn. False where a brew has no weighings in the end.
    [[nodiscard]] bool fill(const std::vector<AnswerLine>& reserved = {});

    // An answer of every brew from elsewhere, where it is better than what stands.
    void adopt(const Solved& other);

    // Opens the brews that cost most with those that hold what they would rather have, until the objective comes within
    // `enough` of the bound (as gap_of has it), so many seconds or all are over, or many windows on end gave nothing.
    void improve(double bound, double enough, double seconds = no_limit);

    [[nodiscard]] bool is_filled() const;
    [[nodiscard]] double objective() const;
    [[nodiscard]] Solved solved() const;

private:
    struct Weighings {
        bool found = false;
        double cost = 0.0, scale = 1.0;
        int crumbs = 0;
        std::vector<AnswerLine> lines;
    };
    [[nodiscard]] bool settle(const std::vector<std::size_t>& window, std::size_t more);
    [[nodiscard]] SubstitutionCase beside_the_others(const std::vector<std::size_t>& window) const;
    void keep_what_stands(const SubstitutionCase& from, SubstitutionCase& kept) const;
    [[nodiscard]] std::vector<Weighings> shared_out(const Solved& solved, const std::vector<std::size_t>& window) const;
    [[nodiscard]] double cost_of(std::size_t brew, const Weighings& made) const;
    [[nodiscard]] std::vector<std::size_t> with_rivals(std::size_t brew, std::size_t most);
    [[nodiscard]] std::size_t dear_brew();

    const SubstitutionCase& case_;
    AnswerKind kind_;
    Leniency leniency_;
    Budget& budget_;
    std::vector<Weighings> brews_; // not found: lines are what is reserved
    std::vector<double> coarsest_; // weigh step that the lot may be weighed in, kg
    std::map<std::string, std::size_t> lot_at_, brew_at_;
    Draws draws_{1};
};

} // namespace lotwort::plan
