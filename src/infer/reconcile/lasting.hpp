// What the instruments of a brew err by in every brew, apart from what is new in each.
#pragma once

#include "brew_evidence.hpp"
#include "joint_balance.hpp"

namespace lotwort::infer_detail {

// The instruments of a brew's equations, and how much of one stated sd of each one's lasting error is in each. The
// input must outlive it.
class Lasting {
public:
    Lasting(const ReconcileInput& in, const std::vector<BrewEquation>& equations);
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

// The one that the temperatures were read by: the one that is stated, or a typical one.
[[nodiscard]] Instrument thermometer_of(const ReconcileInput& in);
// Whether a temperature that was read is in it.
[[nodiscard]] bool is_by_temperature(const BrewEquation& e);

} // namespace lotwort::infer_detail
