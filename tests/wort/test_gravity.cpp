#include "../golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/published.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

TEST_CASE("published formulas for Plato and gravity against the tables they were fitted to") {
    using namespace lotwort::wort::published;
    const auto sg = [](const GoldenRow& r) { return ApparentGravity(r.arg("sg")); };
    const auto p = [](const GoldenRow& r) { return Plato(r.arg("p")); };
    test::check_golden_table("plato_sg.tsv",
                             {{"plato_asbc", [&](const GoldenRow& r) { return plato_asbc(sg(r)).value(); }},
                              {"brix_nbs_poly", [&](const GoldenRow& r) { return brix_nbs(sg(r)).value(); }},
                              {"plato_lincoln", [&](const GoldenRow& r) { return plato_lincoln(sg(r)).value(); }},
                              {"plato_declerck", [&](const GoldenRow& r) { return plato_de_clerck(sg(r)).value(); }},
                              {"sg_from_plato", [&](const GoldenRow& r) { return gravity_inverse_form(p(r)).value(); }},
                              {"sg_from_plato_asbc", [&](const GoldenRow& r) { return gravity_asbc(p(r)).value(); }}});
}

TEST_CASE("our Plato is that of the tables where their formulas hold") {
    using namespace lotwort::wort::published;
    for (double s = 1.001; s < 1.083; s += 0.001) {
        CAPTURE(s);
        const ApparentGravity gravity(s);
        CHECK(std::abs(plato(gravity).value() - plato_asbc(gravity).value()) < 0.016); // 0.013 of it the tables' own
    }
    // Above 20 P the quadratics leave the table by 0.10 P at 30: a strong wort must not be read by them.
    const ApparentGravity strong(1.12913); // 30 P in NBS C440
    CHECK(std::abs(plato(strong).value() - 30.0) < 0.021);
    CHECK(plato_lincoln(strong).value() - 30.0 < -0.09);
    CHECK_THROWS_AS((void)plato_lincoln(ApparentGravity(1.2)), Error);
}

TEST_CASE("gravities on other bases are other numbers") {
    // 12 P by golden rows SD-009 and SD-010 over the water rows WD-019 and WD-018
    CHECK(specific_gravity(Plato(12.0)).value() == near(1046.444 / 998.2031, 1e-6));
    CHECK(gravity_15c(Plato(12.0)).value() == near(1047.641 / 999.0991, 1e-6));
    const double true_20 = specific_gravity(Plato(12.0)).value(), in_air = apparent_gravity(Plato(12.0)).value(),
                 at_60f = gravity_60f(Plato(12.0)).value(), at_15 = gravity_15c(Plato(12.0)).value();
    CHECK(true_20 < in_air);
    CHECK(in_air < at_60f);
    CHECK(at_60f < at_15);
    CHECK(at_15 - true_20 < 0.0004);
    CHECK(plato(Gravity60F(at_60f)).value() == near(12.0, 1e-12));
    CHECK(plato(Gravity15C(at_15)).value() == near(12.0, 1e-12));
    CHECK(plato(ApparentGravity(in_air)).value() == near(12.0, 1e-12));
}

TEST_CASE("a beer drier than water has a negative apparent extract") {
    CHECK(plato(SpecificGravity(0.998)).value() == near(-0.518, 0.01)); // 0.002 / 0.00386 per P
    CHECK(plato(SpecificGravity(1.0)).value() == near(0.0, 0.0, 1e-9));
}
