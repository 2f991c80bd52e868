// Hops below the boil: the measured kinetics, and the minutes of boil that a stand or a cooling wort are worth.
#include "../golden_table.hpp"
#include "generator.hpp"
#include "near.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/isomerisation.hpp>
#include <vector>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

namespace {

// integral of exp(-b/T) dT in closed form: T exp(-b/T) - b E1(b/T), E1(x) = -Ei(-x)
double exact_integral(double b, double kelvin) {
    return kelvin * std::exp(-b / kelvin) + b * std::expint(-b / kelvin);
}

// Equivalent minutes of a straight course from one temperature to another, exactly.
double exact_minutes(double minutes, double from_c, double to_c, double boil_c) {
    const double b = isomerisation_slope_k, t0 = from_c + 273.15, t1 = to_c + 273.15;
    const double mean = (exact_integral(b, t1) - exact_integral(b, t0)) / (t1 - t0);
    return minutes * mean / std::exp(-b / (boil_c + 273.15));
}

BoilEquivalent straight(double minutes, double from_c, double to_c) {
    const std::vector<TimedTemperature> course{{Minutes(0.0), Celsius(from_c)}, {Minutes(minutes), Celsius(to_c)}};
    return equivalent_boil(course);
}

} // namespace

TEST_CASE("Malowicki and Shellhammer's rates and what follows from them; hops in the laboratory") {
    test::check_golden_table(
        "isomerisation.tsv",
        {{"malowicki_k1", [](const GoldenRow& r) { return isomerisation_per_min(r.arg("t")); }},
         {"malowicki_k2", [](const GoldenRow& r) { return iso_loss_per_min(r.arg("t")); }},
         {"activation_energy", [](const GoldenRow& r) { return activation_energy_kj_per_mol(r.arg("slope_k")); }},
         {"iso_fraction", [](const GoldenRow& r) { return iso_fraction(r.arg("minutes"), r.arg("t")); }},
         {"alpha_remaining", [](const GoldenRow& r) { return alpha_remaining(r.arg("minutes"), r.arg("t")); }},
         {"iso_peak_minutes", [](const GoldenRow& r) { return iso_peak_minutes(r.arg("t")); }}});
}

TEST_CASE("minutes at the boil are minutes; elsewhere they count by the ratio of the rates") {
    CHECK(equivalent_boil(Minutes(60.0), Celsius(100.0)).minutes.value() == near(60.0, 1e-12));
    CHECK(equivalent_boil(Minutes(60.0), Celsius(100.0)).sd.value() == near(0.0, 0.0, 1e-9));
    CHECK_FALSE(equivalent_boil(Minutes(60.0), Celsius(100.0)).extrapolated);
    // golden rows HO-149 and HO-153: k1 0.005206357 at 90 C, 0.01249026 at 100 C
    CHECK(equivalent_boil(Minutes(30.0), Celsius(90.0)).minutes.value() == near(30.0 * 0.005206357 / 0.01249026, 1e-6));
    // by the boil of a brewery at 1500 m, where an hour is worth 39 minutes at 100 C
    const Celsius high = boiling_point(Metres(1500.0));
    CHECK(equivalent_boil(Minutes(60.0), high).minutes.value() == near(39.0, 0.01));
    CHECK(equivalent_boil(Minutes(60.0), high, high).minutes.value() == near(60.0));
}

TEST_CASE("a straight course against exponential integrals") {
    test::Generator g(test::seed);
    MESSAGE("seed ", test::seed, ", ", test::tries, " courses");
    double worst = 0.0;
    for (int i = 0; i < test::tries; ++i) {
        const double from = g.between(15.0, 105.0), minutes = g.between(0.1, 120.0);
        double to = g.between(15.0, 105.0);
        if (std::abs(to - from) < 1.0) to = from - 2.0; // the closed form cancels where the course is level
        const double exact = exact_minutes(minutes, from, to, 100.0);
        const double ours = straight(minutes, from, to).minutes.value();
        CAPTURE(from);
        CAPTURE(to);
        REQUIRE(std::abs(ours / exact - 1.0) < 1e-9); // the closed form itself loses some digits over a short piece
        worst = std::max(worst, std::abs(ours / exact - 1.0));
    }
    MESSAGE("largest relative difference ", worst);
}

TEST_CASE("a course may be cut anywhere, and time at level temperature counts evenly") {
    const std::vector<TimedTemperature> whole{{Minutes(0.0), Celsius(98.0)},
                                              {Minutes(5.0), Celsius(85.0)},
                                              {Minutes(25.0), Celsius(82.0)},
                                              {Minutes(50.0), Celsius(20.0)}};
    const std::vector<TimedTemperature> cut{{Minutes(0.0), Celsius(98.0)},  {Minutes(2.5), Celsius(91.5)},
                                            {Minutes(5.0), Celsius(85.0)},  {Minutes(15.0), Celsius(83.5)},
                                            {Minutes(25.0), Celsius(82.0)}, {Minutes(50.0), Celsius(20.0)}};
    CHECK(equivalent_boil(whole).minutes.value() == near(equivalent_boil(cut).minutes.value(), 1e-10));
    CHECK(equivalent_boil(Minutes(20.0), Celsius(85.0)).minutes.value() ==
          near(2.0 * equivalent_boil(Minutes(10.0), Celsius(85.0)).minutes.value()));
    // from the boil to pitching in half an hour: most of it in the first minutes
    const double cooling = straight(30.0, 100.0, 20.0).minutes.value();
    CHECK(cooling > 3.0);
    CHECK(cooling < 5.0);
}

TEST_CASE("outside 90 to 130 C it is an extrapolation, is said so, and is wider") {
    const auto share = [](double t) {
        const auto e = equivalent_boil(Minutes(30.0), Celsius(t));
        CHECK(e.extrapolated == (t < 90.0));
        return e.sd / e.minutes;
    };
    CHECK(share(95.0) < 0.02);
    CHECK(share(90.0) < 0.03);
    CHECK(share(80.0) == near(0.107, 0.02)); // by hand: 11858 hypot(0.03 1.518e-4, 0.1 7.80e-5)
    CHECK(share(60.0) > 0.3);
    double last = 0.0;
    for (double t = 99.0; t > 20.0; t -= 1.0) {
        CHECK(share(t) > last);
        last = share(t);
    }
}

TEST_CASE("the course's slopes: a stand one degree warmer") {
    using Real = Dual<2>;
    const std::vector<CoursePoint<Real>> course{{Real(0.0), Real::parameter(80.0, 0)},
                                                {Real::parameter(30.0, 1), Real::parameter(80.0, 0)}};
    const auto eq = equivalent_boil_minutes(std::span<const CoursePoint<Real>>(course), 100.0);
    CHECK(eq.value == near(equivalent_boil(Minutes(30.0), Celsius(80.0)).minutes.value(), 1e-13));
    CHECK(eq.slope[0] == near(eq.value * 11858.0 / (353.15 * 353.15), 1e-12)); // d ln k1/dT = b/T^2
    CHECK(eq.slope[1] == near(eq.value / 30.0, 1e-12));
}

TEST_CASE("a course that is none is refused and the range named") {
    const auto course = [](double second_minute, double second_c) {
        const std::vector<TimedTemperature> points{{Minutes(0.0), Celsius(95.0)},
                                                   {Minutes(second_minute), Celsius(second_c)}};
        return equivalent_boil(points);
    };
    CHECK_THROWS_WITH_AS((void)course(-1.0, 80.0), "time in minutes of point 2 of the course: -1 is outside 0 to 1e+06",
                         Error);
    CHECK_THROWS_WITH_AS((void)course(10.0, 180.0), "temperature in C: 180 is outside 0 to 130", Error);
    CHECK_THROWS_AS((void)equivalent_boil(std::vector<TimedTemperature>{}), Error);
    CHECK_THROWS_AS((void)equivalent_boil(Minutes(10.0), Celsius(80.0), Celsius(10.0)), Error);
    CHECK_THROWS_AS((void)equivalent_boil(Minutes(std::nan("")), Celsius(80.0)), Error);
}
