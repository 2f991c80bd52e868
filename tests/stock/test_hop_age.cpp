// A hop lot on the day it goes into the kettle: from the certificate, the cold room and the months between.
#include "near.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/stock/hop_age.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Date day(const char* iso) {
    return *parse_iso_date(iso);
}

Item bittering_hop() {
    Item item;
    item.name = "bittering hop";
    item.kind = ItemKind::hop;
    return item;
}

Lot analysed(double alpha, const char* on) {
    Lot lot;
    lot.code = "H1";
    lot.item = "bittering hop";
    lot.certificate.emplace();
    lot.certificate->alpha = Percent(alpha);
    lot.certificate->alpha_sd = Percent(0.3);
    lot.certificate->analysed = day(on);
    return lot;
}

} // namespace

TEST_CASE("half a year in a paper sack at 20 C: 35 % gone, and less certain; the certificate stays what it was") {
    Lot lot = analysed(10.0, "2024-01-01");
    lot.storage = Celsius(20.0);
    lot.packaging = "paper sack";
    const HopAge age = hop_age(bittering_hop(), lot, day("2024-06-29")); // 180 days
    CHECK(age.days == 180);
    CHECK(age.alpha_pct.value == near(6.5));
    CHECK(age.share_left == near(0.65));
    CHECK(age.alpha_pct.sd > 1.0);
    CHECK(age.alpha_pct.origin == Origin::certificate);
    CHECK(age.stated_pct.value == 10.0);
    CHECK(lot.certificate->alpha->value() == 10.0);
    CHECK(age.assumed.size() == 1); // how well the hop keeps
}

TEST_CASE("frozen under vacuum the same months cost a few per cent") {
    Lot lot = analysed(10.0, "2024-01-01");
    lot.storage = Celsius(-18.0);
    lot.packaging = "vacuum";
    const HopAge age = hop_age(bittering_hop(), lot, day("2024-06-29"));
    CHECK(age.share_left > 0.95);
    CHECK(age.share_left < 0.98);
    CHECK(age.alpha_pct.sd < 0.4);
}

TEST_CASE("what nobody stated is assumed, said, and wide") {
    const HopAge bare = hop_age(bittering_hop(), analysed(10.0, "2024-01-01"), day("2024-06-29"));
    CHECK(bare.assumed.size() == 3);
    Lot lot = analysed(10.0, "2024-01-01");
    lot.storage = Celsius(10.0);
    lot.packaging = "airtight jar";
    const HopAge stated = hop_age(bittering_hop(), lot, day("2024-06-29"));
    CHECK(stated.alpha_pct.value == near(bare.alpha_pct.value)); // the same, known better
    CHECK(stated.alpha_pct.sd < bare.alpha_pct.sd);
}

TEST_CASE("without a day of analysis the stated alpha holds, and that is said") {
    Lot lot = analysed(10.0, "2024-01-01");
    lot.certificate->analysed.reset();
    const HopAge age = hop_age(bittering_hop(), lot, day("2024-06-29"));
    CHECK(age.alpha_pct.value == 10.0);
    CHECK(age.alpha_pct.sd == 0.3);
    CHECK_FALSE(age.analysed.has_value());
    CHECK(age.assumed.front() == "the stated alpha still holds: no day of analysis is stated");

    Item item = bittering_hop();
    item.alpha = Percent(8.0);
    lot.certificate.reset();
    CHECK(hop_age(item, lot, day("2024-06-29")).alpha_pct.value == 8.0);
    CHECK(hop_age(item).alpha_pct.value == 8.0);
}

TEST_CASE("a retest of the alpha starts the clock anew; one after the day is not known yet") {
    Lot lot = analysed(10.0, "2024-01-01");
    lot.storage = Celsius(20.0);
    lot.packaging = "none";
    Retest retest{day("2024-04-01"), {}};
    retest.found.alpha = Percent(8.2);
    lot.retests.push_back(retest);
    const HopAge after = hop_age(bittering_hop(), lot, day("2024-04-01"));
    CHECK(after.alpha_pct.value == 8.2);
    CHECK(after.alpha_pct.origin == Origin::retest);
    CHECK(after.days == 0);
    CHECK(hop_age(bittering_hop(), lot, day("2024-05-01")).days == 30);
    const HopAge before = hop_age(bittering_hop(), lot, day("2024-03-31"));
    CHECK(before.days == 90);
    CHECK(before.alpha_pct.origin == Origin::certificate);
}

TEST_CASE("a storage index measured since: by the index to its day, by time from there") {
    Lot lot = analysed(10.0, "2024-01-01");
    lot.certificate->hop_storage_index = 0.25;
    lot.storage = Celsius(20.0);
    lot.packaging = "none";
    Retest retest{day("2024-04-01"), {}};
    retest.found.hop_storage_index = 0.35; // 16.0741 % lost by the published slope
    lot.retests.push_back(retest);
    const HopAge at_retest = hop_age(bittering_hop(), lot, day("2024-04-01"));
    CHECK(at_retest.by_index);
    CHECK(at_retest.alpha_pct.value == near(8.39259, 1e-5));
    CHECK(at_retest.hsi == near(0.35));
    const HopAge later = hop_age(bittering_hop(), lot, day("2024-09-28")); // 180 days on
    CHECK(later.alpha_pct.value == near(8.39259 * 0.65, 1e-5));
    CHECK(*later.hsi > 0.35);
    CHECK(later.alpha_pct.sd > at_retest.alpha_pct.sd);
}

TEST_CASE("an analysis after the day does not make a hop younger than new") {
    const HopAge age = hop_age(bittering_hop(), analysed(10.0, "2024-08-01"), day("2024-06-29"));
    CHECK(age.days == 0);
    CHECK(age.alpha_pct.value == 10.0);
    // and one of another century leaves next to nothing, without a fuss
    CHECK(hop_age(bittering_hop(), analysed(10.0, "1950-08-01"), day("2024-06-29")).alpha_pct.value < 0.01);
}

TEST_CASE("an index of the alpha's own day takes nothing off it") {
    Lot lot = analysed(10.0, "2024-01-01");
    lot.certificate->hop_storage_index = 0.28;
    Retest retest;
    retest.on = day("2024-01-01");
    retest.found.hop_storage_index = 0.40;
    lot.retests = {retest};
    const HopAge age = hop_age(bittering_hop(), lot, day("2024-01-01"));
    CHECK_FALSE(age.by_index);
    CHECK(age.share_left == near(1.0));
}

TEST_CASE("a vacuum pack opened at once ages as a plain bag does") {
    Lot opened = analysed(10.0, "2024-01-01"), bag = opened;
    opened.packaging = "vacuum";
    opened.opened = day("2024-01-01");
    bag.packaging = "bag";
    opened.storage = bag.storage = Celsius(10.0);
    const auto left = [](const Lot& lot) { return hop_age(bittering_hop(), lot, day("2024-07-01")).alpha_pct.value; };
    CHECK(left(opened) == near(left(bag), 1e-12));
    const auto said = hop_age(bittering_hop(), opened, day("2024-07-01")).assumed.size();
    opened.opened = day("2024-07-01"); // for the brew itself: nothing has aged in the open
    CHECK(hop_age(bittering_hop(), opened, day("2024-07-01")).assumed.size() == said - 1);
    opened.opened.reset();
    CHECK(left(opened) > left(bag) + 0.3);
}
