#include "../golden_table.hpp"
#include "generator.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/refractometer.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

TEST_CASE("refraction: index, two readings of a fermentation, the wort factor") {
    test::check_golden_table(
        "refractometer.tsv",
        {{"brix_from_nd", [](const GoldenRow& r) { return brix(r.arg("n")).value(); }},
         {"refr_fg_cubic", [](const GoldenRow& r) { return terrill_cubic(r.arg("ri"), r.arg("rf")); }},
         {"refr_fg_linear", [](const GoldenRow& r) { return terrill_linear(r.arg("ri"), r.arg("rf")); }},
         {"refr_fg_old", [](const GoldenRow& r) { return older_cubic(r.arg("ri"), r.arg("rf")); }},
         {"savel1971_ae", [](const GoldenRow& r) { return savel_apparent_extract(r.arg("r")); }},
         {"wort_plato", [](const GoldenRow& r) { return plato_of_brix(Brix(r.arg("brix")), r.arg("wcf")).value(); }}});
}

TEST_CASE("water reads nothing once its own reading is subtracted; by itself the polynomial is 0.016 low there") {
    CHECK(brix(water_refractive_index).value() == 0.0);
    CHECK(refraction::polynomial(water_refractive_index) == near(-0.016, 0.02));
    // with it, the recalled index values come out to 0.005 Bx over the whole of a brewer's range
    for (const GoldenRow& row : test::golden_rows("refractometer.tsv"))
        if (row.function == "brix_from_nd") CHECK(test::is_near(brix(row.arg("n")).value(), row.expected, 0.005));
}

TEST_CASE("a hand refractometer's wort factor from one wort read both ways") {
    CHECK(wort_factor_of(Brix(12.48), Plato(12.0)) == near(1.04));
    CHECK(plato_of_brix(Brix(12.48)).value() == near(12.0)); // the usual factor is taken where none is said
    CHECK(brix_of_plato(Plato(12.0), 1.02).value() == near(12.24));
    // beer on the prism: 6 Bx where the stem shows 2.5 P is no wort factor
    CHECK_THROWS_WITH_AS((void)wort_factor_of(Brix(6.0), Plato(2.5)),
                         "wort correction factor: 2.4 is outside 0.9 to 1.2", Error);
}

TEST_CASE("final gravity from two readings is an estimate and shows how far the rules lie apart") {
    const auto estimate = final_gravity_from_refractometer(Brix(12.48), Brix(6.24), 1.04); // 12 and 6 after the factor
    CHECK(estimate.gravity.value() == near(1.011679, 2e-6));                               // golden row RF-008
    CHECK(estimate.rules.size() == 3);
    CHECK(word(estimate.rules[1].rule) == "Terrill 2011, linear");
    CHECK(estimate.rules[1].gravity.value() == near(1.010683, 2e-6));
    CHECK(estimate.rules[2].gravity.value() == near(1.008505, 2e-6));
    CHECK(estimate.spread.value() == near(0.003174, 1e-3)); // 1.011679 - 1.008505
    CHECK(estimate.sd.value() >= terrill_sd);
    // strong wort: the two rules of one author part by 3 points, and the uncertainty says it
    const auto strong = final_gravity_from_refractometer(Brix(20.8), Brix(8.32), 1.04); // 20 and 8
    CHECK(strong.sd.value() > 0.0035);
}

TEST_CASE("what two readings cannot tell is refused, and why is said") {
    CHECK_THROWS_WITH_AS((void)final_gravity_from_refractometer(Brix(12.0), Brix(13.0), 1.04),
                         "the beer's reading in Brix: 13 is outside 0 to 12", Error);
    CHECK_THROWS_AS((void)final_gravity_from_refractometer(Brix(40.0), Brix(10.0), 1.04), Error);
    CHECK_THROWS_AS((void)final_gravity_from_refractometer(Brix(12.0), Brix(6.0), 10.4), Error);
    CHECK_THROWS_WITH_AS((void)brix(1.5), "refractive index: 1.5 is outside 1.331 to 1.4", Error);
    CHECK_THROWS_AS((void)refractive_index(Brix(60.0)), Error);
    CHECK_THROWS_AS((void)plato_of_brix(Brix(120.0)), Error);
    try {
        (void)final_gravity_from_refractometer(Brix(12.0), Brix(11.0), 1.04);
        FAIL("hardly fermented, and answered");
    } catch (const Error& e) {
        CHECK(std::string(e.what()).find("refractometer tells a final gravity from 50 % on") != std::string::npos);
        CHECK(e.hint() == "read the gravity with a hydrometer");
    }
}
