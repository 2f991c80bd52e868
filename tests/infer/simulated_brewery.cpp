#include "simulated_brewery.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::test {

const std::vector<Kind> kinds{{"no sparge", Sparge::none, 1.0},
                              {"one batch", Sparge::batch, 2.0},
                              {"two batches", Sparge::batch, 3.0},
                              {"continuous", Sparge::continuous, 2.6}};

namespace {

void set_liquor(Truth& truth, double total_l) {
    truth.strike_l = truth.sparge == Sparge::none ? total_l : 3.0 * truth.grist_kg;
    truth.sparge_l = total_l - truth.strike_l;
}

} // namespace

SimulatedBrew Brewery::draw(const Kind& kind, double missing, const Truth& unseen) {
    Truth nominal{.sparge = kind.sparge, .wash_stages = kind.wash_stages};
    nominal.grist_kg = std::round(normal(4.7, 0.6) * 100.0) / 100.0;
    nominal.conversion = conversion_;
    nominal.lauter_of_expected = 1.0;
    nominal.absorption_l_per_kg = 1.0;
    nominal.boil_off_l_per_h = 3.2;
    nominal.boil_minutes = 60.0;
    nominal.kettle_loss_l = 1.5;
    set_liquor(nominal, 33.0);
    // liquor in all that brings what the brewhouse is meant for; the fermenter takes what the liquor gives
    const double total = 33.0 + 23.0 - simulate(nominal).fermenter_l;
    set_liquor(nominal, total);

    Truth truth = nominal;
    truth.grist_kg = nominal.grist_kg - normal(0.0, std::hypot(0.02, 0.01));
    truth.extract_fine_dry_pct = normal(nominal.extract_fine_dry_pct, 0.9);
    truth.moisture_pct = normal(nominal.moisture_pct, 0.2);
    do {
        truth.conversion = normal(nominal.conversion, 0.025);
    } while (truth.conversion > 1.0);
    truth.lauter_of_expected = normal(1.0, 0.02);
    truth.absorption_l_per_kg = normal(1.0, 0.08);
    truth.boil_off_l_per_h = normal(3.2, 0.4);
    truth.kettle_loss_l = normal(1.5, 0.3);
    truth.top_up_l = unseen.top_up_l + normal(0.0, 0.023);
    truth.kettle_liquor_l = unseen.kettle_liquor_l + normal(0.0, 0.023);
    // the brewer's liquor scatters as the expectation for a day without a reading has it
    truth.strike_l = normal(nominal.strike_l, kind.sparge == Sparge::none ? 0.1 * total : 0.5 * nominal.grist_kg);
    if (kind.sparge == Sparge::none)
        truth.sparge_l = std::abs(normal(0.0, 0.023));
    else
        truth.sparge_l = std::max(5.0, normal(total, 0.1 * total) - truth.strike_l);

    SimulatedBrew brew = simulate(truth);
    while (brew.lauter > 1.0) { // no more runs off than was dissolved
        truth.lauter_of_expected = normal(1.0, 0.02);
        brew = simulate(truth);
    }
    const auto expected = simulate(nominal);
    brew.input.brewhouse = expected.input.brewhouse;
    brew.input.lots = expected.input.lots;
    brew.input.brew.additions = expected.input.brew.additions;
    // what ran in unseen stays unrecorded
    std::erase_if(brew.input.brew.readings, [](const Reading& r) { return r.point == ReadingPoint::kettle_liquor; });
    read_everything(brew);
    std::map<std::string, double> bias;
    for (const auto& i : brew.input.instruments) {
        const double drawn = normal(0.0, *i.bias_sd);
        bias[i.name] = kept_.contains(i.name) ? kept_.at(i.name) : drawn;
    }
    auto& readings = brew.input.brew.readings;
    std::erase_if(readings, [&](const Reading&) { return std::bernoulli_distribution(missing)(chance_); });
    for (auto& reading : readings) err(reading, bias);
    return brew;
}

void Brewery::err(Reading& r, const std::map<std::string, double>& bias) {
    if (r.volume) {
        const double own = r.volume_instrument == "liquor marks"   ? 0.12
                           : r.volume_instrument == "kettle marks" ? 0.2
                                                                   : 0.17;
        r.volume = *r.volume + Litres(normal(bias.at(*r.volume_instrument), own));
    }
    if (r.gravity_sg) r.gravity_sg = *r.gravity_sg + GravityDifference(normal(bias.at("hydrometer"), 0.0004));
}

} // namespace lotwort::test
