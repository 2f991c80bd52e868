#include "../golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/hop_analysis.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <lotwort/wort/instruments.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

TEST_CASE("scales and limits by the GUM, critical difference by ISO 5725, the rules of 1907") {
    test::check_golden_table(
        "instruments.tsv",
        {{"u_rect", [](const GoldenRow& r) { return u_rectangular(r.arg("a")); }},
         {"u_tri", [](const GoldenRow& r) { return u_triangular(r.arg("a")); }},
         {"u_resolution", [](const GoldenRow& r) { return u_resolution(r.arg("d")); }},
         {"sd_from_repeatability", [](const GoldenRow& r) { return sd_of_r95(r.arg("r95")); }},
         {"critical_difference",
          [](const GoldenRow& r) {
              return critical_difference(r.arg("r95"), r.arg("big_r95"), static_cast<int>(r.arg("n")));
          }},
         {"hydrometer_limit_1907", [](const GoldenRow& r) { return hydrometer_limit_1907(r.arg("division")); }},
         {"glass_expansion", [](const GoldenRow&) { return glass_expansion_per_k; }},
         {"hsi_share_sd_within", [](const GoldenRow&) { return hsi_share_sd_within; }},
         {"hsi_share_sd_between", [](const GoldenRow&) { return hsi_share_sd_between; }}});
}

TEST_CASE("published collaborative trials") {
    const auto trial = [](const GoldenRow& r) {
        return trial_precisions().at(static_cast<std::size_t>(r.arg("trial")));
    };
    test::check_golden_table(
        "precision.tsv", {{"published_r95", [&](const GoldenRow& r) { return trial(r).r95; }},
                          {"published_R95", [&](const GoldenRow& r) { return trial(r).big_r95; }},
                          {"sd_within", [&](const GoldenRow& r) { return sd_of_r95(trial(r).r95); }},
                          {"sd_between", [&](const GoldenRow& r) { return sd_of_r95(trial(r).big_r95); }},
                          {"critical_difference", [&](const GoldenRow& r) {
                               return critical_difference(trial(r).r95, trial(r).big_r95, static_cast<int>(r.arg("n")));
                           }}});
}

TEST_CASE("a stem divided in 0.002 with a limit of 0.001") {
    const auto u = reading_uncertainty(0.002, 0.001);
    CHECK(u.repeatability == near(0.00057735)); // half a division
    CHECK(u.bias == near(0.00057735));
    // who has read the same wort ten times knows better than the division
    CHECK(reading_uncertainty(0.002, 0.001, 0.0003).repeatability == 0.0003);
}

TEST_CASE("a retest against the certificate: a point of moisture is a difference, nine tenths are not") {
    // malt moisture by near infrared, r95 0.2, R95 1.3: 0.92 for one result
    CHECK_FALSE(differs(4.2, 5.1, 0.2, 1.3, 1));
    CHECK(differs(4.2, 5.2, 0.2, 1.3, 1));
    CHECK(differs(4.2, 3.2, 0.2, 1.3, 1));
    // more results in one laboratory help little where laboratories differ more than their own results
    CHECK(critical_difference(0.2, 1.3, 10) > 0.9);
    CHECK(critical_difference(1.3, 1.3, 10) == near(1.3 / std::sqrt(20.0)));
}

TEST_CASE("what no trial states is refused") {
    CHECK_THROWS_WITH_AS((void)critical_difference(1.3, 0.2, 1), "R95: 0.2 is below 1.3", Error);
    CHECK_THROWS_AS((void)critical_difference(0.2, 1.3, 0), Error);
    CHECK_THROWS_AS((void)reading_uncertainty(-0.002, 0.001), Error);
    CHECK_THROWS_AS((void)reading_uncertainty(0.002, std::nan("")), Error);
    CHECK_THROWS_WITH_AS((void)hydrometer_limit_1907(0.3), "no error limit is known for divisions of 0.3 %", Error);
}
