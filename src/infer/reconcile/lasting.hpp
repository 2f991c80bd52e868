// What the instruments of a brew err by in every brew, apart from what is new in each.
#pragma once

#include "brew_evidence.hpp"
#include "joint_balance.hpp"

namespace lotwort::infer_detail {

// The instruments of a brew's equations, and how much of one stated sd of each one's lasting error is in each. Input
// and model must outlive it.
class Lasting {
public:
    Lasting(const ReconcileInput& in, const BrewModel& model);
    // Volumes and gravities by the temperature that was read with them.
    void add_thermometer(const BrewModel& model, const JointBalance& at);
    // A row an equation, a column an instrument.
    [[nodiscard]] Eigen::MatrixXd matrix() const;
    std::vector<BrewInstrument> instruments;

private:
    void add(std::size_t equation, const std::string& name, const std::string& unit, double sd, double share);
    void add_balance(std::size_t equation, const std::string& name, double extract_sd);

    const ReconcileInput& in_;
    std::vector<std::vector<std::pair<std::size_t, double>>> shares_;
};

// With only that part of each bias that is new in every brew.
[[nodiscard]] std::vector<BrewEquation> without_lasting(std::vector<BrewEquation> equations);

} // namespace lotwort::infer_detail
