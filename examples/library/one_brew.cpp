// One brew reconciled from numbers: 4 kg of malt, what was read in the kettle and the fermenter, what the brewhouse
// gave.
#include <cstdio>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/reconcile.hpp>

using namespace lotwort;

int main() try {
    UsedLot malt;
    malt.item.name = malt.lot.item = "pale ale malt";
    malt.lot.code = "PAM-1";
    malt.lot.received = *parse_iso_date("2026-03-01");
    malt.lot.received_amount = Amount::of(Kilograms(25.0));
    malt.lot.certificate.emplace();
    malt.lot.certificate->extract = Percent(81.5);
    malt.lot.certificate->extract_basis = ExtractBasis::fine_dry;
    malt.lot.certificate->moisture = Percent(4.2);

    ReconcileInput input;
    input.lots["PAM-1"] = malt;
    input.brewhouse.name = input.brew.brewhouse = "garage";
    input.brewhouse.volume = Litres(20.0); // what is not stated of it is typical
    input.brew.code = "B1";
    input.brew.date = *parse_iso_date("2026-03-10");
    input.brew.boil = Minutes(60.0);
    Addition& mash = input.brew.additions.emplace_back();
    mash.lot = "PAM-1";
    mash.stage = Stage::mash;
    mash.amount = Amount::of(Kilograms(4.0));
    const auto read = [&](const char* id, ReadingPoint point, double litres, double at_c, double gravity) {
        Reading& reading = input.brew.readings.emplace_back();
        reading.id = id;
        reading.point = point;
        reading.volume = Litres(litres);
        reading.volume_at = Celsius(at_c);
        reading.gravity_sg = SpecificGravity(gravity);
    };
    read("r1", ReadingPoint::kettle_full, 26.0, 75.0, 1.040);
    read("r2", ReadingPoint::fermenter, 20.0, 20.0, 1.047);

    const Reconciliation found = reconcile(input);
    if (const auto& whole = found.efficiencies.brewhouse.estimate)
        std::printf("brewhouse efficiency %.1f %%, nine times in ten %.1f to %.1f\n", 100.0 * whole->value,
                    100.0 * whole->low, 100.0 * whole->high);
    std::printf("the readings %s\n", found.test.passed ? "fit together" : "contradict each other");
    return 0;
} catch (const Error& e) {
    std::fprintf(stderr, "%s\n", e.what());
    return 1;
}
