// What other brews lead to expect of a brew: nothing of its own readings is in it, it is told with its right
// uncertainty, and a brew's balance is the nearer to the truth for it.
#include "near.hpp"
#include "simulated_house.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/gravity.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

HouseWish twenty(unsigned seed) {
    HouseWish wish;
    wish.seed = seed;
    wish.brews = 20;
    wish.kind = 1 + static_cast<int>(seed % 3);
    wish.typical = true;
    wish.missing = 0.1;
    wish.conversion_scatter = 0.0135;
    wish.lauter_scatter = 0.0065;
    wish.conversion_walk = 0.0003;
    wish.lauter_walk = 0.0002;
    wish.use = LotUse::one_by_one;
    wish.brews_per_lot = 200;
    return wish;
}

Elsewhere elsewhere(const LearnRequest& request, const ReconcileInput& brew) {
    const auto found = learned_elsewhere(request, {&brew});
    REQUIRE(found.size() == 1);
    REQUIRE(found.front());
    return *found.front();
}

double sd(const Elsewhere& e, std::size_t i) {
    return std::sqrt(e.covariance[i * e.mean.size() + i]);
}

Estimate quantity(const Reconciliation& r, const std::string& name) {
    const auto found = std::ranges::find(r.quantities, name, [](const auto& q) { return q.first; });
    REQUIRE(found != r.quantities.end());
    REQUIRE(found->second.estimate);
    return *found->second.estimate;
}

bool holds(const Estimate& e, double truth) {
    return e.low <= truth && truth <= e.high;
}

double extract_kg(double sg, double litres) {
    const double fraction = wort::mass_fraction_of_gravity(sg);
    return litres * wort::sucrose_density_kg_m3(fraction, 20.0) * fraction / 1000.0;
}

} // namespace

// Were its own readings in it, they would count twice.
TEST_CASE("what others lead to expect of a brew is the same whether it was read or not") {
    const SimulatedHouse house(twenty(70003));
    const Elsewhere read = elsewhere(house.request, house.request.brews[18]);
    LearnRequest unread = house.request;
    for (Reading& r : unread.brews[18].brew.readings) r.set_aside = "not looked at";
    const Elsewhere alone = elsewhere(unread, unread.brews[18]);
    REQUIRE(read.figures == Elsewhere::brew_figures);
    REQUIRE(alone.figures == Elsewhere::brew_figures);
    REQUIRE(read.instruments == alone.instruments);
    CHECK(read.brews == 19);
    CHECK(alone.brews == 19);
    for (std::size_t i = 0; i < read.mean.size(); ++i) {
        CAPTURE(i);
        // one brew of twenty moves the scales a little
        CHECK(std::abs(read.mean[i] - alone.mean[i]) < 0.12 * sd(alone, i));
        CHECK(sd(read, i) == near(sd(alone, i), 0.12));
    }
}

TEST_CASE("what others lead to expect is as wide as it is wrong, with typical instruments that last in their errors") {
    double conversion = 0.0, lauter = 0.0, hydrometer = 0.0;
    constexpr int houses = 40;
    for (unsigned i = 0; i < houses; ++i) {
        const SimulatedHouse house(twenty(71000 + i));
        const Elsewhere e = elsewhere(house.request, house.request.brews.back());
        const auto z = [&](std::size_t k, double truth) { return std::pow((e.mean[k] - truth) / sd(e, k), 2); };
        conversion += z(0, house.truth.conversion_level.back()) / houses;
        lauter += z(1, house.truth.lauter_level.back()) / houses;
        const auto glass = std::ranges::find_if(e.instruments, [](const auto& n) { return n.ends_with("hydrometer"); });
        REQUIRE(glass != e.instruments.end());
        hydrometer += z(e.figures + static_cast<std::size_t>(glass - e.instruments.begin()),
                        house.truth.offsets.at("hydrometer") / 0.001) /
                      houses;
    }
    // mean squares of what should be N(0, 1), or less where the house's level is told of a brew that scatters about it
    CHECK(conversion < 1.3);
    CHECK(lauter < 1.3);
    CHECK(hydrometer < 1.45);
    CHECK(hydrometer > 0.55);
}

// An expectation and a reading that err together must err the right way: were the sign another, the intervals would be
// a third too narrow and hold two truths of three.
TEST_CASE("a brew's balance with what others taught is nearer to the truth, and its interval holds it") {
    int gravity = 0, extract = 0, of = 0;
    double with = 0.0, alone = 0.0;
    for (unsigned i = 0; i < 40; ++i) {
        HouseWish wish = twenty(72000 + i);
        if (i % 2 == 0) wish.offsets["hydrometer"] = 0.0015;
        const SimulatedHouse house(wish);
        for (const std::size_t b : {17u, 19u}) {
            ReconcileInput in = house.request.brews[b];
            const double sg = house.truth.original_gravity[b], kg = extract_kg(sg, house.truth.volume[b]);
            alone += std::pow(quantity(reconcile(in), "extract_fermenter_kg").value / kg - 1.0, 2);
            in.elsewhere = elsewhere(house.request, in);
            const Reconciliation found = reconcile(in);
            const Estimate taught = quantity(found, "extract_fermenter_kg");
            with += std::pow(taught.value / kg - 1.0, 2);
            extract += holds(taught, kg) ? 1 : 0;
            gravity += holds(quantity(found, "original_gravity_sg"), sg) ? 1 : 0;
            ++of;
        }
    }
    CHECK(std::sqrt(with) < 0.9 * std::sqrt(alone));
    CHECK(extract >= 0.84 * of);
    CHECK(gravity >= 0.80 * of);
}

TEST_CASE("a brew whose readings contradict each other is expected by the others all the same") {
    const SimulatedHouse house(twenty(70005));
    LearnRequest request = house.request;
    for (Reading& r : request.brews[10].brew.readings)
        if (r.gravity_sg && r.point == ReadingPoint::kettle_full)
            r.gravity_sg = SpecificGravity(r.gravity_sg->value() + 0.03);
    const Elsewhere e = elsewhere(request, request.brews[10]);
    CHECK(e.figures == Elsewhere::brew_figures);
    ReconcileInput in = request.brews[10];
    in.elsewhere = e;
    const Reconciliation found = reconcile(in);
    REQUIRE_FALSE(found.suspects.empty());
    CHECK(found.suspects.front().point == "kettle-full");
    CHECK(found.others == 19);
}

TEST_CASE(
    "of a brew that is not among them, others lead to its instruments' errors alone; of one by itself to nothing") {
    const SimulatedHouse house(twenty(70006));
    LearnRequest earlier = house.request;
    earlier.brews.pop_back();
    const Elsewhere e = elsewhere(earlier, house.request.brews.back());
    CHECK(e.figures == 0);
    CHECK(e.mean.size() == e.instruments.size());
    LearnRequest one;
    one.brews = {house.request.brews.front()};
    CHECK_FALSE(learned_elsewhere(one, {&one.brews.front()}).front());
    CHECK_FALSE(learned_elsewhere({}, {&one.brews.front()}).front());
}
