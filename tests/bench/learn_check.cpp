// One simulated ledger's evidence and what the sparse model makes of it, for learn_check.py to work out again by dense
// matrices in another language. Scales as stated, every lot ordinary. `learn_check [brews] | python3 learn_check.py`.
#include "../../src/infer/learn/model.hpp"
#include "infer/simulated_house.hpp"
#include <cmath>
#include <cstdio>

using namespace lotwort;
using namespace lotwort::infer_detail;

int main(int argc, char** argv) {
    test::HouseWish wish;
    wish.brews = argc > 1 ? std::atoi(argv[1]) : 150;
    test::SimulatedHouse house(wish);
    std::vector<BrewEvidence> evidence;
    std::map<std::string, UsedLot> lots;
    for (const auto& used : house.request.lots_on_hand) lots[used.lot.code] = used;
    const Date latest = house.request.brews.back().brew.date;
    for (const auto& brew : house.request.brews) evidence.push_back(evidence_of(brew, latest));
    const LearnModel model = learn_model(evidence, lots, {*house.request.brewhouse}, latest, OddLots::none);
    const auto& prior = model.houses.front().prior;
    std::printf("walk %.17g %.17g\n", conversion_walk_sd, lauter_walk_sd);
    for (std::size_t i = 0; i < house_figures; ++i)
        std::printf("prior %zu %.17g %.17g %.17g\n", i, prior.mean[i], prior.level_sd[i], prior.scatter_sd[i]);
    std::printf("lasting %.17g\n", lasting_share);
    for (const auto& item : model.items) std::printf("item %s %.17g\n", item.item.substr(0, 4).c_str(), item.sd);
    for (const auto& lot : model.lots) std::printf("lot %s %d %.17g\n", lot.lot.c_str(), lot.item, lot.prior.lot_sd);
    stats::GaussianSolver solver(model.model);
    const auto& fit = solver.fit(std::vector<double>(scale_names, 0.0), stats::GaussianSolver::Want::variances);
    const auto said = [&](const char* what, std::size_t number, int unknown) {
        const auto k = static_cast<std::size_t>(unknown);
        std::printf("%s %zu %.17g %.17g\n", what, number, fit.mean[k], std::sqrt(fit.variance[k]));
    };
    for (std::size_t b = 0; b < model.brews.size(); ++b) {
        const auto& e = *model.brews[b].evidence;
        std::printf("brew %zu\n", b);
        for (const auto& share : e.shares) std::printf("share %d %.17g\n", model.lot_index.at(share.lot), share.share);
        for (const auto& used : e.instruments) std::printf("with %d\n", model.instrument_index.at(used.key));
        for (const auto& row : e.rows) {
            std::printf("row %.17g %.17g %.17g %.17g %.17g", row.of[0], row.of[1], row.of[2], row.of[3], row.of[4]);
            for (const double share : row.lasting) std::printf(" %.17g", share);
            std::printf(" %.17g\n", row.value);
        }
        said("conversion", b, model.brews[b].conversion);
        said("lauter", b, model.brews[b].lauter);
    }
    for (std::size_t i = 0; i < model.lots.size(); ++i) said("found", i, model.lots[i].unknown);
    for (std::size_t i = 0; i < 3; ++i) said("constant", i, model.houses.front().constants[i]);
    for (std::size_t i = 0; i < model.instruments.size(); ++i) said("lasts", i, model.instruments[i].unknown);
    std::printf("likelihood %.17g\n", fit.log_likelihood);
}
