// A brewery of simulated brews: true figures scatter about what the brewhouse expects, instruments err, readings are
// left out. Fixed seeds make every brew again.
#pragma once

#include "simulated_brew.hpp"
#include <map>
#include <random>
#include <string>
#include <vector>

namespace lotwort::test {

struct Kind {
    std::string name;
    Sparge sparge;
    double wash_stages;
};

extern const std::vector<Kind> kinds; // no sparge, one batch, two batches, continuous

class Brewery {
public:
    explicit Brewery(unsigned seed) : chance_(seed) {}

    // A bias that stays with the instrument over all brews; otherwise each brew draws its own.
    void keep_bias(const std::string& instrument, double bias) { kept_[instrument] = bias; }

    // A brew of the kind with noisy readings, each missing with that probability. `unseen` adds its top-up and its
    // kettle liquor to the truth: what was done and not written down.
    SimulatedBrew draw(const Kind& kind, double missing, const Truth& unseen = {});
    // Conversion expected; 0.92 unless set. Near 1 no brew passes it.
    void expect_conversion(double expected) { conversion_ = expected; }

    double normal(double mean, double sd) { return std::normal_distribution<double>(mean, sd)(chance_); }

private:
    void err(Reading& reading, const std::map<std::string, double>& bias);
    std::mt19937 chance_;
    std::map<std::string, double> kept_;
    double conversion_ = 0.92;
};

} // namespace lotwort::test
