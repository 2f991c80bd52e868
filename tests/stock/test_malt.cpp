#include "../golden_table.hpp"
#include "near.hpp"
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/stock/malt_analysis.hpp>
#include <lotwort/stock/typical.hpp>
#include <random>

using namespace lotwort;
using namespace lotwort::test;
using lotwort::test::GoldenRow;

namespace {

Date day(const char* iso) {
    return *parse_iso_date(iso);
}

Item pale_ale_malt() {
    Item item;
    item.name = "pale ale malt";
    item.malt_class = "base";
    return item;
}

Certificate certificate(double extract, ExtractBasis basis) {
    Certificate c;
    c.extract = Percent(extract);
    c.extract_basis = basis;
    return c;
}

Lot lot_with(const Certificate& c) {
    Lot lot;
    lot.code = "M1";
    lot.item = "pale ale malt";
    lot.received = day("2024-01-10");
    lot.certificate = c;
    return lot;
}

const Date brew_day = day("2024-03-01");

} // namespace

TEST_CASE("malt analyses: bases, the laboratory mash, unit conversions") {
    const auto moisture = [](const GoldenRow& r) { return Percent(r.arg("moisture")); };
    test::check_golden_table(
        "malt.tsv",
        {{"as_is", [&](const GoldenRow& r) { return as_is_of_dry(Percent(r.arg("dry_basis")), moisture(r)).value(); }},
         {"coarse_as_is",
          [&](const GoldenRow& r) { return as_is_of_dry(Percent(r.arg("fgdb") - r.arg("fcd")), moisture(r)).value(); }},
         {"dry_basis",
          [&](const GoldenRow& r) { return dry_of_as_is(Percent(r.arg("as_is_pct")), moisture(r)).value(); }},
         {"noonan_as_is",
          [&](const GoldenRow& r) { return noonan_as_is(Percent(r.arg("dbcg")), moisture(r)).value(); }},
         {"iob_from_ebc", [](const GoldenRow& r) { return iob_litre_degrees_of_congress(Percent(r.arg("ebc_pct"))); }},
         {"congress_wort_plato",
          [&](const GoldenRow& r) { return congress_wort(Percent(r.arg("e_as_is")), moisture(r)).value(); }},
         {"congress_extract_as_is",
          [&](const GoldenRow& r) { return congress_extract_as_is(Plato(r.arg("p")), moisture(r)).value(); }},
         {"hwe_from_ppg", [](const GoldenRow& r) { return litre_degrees_of_ppg(r.arg("ppg")); }},
         {"sucrose_ppg", // one pound in one US gallon
          [](const GoldenRow&) {
              return litre_degrees_of_sucrose(1000.0 / litre_degrees_per_ppg) / litre_degrees_per_ppg;
          }},
         {"sucrose_hwe", [](const GoldenRow& r) { return litre_degrees_of_sucrose(r.arg("g_per_l")); }},
         {"wk_from_lintner", [](const GoldenRow& r) { return wk_of_lintner(r.arg("lintner")).value(); }},
         {"modification_class", [](const GoldenRow& r) { return modification_class(Percent(r.arg("difference"))); }},
         {"lintner_from_wk", [](const GoldenRow& r) { return lintner_of_wk(WindischKolbach(r.arg("wk"))); }}});
}

TEST_CASE("sucrose's litre-degrees are those of a wort as strong as the laboratory's") {
    CHECK(sucrose_litre_degrees == near(litre_degrees_of_sucrose(90.0), 1e-5));
    CHECK_THROWS_AS((void)litre_degrees_of_sucrose(0.0), Error);
}

TEST_CASE("the conversions' slopes are those of their differences, and each has its way back") {
    const double h = 1e-3; // rounding of what is about 400 stays below 1e-10 of its difference
    const auto slope_of = [&](auto&& f, double x) {
        const double by_difference = (f(x + h) - f(x - h)) / (2.0 * h);
        const auto with_slope = f(Dual<1>::parameter(x, 0));
        CHECK(with_slope.value == near(f(x), 1e-13));
        CHECK(with_slope.slope[0] == near(by_difference, 1e-6));
    };
    slope_of([](auto c) { return sucrose_litre_degrees_at(c); }, 90.0);
    slope_of([](auto m) { return as_is_pct(81.0, m); }, 4.2);
    slope_of([](auto m) { return dry_pct(78.0, m); }, 4.2);
    slope_of([](auto p) { return congress_extract_pct(p, 4.5); }, 8.7);
    slope_of([](auto e) { return congress_wort_plato(e, 4.5); }, 77.0);
    slope_of([](auto e) { return iob_of_congress(e); }, 80.0);
    slope_of([](auto m) { return noonan_as_is_pct(78.0, m); }, 3.5);
    slope_of([](auto l) { return wk_of_lintner_degrees(l); }, 90.0);
    CHECK(congress_of_iob(iob_of_congress(80.0)) == near(80.0));
    CHECK(lintner_degrees_of_wk(wk_of_lintner_degrees(70.0)) == near(70.0));
    CHECK(congress_extract_pct(congress_wort_plato(77.0, 4.5), 4.5) == near(77.0));
    CHECK_THROWS_AS((void)modification_class(Percent(-0.1)), Error);
}

TEST_CASE("every basis comes to fine-grind dry-basis") {
    const Percent moisture(4.0);
    const auto fine_dry = [&](double value, ExtractBasis basis) {
        return fine_dry_extract(value, basis, moisture).value();
    };
    CHECK(fine_dry(81.5, ExtractBasis::fine_dry) == 81.5);
    CHECK(fine_dry(78.24, ExtractBasis::fine_as_is) == near(81.5)); // 81.5 * 0.96
    CHECK(fine_dry(79.8, ExtractBasis::coarse_dry) == near(81.5));  // 1.7 less
    CHECK(fine_dry(76.608, ExtractBasis::coarse_as_is) == near(81.5));
    // the same malt in L deg/kg of dry matter, 81.5 % of 385.35, and in points, a 8.3454th of that
    CHECK(fine_dry(314.06, ExtractBasis::l_per_kg_fine_dry) == near(81.5, 1e-4));
    CHECK(fine_dry(301.50, ExtractBasis::l_per_kg_fine_as_is) == near(81.5, 1e-4));
    CHECK(fine_dry(307.51, ExtractBasis::l_per_kg_coarse_dry) == near(81.5, 1e-4));
    CHECK(fine_dry(36.128, ExtractBasis::ppg_fine_as_is) == near(81.5, 1e-4));
    CHECK(fine_dry(37.633, ExtractBasis::ppg_fine_dry) == near(81.5, 1e-4));
}

TEST_CASE("an extract on the wrong basis is refused with the right one shown") {
    CHECK_THROWS_WITH_AS((void)fine_dry_extract(308.0, ExtractBasis::fine_dry, Percent(4.0)),
                         "this extract is 308.0 % of dry matter, more than malt or sugar holds", Error);
    CHECK_THROWS_AS((void)fine_dry_extract(81.5, ExtractBasis::fine_as_is, Percent(60.0)), Error);
    CHECK_THROWS_AS((void)fine_dry_extract(std::nan(""), ExtractBasis::fine_dry, Percent(4.0)), Error);
    CHECK_THROWS_WITH_AS(
        (void)malt_figures(pale_ale_malt(), lot_with(certificate(308.0, ExtractBasis::fine_dry)), brew_day),
        "the extract of lot M1 is 308.0 % of dry matter, more than malt or sugar holds", Error);
}

TEST_CASE("there and back on every basis, and more is more") {
    constexpr unsigned long long seed = 20240918;
    constexpr int tries = 12000;
    MESSAGE("seed ", seed, ", ", tries, " certificates");
    std::mt19937_64 engine(seed);
    const auto between = [&](double low, double high) {
        return low + (high - low) * static_cast<double>(engine() >> 11) * 0x1.0p-53;
    };
    for (int i = 0; i < tries; ++i) {
        const auto basis = static_cast<ExtractBasis>(engine() % WordsOf<ExtractBasis>::list.size());
        const Percent fine_dry(between(5.0, 100.0)), moisture(between(0.0, 30.0));
        CAPTURE(fine_dry.value());
        CAPTURE(moisture.value());
        CAPTURE(word(basis));
        const double stated = extract_on_basis(fine_dry, basis, moisture);
        REQUIRE(std::abs(fine_dry_extract(stated, basis, moisture).value() - fine_dry.value()) <= 1e-9);
        REQUIRE(fine_dry_extract(stated + 0.01, basis, moisture) > fine_dry_extract(stated, basis, moisture));
    }
}

TEST_CASE("a certificate with its own uncertainties: GUM by hand") {
    Certificate c = certificate(81.5, ExtractBasis::fine_dry);
    c.extract_sd = Percent(0.5);
    c.moisture = Percent(4.2);
    c.moisture_sd = Percent(0.3);
    const MaltFigures f = malt_figures(pale_ale_malt(), lot_with(c), brew_day);
    CHECK(f.extract_fine_dry_pct.value == 81.5);
    CHECK(f.extract_fine_dry_pct.sd == near(0.5));
    CHECK(f.extract_fine_dry_pct.origin == Origin::certificate);
    CHECK(f.extract_as_is.value == near(0.78077));
    CHECK(f.extract_as_is.sd == near(0.0053780, 1e-4)); // sqrt((0.958*0.005)^2 + (0.815*0.003)^2)
}

TEST_CASE("an as-is extract does not suffer twice from its moisture") {
    Certificate c = certificate(78.0, ExtractBasis::fine_as_is);
    c.extract_sd = Percent(0.5);
    c.moisture = Percent(4.2);
    Lot lot = lot_with(c);
    MaltFigures f = malt_figures(pale_ale_malt(), lot, brew_day);
    CHECK(f.extract_as_is.value == near(0.78));
    CHECK(f.extract_as_is.sd == near(0.005));
    CHECK(f.extract_fine_dry_pct.value == near(78.0 / 0.958));
    CHECK(f.extract_fine_dry_pct.sd == near(0.58087, 1e-4)); // moisture 0.3 points by default

    // The malt has drawn damp: the dry extract stays what it was, the malt as weighed gives less.
    Retest damp{day("2024-02-20"), {}};
    damp.found.moisture = Percent(6.0);
    damp.found.moisture_sd = Percent(0.2);
    lot.retests.push_back(damp);
    f = malt_figures(pale_ale_malt(), lot, brew_day);
    CHECK(f.extract_fine_dry_pct.value == near(78.0 / 0.958));
    CHECK(f.moisture_pct.origin == Origin::retest);
    CHECK(f.extract_fine_dry_pct.origin == Origin::certificate);
    CHECK(f.extract_as_is.value == near(0.7653445, 1e-6));
    CHECK(f.extract_as_is.sd == near(0.0056979, 1e-3));
}

TEST_CASE("the latest retest not after the day, field by field") {
    Certificate c = certificate(81.0, ExtractBasis::fine_dry);
    c.moisture = Percent(4.0);
    c.colour = Ebc(5.0);
    Lot lot = lot_with(c);
    Retest second{day("2024-02-20"), certificate(80.0, ExtractBasis::fine_dry)};
    Retest first{day("2024-02-01"), certificate(80.5, ExtractBasis::fine_dry)};
    first.found.colour = Ebc(6.0);
    Retest later{day("2024-04-01"), certificate(79.0, ExtractBasis::fine_dry)};
    lot.retests = {second, first, later}; // not in order of time

    const auto on = [&](const char* iso) { return malt_figures(pale_ale_malt(), lot, day(iso)); };
    CHECK(on("2024-01-31").extract_fine_dry_pct.value == 81.0);
    CHECK(on("2024-02-01").extract_fine_dry_pct.value == 80.5);
    CHECK(on("2024-03-01").extract_fine_dry_pct.value == 80.0);
    CHECK(on("2024-03-01").extract_fine_dry_pct.origin == Origin::retest);
    CHECK(on("2024-03-01").colour_ebc.value == 6.0); // the earlier retest's, which the later one does not have
    CHECK(on("2024-03-01").moisture_pct.value == 4.0);
    CHECK(on("2024-03-01").moisture_pct.origin == Origin::certificate);
    CHECK(on("2024-04-01").extract_fine_dry_pct.value == 79.0);
}

TEST_CASE("each step down from a stated uncertainty is wider") {
    Item item = pale_ale_malt();
    item.extract = Percent(81.0);
    Certificate stated = certificate(81.0, ExtractBasis::fine_dry);
    stated.extract_sd = Percent(0.5);
    const Certificate bare = certificate(81.0, ExtractBasis::fine_dry);
    Lot uncertified = lot_with(bare);
    uncertified.certificate.reset();

    const MaltFigures with_sd = malt_figures(item, lot_with(stated), brew_day),
                      without_sd = malt_figures(item, lot_with(bare), brew_day),
                      of_item = malt_figures(item, uncertified, brew_day),
                      of_class = malt_figures(pale_ale_malt(), uncertified, brew_day);
    CHECK(with_sd.extract_fine_dry_pct.sd < without_sd.extract_fine_dry_pct.sd);
    CHECK(without_sd.extract_fine_dry_pct.sd < of_item.extract_fine_dry_pct.sd);
    CHECK(of_item.extract_fine_dry_pct.sd < of_class.extract_fine_dry_pct.sd);
    CHECK(of_item.extract_fine_dry_pct.origin == Origin::item);
    CHECK(of_class.extract_fine_dry_pct.origin == Origin::typical);
    CHECK(without_sd.moisture_pct.sd >= 0.3);
    CHECK(malt_figures(item).extract_fine_dry_pct.sd == of_item.extract_fine_dry_pct.sd);
}

TEST_CASE("the scatter of items adds in quadrature, only where it is stated") {
    Certificate c = certificate(81.0, ExtractBasis::fine_dry);
    c.extract_sd = Percent(0.6);
    Item item = pale_ale_malt();
    CHECK(malt_figures(item, lot_with(c), brew_day).extract_fine_dry_pct.sd == near(0.6));
    item.extract_sd = Percent(0.8);
    CHECK(malt_figures(item, lot_with(c), brew_day).extract_fine_dry_pct.sd == near(1.0));
}

TEST_CASE("a scatter stated in litre-degrees is worth the same as in per cent") {
    Certificate c = certificate(0.81 * sucrose_litre_degrees, ExtractBasis::l_per_kg_fine_dry);
    c.extract_sd = Percent(0.006 * sucrose_litre_degrees);
    CHECK(malt_figures(pale_ale_malt(), lot_with(c), brew_day).extract_fine_dry_pct.sd == near(0.6));
    // a coarse grind leaves the difference of the grinds uncertain as well: sqrt(0.6^2 + 0.6^2)
    Certificate coarse = certificate(79.3, ExtractBasis::coarse_dry);
    coarse.extract_sd = Percent(0.6);
    const MaltFigures f = malt_figures(pale_ale_malt(), lot_with(coarse), brew_day);
    CHECK(f.extract_fine_dry_pct.value == near(81.0));
    CHECK(f.extract_fine_dry_pct.sd == near(0.84853, 1e-4));
}

TEST_CASE("a retest without its own scatter or basis keeps the certificate's") {
    Certificate c = certificate(0.81 * sucrose_litre_degrees, ExtractBasis::l_per_kg_fine_dry);
    c.extract_sd = Percent(0.006 * sucrose_litre_degrees);
    Lot lot = lot_with(c);
    Retest retest{day("2024-02-01"), {}};
    retest.found.extract = Percent(0.80 * sucrose_litre_degrees);
    lot.retests.push_back(retest);
    const MaltFigures f = malt_figures(pale_ale_malt(), lot, brew_day);
    CHECK(f.extract_fine_dry_pct.value == near(80.0));
    CHECK(f.extract_fine_dry_pct.sd == near(0.6));
    CHECK(f.extract_fine_dry_pct.origin == Origin::retest);
}

TEST_CASE("alpha of a hop: certificate, item, typical, each wider") {
    Item hop;
    hop.name = "aroma hop";
    hop.kind = ItemKind::hop;
    Certificate c;
    c.alpha = Percent(5.2);
    c.alpha_sd = Percent(0.2);
    const Figure stated = alpha_pct(hop, lot_with(c), brew_day);
    CHECK(stated.value == 5.2);
    CHECK(stated.sd == 0.2);
    CHECK(stated.origin == Origin::certificate);
    c.alpha_sd.reset();
    const Figure bare = alpha_pct(hop, lot_with(c), brew_day);
    CHECK(bare.sd == near(0.26)); // a twentieth
    // two laboratories differ by less than 0.57 at 10 % (EBC 7.7): a standard uncertainty of 0.29, and the bales differ
    c.alpha = Percent(10.0);
    CHECK(alpha_pct(hop, lot_with(c), brew_day).sd >= 0.57 / 1.96);
    CHECK(alpha_pct(hop, lot_with(c), brew_day).sd < 2.0 * 0.57 / 1.96);
    hop.alpha = Percent(5.2);
    const Figure of_item = alpha_pct(hop);
    CHECK(of_item.origin == Origin::item);
    CHECK(of_item.sd > bare.sd);
    hop.alpha.reset();
    CHECK(alpha_pct(hop).origin == Origin::typical);
    CHECK(alpha_pct(hop).sd > of_item.sd);
}

TEST_CASE("a moisture stated of the item is known half as well as its class, beside the lot's own scatter") {
    Item item = pale_ale_malt();
    item.name = "house malt"; // of no kind that is known by name
    item.moisture = Percent(4.0);
    CHECK(malt_figures(item).moisture_pct.sd == near(std::hypot(0.3, 0.25))); // of a base malt's 0.5
}

TEST_CASE("a certificate without scatter has a point of extract, in its own unit, and a twentieth of its alpha") {
    Certificate c = certificate(308.0, ExtractBasis::l_per_kg_fine_dry);
    c.alpha = Percent(10.0);
    const Certificate with = with_scatter(pale_ale_malt(), c);
    CHECK(with.extract_sd->value() == near(sucrose_litre_degrees / 100.0)); // of a hundred per cent
    CHECK(with.alpha_sd->value() == near(0.5));
}
