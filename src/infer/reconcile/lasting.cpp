#include "lasting.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/brew/mash_grist.hpp>

namespace lotwort::infer_detail {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;

constexpr std::string_view of_balance = "balance ";
constexpr double degree_step = 0.5; // for slopes by temperature

} // namespace

// The one that the temperatures were read by: the one that is stated, or a typical one.
Instrument thermometer_of(const ReconcileInput& in) {
    const auto is_one = [](const Instrument& i) { return i.kind == InstrumentKind::thermometer; };
    if (std::ranges::count_if(in.instruments, is_one) == 1) return *std::ranges::find_if(in.instruments, is_one);
    return typical_instrument(InstrumentKind::thermometer, in.brewhouse.volume);
}

bool is_by_temperature(const BrewEquation& e) {
    return !e.is_expectation && e.scale != Scale::kilograms && e.at_c != 20.0 && e.at_c != e.calibration_c;
}

Lasting::Lasting(const ReconcileInput& in, const std::vector<BrewEquation>& equations)
    : in_(in), shares_(equations.size()) {
    for (std::size_t i = 0; i < equations.size(); ++i) {
        const auto& e = equations[i];
        if (!e.instrument.empty() && e.bias_sd > 0.0) add(i, e.instrument, e.unit, e.bias_sd, e.bias_sd);
        for (const auto& shared : e.shared)
            if (shared.source.starts_with(of_balance) && shared.sd > 0.0)
                add_balance(i, shared.source.substr(of_balance.size()), shared.sd);
    }
}

void Lasting::add_thermometer(const BrewModel& model, const JointBalance& at) {
    const Instrument thermometer = thermometer_of(in_);
    const double sd = thermometer.bias_sd.value_or(0.0);
    if (!(sd > 0.0)) return;
    for (std::size_t i = 0; i < model.equations.size(); ++i) {
        const auto& e = model.equations[i];
        if (!is_by_temperature(e)) continue;
        BrewEquation warmer = e;
        warmer.at_c += degree_step;
        const double per_degree = (at.predicted(warmer).value - at.predicted(e).value) / degree_step;
        // it reads high: the wort was colder than the equation has it
        if (per_degree != 0.0) add(i, thermometer.name, "c", sd, -per_degree * sd);
    }
}

MatrixXd Lasting::matrix() const {
    MatrixXd out = MatrixXd::Zero(static_cast<Index>(shares_.size()), static_cast<Index>(instruments.size()));
    for (std::size_t i = 0; i < shares_.size(); ++i)
        for (const auto& [at, share] : shares_[i]) out(static_cast<Index>(i), static_cast<Index>(at)) += share;
    return out;
}

void Lasting::add(std::size_t equation, const std::string& name, const std::string& unit, double sd, double share) {
    auto found = std::ranges::find(instruments, name, &BrewInstrument::name);
    if (found == instruments.end()) {
        BrewInstrument fresh;
        const auto stated = std::ranges::find(in_.instruments, name, &Instrument::name);
        fresh.is_stated = stated != in_.instruments.end();
        fresh.name = name;
        fresh.key = instrument_key(in_, name);
        if (fresh.is_stated && !stated->bias_sd_pct && stated->unit == unit)
            fresh.correction = stated->correction.value_or(0.0);
        if (fresh.is_stated) fresh.checks = checked_errors(*stated);
        found = instruments.insert(instruments.end(), std::move(fresh));
    }
    found->unit = unit;
    found->bias_sd = sd;
    ++found->readings;
    shares_[equation].emplace_back(static_cast<std::size_t>(found - instruments.begin()), share);
}

// Of the grist's extract; the instrument's own figure is of what is weighed.
void Lasting::add_balance(std::size_t equation, const std::string& name, double extract_sd) {
    const auto known = std::ranges::find(in_.instruments, name, &Instrument::name);
    const Instrument balance =
        known != in_.instruments.end() ? *known : typical_instrument(InstrumentKind::balance, in_.brewhouse.volume);
    double mass = 0.0, times = 0.0;
    for (const auto& a : in_.brew.additions)
        if (a.stage == Stage::mash && a.amount.measure == Measure::mass) mass += a.amount.kilograms().value(), ++times;
    const double in_unit = balance.unit && *balance.unit == "g" ? 1000.0 : 1.0;
    const double each = mass / std::max(times, 1.0) * in_unit;
    add(equation, name, balance.unit.value_or("kg"), bias_sd(balance, each), extract_sd);
}

std::vector<BrewEquation> without_lasting(std::vector<BrewEquation> equations) {
    const double fresh = std::sqrt(1.0 - lasting_share);
    for (auto& e : equations) {
        e.bias_sd *= fresh;
        for (auto& shared : e.shared)
            if (shared.source.starts_with(of_balance)) shared.sd *= fresh;
    }
    return equations;
}

} // namespace lotwort::infer_detail
