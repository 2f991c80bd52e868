// A brew followed by hand, kilogram by kilogram, without the library's balance: strike, drain, sparge, boil,
// cast out, top up. It knows the truth, and what perfect instruments would have read of it.
#pragma once

#include <lotwort/brew/kit.hpp>
#include <lotwort/infer/reconcile.hpp>

namespace lotwort::test {

// What is true of the brew.
struct Truth {
    Sparge sparge = Sparge::batch;
    double wash_stages = 2.0;
    double grist_kg = 4.6;
    double extract_fine_dry_pct = 81.5, moisture_pct = 4.2;
    double conversion = 0.93;
    double lauter_of_expected = 0.985;
    double strike_l = 14.2, sparge_l = 17.5;
    double absorption_l_per_kg = 1.04, tun_loss_l = 0.8;
    double boil_minutes = 75, boil_off_l_per_h = 3.1;
    double kettle_loss_l = 1.6;
    double top_up_l = 0.0;
    double kettle_liquor_l = 0.0; // run straight into the kettle
    double sugar_kg = 0.0;        // sucrose in the boil
};

struct SimulatedBrew {
    ReconcileInput input; // no readings yet; the brewhouse expects just what is true
    double conversion, lauter, kettle_yield, transfer, brewhouse;            // as fractions
    double first_wort_w, last_runnings_w, kettle_w, cast_out_w, fermenter_w; // extract mass fractions
    double mash_l; // grain included, what does not dissolve at 1.5 kg/L
    double washings_l;
    double first_wort_l, kettle_l, cast_out_l, fermenter_l; // at 20 C
    double extract_fermenter_kg;

    // Perfect readings; volumes as marked at the temperature, gravity as the hydrometer's mark there.
    void read_volume(ReadingPoint point, double at_c, const std::string& marks);
    void read_gravity(ReadingPoint point, double at_c);
    [[nodiscard]] Reading& reading(ReadingPoint point); // the one taken there
};

[[nodiscard]] SimulatedBrew simulate(const Truth& truth);

// Every reading a careful brewer takes.
void read_everything(SimulatedBrew& brew);

} // namespace lotwort::test
