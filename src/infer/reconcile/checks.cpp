#include "checks.hpp"
#include "brew_evidence.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/brew/mash_grist.hpp>

namespace lotwort::infer_detail {

std::vector<CheckedError> checked_errors(const Instrument& instrument) {
    std::vector<CheckedError> out;
    for (const InstrumentCheck& check : instrument.checks) {
        const double size =
            instrument.unit == "sg" ? check.known - 1.0 : check.known; // a share of a gravity is above 1
        const double unit = bias_sd(instrument, size);
        if (!(unit > 0.0)) continue;
        const double sd = std::hypot(reading_sd(instrument, size), check.known_sd.value_or(0.0));
        out.push_back({(check.read + instrument.correction.value_or(0.0) - check.known) / unit, sd / unit});
    }
    return out;
}

CheckedError believed(const std::vector<CheckedError>& checks) {
    double precision = 1.0 / lasting_share, weighted = 0.0;
    for (const CheckedError& check : checks) {
        const double weight = 1.0 / std::max(check.sd * check.sd, 1e-6);
        precision += weight;
        weighted += weight * check.value;
    }
    return {weighted / precision, std::sqrt(1.0 / precision)};
}

} // namespace lotwort::infer_detail
