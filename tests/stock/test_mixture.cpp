// A silo filled over a rest: what the lots err by each for itself averages out, what their malt errs by does not.
#include "near.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/stock/malt.hpp>
#include <lotwort/stock/malt_analysis.hpp>
#include <lotwort/stock/mixture.hpp>
#include <random>

using namespace lotwort;
using namespace lotwort::test;

namespace {

const Date day = Date(std::chrono::days(20'000));

Item pale() {
    Item item;
    item.name = "pale ale malt";
    item.kind = ItemKind::malt;
    return item;
}

MixedPart part(double share, double extract, std::optional<double> sd, int stem) {
    MixedPart made{{}, share, stem};
    made.lot.code = "L" + std::to_string(stem);
    made.lot.item = "pale ale malt";
    made.lot.received = day;
    Certificate& c = made.lot.certificate.emplace();
    c.extract = Percent(extract);
    c.extract_basis = ExtractBasis::fine_dry;
    if (sd) c.extract_sd = Percent(*sd);
    c.moisture = Percent(4.0);
    return made;
}

double sd_of(const std::vector<MixedPart>& parts, const Item& item = pale()) {
    return mixed_certificate(item, parts, day)->extract_sd->value();
}

} // namespace

TEST_CASE("the mean is by mass, and two halves of one point err by 0.76") {
    const auto mixed = mixed_certificate(pale(), {part(0.5, 80.0, 1.0, 0), part(0.5, 82.0, 1.0, 1)}, day);
    CHECK(mixed->extract->value() == near(81.0, 1e-12));
    CHECK(mixed->extract_sd->value() == near(std::sqrt(0.16 + 0.84 / 2.0), 1e-12));
    CHECK(mixed->moisture_sd->value() == near(0.3 * std::sqrt(0.16 + 0.84 / 2.0), 1e-12)); // 0.3 where none is stated
    CHECK_FALSE(mixed->colour.has_value());
}

TEST_CASE("a lot mixed with itself is no better known") {
    CHECK(sd_of({part(0.3, 80.0, 1.2, 4), part(0.7, 80.0, 1.2, 4)}) == near(1.2, 1e-12));
    CHECK(sd_of({part(1.0, 80.0, 1.2, 0)}) == near(1.2, 1e-12));
}

TEST_CASE("what an item's lots have in common stays, however many are mixed") {
    std::vector<MixedPart> many;
    for (int i = 0; i < 400; ++i) many.push_back(part(1.0 / 400.0, 80.0, 1.0, i));
    CHECK(sd_of(many) == near(std::sqrt(0.16 + 0.84 / 400.0), 1e-9));
    Item stated = pale(); // its own scatter comes on top of each lot's: all of the certificates' is the lots' own
    stated.extract_sd = Percent(0.8);
    CHECK(sd_of(many, stated) == near(1.0 / 20.0, 1e-9));
}

TEST_CASE("a mixture's scatter is that of lots drawn by chance") {
    std::mt19937 random(7);
    std::normal_distribution<double> normal;
    const double w[3] = {0.2, 0.3, 0.5}, s[3] = {0.6, 1.0, 1.5};
    double sum = 0.0;
    constexpr int trials = 200'000;
    for (int t = 0; t < trials; ++t) {
        const double common = normal(random);
        double error = 0.0;
        for (int i = 0; i < 3; ++i) error += w[i] * s[i] * (0.4 * common + std::sqrt(1.0 - 0.16) * normal(random));
        sum += error * error;
    }
    CHECK(sd_of({part(w[0], 80.0, s[0], 0), part(w[1], 81.0, s[1], 1), part(w[2], 79.0, s[2], 2)}) ==
          near(std::sqrt(sum / trials), 0.01));
}

TEST_CASE("no mixture is better known than a part by half its common scatter, nor worse than the worst") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> unit(0.05, 1.0);
    for (int t = 0; t < 300; ++t) {
        std::vector<MixedPart> parts;
        double all = 0.0, least = 10.0, most = 0.0;
        for (int i = 0, n = 1 + static_cast<int>(random() % 6); i < n; ++i) {
            const double sd = 2.0 * unit(random);
            parts.push_back(part(unit(random), 78.0 + 4.0 * unit(random), sd, static_cast<int>(random() % 4)));
            all += parts.back().share;
            least = std::min(least, sd);
            most = std::max(most, sd);
        }
        for (MixedPart& p : parts) p.share /= all;
        CHECK(sd_of(parts) <= most + 1e-12);
        CHECK(sd_of(parts) >= 0.4 * least - 1e-12);
    }
}

TEST_CASE("extracts on different bases are brought to one before they are mixed") {
    MixedPart as_is = part(0.5, 77.0, {}, 1);
    as_is.lot.certificate->extract_basis = ExtractBasis::fine_as_is;
    const auto mixed = mixed_certificate(pale(), {part(0.5, 80.0, {}, 0), as_is}, day);
    CHECK(mixed->extract_basis == ExtractBasis::fine_dry);
    CHECK(mixed->extract->value() == near((80.0 + 77.0 / 0.96) / 2.0, 1e-9));
    CHECK(mixed->extract_sd->value() < 1.0);
}

TEST_CASE("what laboratories found later counts, from its day on; the latest last") {
    MixedPart retested = part(0.5, 80.0, 1.0, 0);
    Retest late{day, {}}, early{day - std::chrono::days(9), {}}, ahead{day + std::chrono::days(1), {}};
    late.found.extract = Percent(78.0);
    early.found.extract = Percent(70.0);
    ahead.found.extract = Percent(60.0);
    retested.lot.retests = {late, early, ahead};
    const auto mixed = mixed_certificate(pale(), {retested, part(0.5, 80.0, 1.0, 1)}, day);
    CHECK(mixed->extract->value() == near(79.0, 1e-12));
}

TEST_CASE("mixed hops are as old as the oldest that went in") {
    std::vector<MixedPart> parts{part(0.5, 80.0, 1.0, 0), part(0.5, 80.0, 1.0, 1)};
    parts[0].lot.certificate->analysed = day - std::chrono::days(300);
    parts[1].lot.certificate->analysed = day - std::chrono::days(30);
    CHECK(mixed_certificate(pale(), parts, day)->analysed == day - std::chrono::days(300));
}

TEST_CASE("a lot stated in litre degrees errs by as many points in the silo as it does by itself") {
    std::vector<MixedPart> parts{part(0.5, 80.0, 1.0, 0), part(0.5, 80.0, 1.0, 1)};
    Certificate& c = *parts[0].lot.certificate;
    c.extract = Percent(0.8 * sucrose_litre_degrees);
    c.extract_sd = Percent(0.01 * sucrose_litre_degrees); // a point
    c.extract_basis = ExtractBasis::l_per_kg_fine_dry;
    CHECK(sd_of(parts) == near(std::sqrt(0.16 + 0.84 / 2.0), 1e-6));
}
