// What the final gravity makes of a brew: by hydrometer, by refractometer through the alcohol, by both.
#include "near.hpp"
#include "reconcile/final_beer.hpp"
#include "simulated_brew.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/wort/gravity.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Estimate quantity(const Reconciliation& r, const char* name) {
    for (const auto& [called, found] : r.quantities)
        if (called == name && found.estimate) return *found.estimate;
    return {};
}

Reading beer(const char* id, std::optional<double> gravity_sg, std::optional<double> brix) {
    Reading r;
    r.id = id;
    r.point = ReadingPoint::final_beer;
    if (gravity_sg) r.gravity_sg = SpecificGravity(*gravity_sg);
    if (brix) r.brix = Brix(*brix);
    return r;
}

struct Fermented {
    SimulatedBrew brew = simulate({});
    Estimate original;
    Fermented() {
        read_everything(brew);
        original = quantity(reconcile(brew.input), "original_gravity_sg");
    }
    Reconciliation with(const std::vector<Reading>& readings) const {
        auto input = brew.input;
        for (const Reading& r : readings) input.brew.readings.push_back(r);
        return reconcile(input);
    }
    // Terrill's cubic as published, of the wort's and the beer's Brix over the wort factor 1.04
    [[nodiscard]] double terrill(double brix) const {
        const double i = wort::plato(SpecificGravity(original.value)).value(), f = brix / 1.04;
        return 1.0 - 0.0044993 * i + 0.00027581 * i * i - 0.0000072800 * i * i * i + 0.011774 * f - 0.0012717 * f * f +
               0.000063293 * f * f * f;
    }
};

} // namespace

TEST_CASE("a refractometer in beer counts: its Brix goes through the original gravity") {
    const Fermented f;
    const Reconciliation r = f.with({beer("prism", {}, 6.0)});
    const Estimate final = quantity(r, "final_gravity_sg");
    CHECK(final.value == near(f.terrill(6.0), 1e-6));
    CHECK(final.sd > 0.002); // the rule's own, and the instrument's
    CHECK(final.sd < 0.004);
    CHECK(quantity(r, "alcohol_abv_pct").value > 3.0);
    CHECK(quantity(r, "apparent_attenuation_pct").value ==
          near(100.0 * (1.0 - wort::plato(SpecificGravity(final.value)).value() /
                                  wort::plato(SpecificGravity(f.original.value)).value()),
               1e-4));
    CHECK(r.beyond_original.empty());
}

TEST_CASE("hydrometer and refractometer that agree count together, the better one more") {
    const Fermented f;
    const double by_prism = f.terrill(6.0);
    const Estimate glass = quantity(f.with({beer("glass", by_prism + 0.001, {})}), "final_gravity_sg");
    const Estimate prism = quantity(f.with({beer("prism", {}, 6.0)}), "final_gravity_sg");
    const Reconciliation both = f.with({beer("glass", by_prism + 0.001, {}), beer("prism", {}, 6.0)});
    const Estimate final = quantity(both, "final_gravity_sg");
    const double wg = 1.0 / (glass.sd * glass.sd), wp = 1.0 / (prism.sd * prism.sd);
    CHECK(final.value == near((wg * glass.value + wp * prism.value) / (wg + wp), 1e-9));
    CHECK(final.sd == near(1.0 / std::sqrt(wg + wp), 1e-9));
    CHECK(both.beyond_original.empty());
}

TEST_CASE("one of the two misread is told, with both readings named") {
    const Fermented f;
    const double slipped = f.terrill(6.0) + 0.020; // 1.030 for 1.010
    const Reconciliation r = f.with({beer("glass", slipped, {}), beer("prism", {}, 6.0)});
    CHECK(r.beyond_original.find("by the hydrometer (glass)") != std::string::npos);
    CHECK(r.beyond_original.find("by the refractometer (prism)") != std::string::npos);
    CHECK(r.beyond_original.find("one of the two is misread") != std::string::npos);
    const Estimate alone = quantity(f.with({beer("glass", slipped, {})}), "final_gravity_sg");
    CHECK(quantity(r, "final_gravity_sg").value == alone.value);
}

TEST_CASE("of several readings of a kind the last counts") {
    const Fermented f;
    const Reconciliation r = f.with({beer("day 9", 1.014, {}), beer("day 11", 1.011, {})});
    const Estimate last = quantity(f.with({beer("day 11", 1.011, {})}), "final_gravity_sg");
    CHECK(quantity(r, "final_gravity_sg").value == last.value);
}

TEST_CASE("a Brix that the rule does not hold for is named as impossible, and no alcohol is made up") {
    const Fermented f;
    const Reconciliation r = f.with({beer("prism", {}, 12.0)}); // hardly fermented
    CHECK(quantity(r, "alcohol_abv_pct").value == 0.0);
    REQUIRE_FALSE(r.suspects.empty());
    CHECK(r.suspects.front().reading == "prism");
    CHECK_FALSE(r.suspects.front().impossible.empty());
}

TEST_CASE(
    "an impossible Brix beside a good hydrometer takes nothing from it, and is named itself; so the other way round") {
    const Fermented f;
    const Estimate alone = quantity(f.with({beer("glass", 1.011, {})}), "final_gravity_sg");
    const Reconciliation odd_prism = f.with({beer("glass", 1.011, {}), beer("prism", {}, 16.0)});
    CHECK(quantity(odd_prism, "final_gravity_sg").value == alone.value);
    REQUIRE_FALSE(odd_prism.suspects.empty());
    CHECK(odd_prism.suspects.front().reading == "prism");
    CHECK(odd_prism.suspects.front().impossible.starts_with("16 °Bx is no less than the wort itself would show, "));

    Fermented broken;
    Instrument off;
    off.name = "gun";
    off.kind = InstrumentKind::hydrometer;
    off.correction = -3160.6; // no wort has that
    broken.brew.input.instruments.push_back(off);
    Reading glass = beer("glass", 1.011, {});
    glass.gravity_instrument = "gun";
    const Reconciliation odd_glass = broken.with({glass, beer("prism", {}, 6.0)});
    REQUIRE_FALSE(odd_glass.suspects.empty());
    CHECK(odd_glass.suspects.front().reading == "glass");
    CHECK(quantity(odd_glass, "final_gravity_sg").value == near(broken.terrill(6.0), 1e-6));
}

TEST_CASE("a brew's own final gravity counts before that of another in its fermenter") {
    const Fermented f;
    auto input = f.brew.input;
    input.brew.readings.push_back(beer("own", 1.010, {}));
    auto other = simulate({}).input;
    other.brew.code = "B2";
    other.brew.readings = {beer("theirs", 1.020, {})};
    input.later_in_fermenter = {other};
    CHECK(infer_detail::final_beer(input, f.original).gravity->reading == "own");
    input.brew.readings.pop_back();
    CHECK(infer_detail::final_beer(input, f.original).gravity->reading == "theirs");
}
