// The last resort: what a later brew has reserved, where an order brings it back in time.
#pragma once

#include "standing.hpp"

namespace lotwort::plan {

class Lenders {
public:
    Lenders(const SubstituteRequest& request, const Standing& standing);

    // Fills what the brew lacks, of its own items, from brews of later days that an order makes whole again by theirs:
    // of the lines named, beside what the answer gives it, or of all. Adds its plan and those of the lenders to the
    // answer. Returns what it took as a brewer says it; nothing, and changes nothing, where it cannot.
    std::optional<std::string> fill(const StandingBrew& brew, const std::set<int>& lines, SubstituteAnswer& answer);

private:
    struct Coming {
        std::string item, order;
        Date arrives;
        Amount left; // that no plan counts on
    };
    struct Loan {
        std::size_t lender, reservation, coming;
        Amount amount;
    };
    [[nodiscard]] std::vector<Loan> loans_for(const StandingBrew& brew, const Gap& gap) const;
    void book(const StandingBrew& brew, const Gap& gap, const Loan& loan, Plan& borrower);

    const SubstituteRequest& request_;
    std::vector<Plan> lenders_; // latest first
    std::vector<Coming> coming_;
    std::set<std::string> touched_;
    std::vector<std::string> said_;
};

} // namespace lotwort::plan
