// How slips are found: simulated brews with one slip of each kind people make. They are sorted by how many standard
// deviations the slip stands out by the other readings (the root of its noncentrality). Fixed seed. usage:
// reconcile_power [brews per slip, default 2000]
#include "../../src/infer/reconcile/answer.hpp"
#include "../../src/infer/reconcile/brew_problem.hpp"
#include "../../src/infer/reconcile/equations.hpp"
#include "../../src/infer/reconcile/limits.hpp"
#include "infer/simulated_brewery.hpp"
#include "naive.hpp"
#include <array>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <functional>
#include <lotwort/wort/hydrometer.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

struct Slip {
    std::string name;
    std::string equation; // id of the reading or expectation that errs
    std::string kind;     // of it
    std::function<void(ReconcileInput&)> make;
    Truth changed{}; // for what was done and not written down
};

Reading& reading(ReconcileInput& in, const std::string& id) {
    for (auto& r : in.brew.readings)
        if (r.id == id) return r;
    std::abort();
}

std::function<void(ReconcileInput&)> volume_by(const std::string& id, double litres, double factor = 1.0) {
    return [=](ReconcileInput& in) {
        auto& r = reading(in, id);
        r.volume = Litres(r.volume->value() * factor + litres);
    };
}

std::function<void(ReconcileInput&)> gravity_by(const std::string& id, double points) {
    return [=](ReconcileInput& in) {
        auto& r = reading(in, id);
        r.gravity_sg = SpecificGravity(r.gravity_sg->value() + points);
    };
}

// 1.054 for 1.045: the last two digits swapped, whatever they are
void swap_digits(ReconcileInput& in) {
    auto& r = reading(in, "kettle-full-gravity");
    const int points = static_cast<int>(std::lround((r.gravity_sg->value() - 1.0) * 1000.0));
    r.gravity_sg = SpecificGravity(1.0 + (points / 10 + points % 10 * 10) / 1000.0);
}

// What the stem shows in the same wort at 45 C, entered as read at 20 C.
void forget_temperature(ReconcileInput& in) {
    auto& r = reading(in, "kettle-full-gravity");
    const double w = wort::mass_fraction_of_mark(r.gravity_sg->value(), r.gravity_at->value(), 20.0);
    r.gravity_sg = SpecificGravity(wort::hydrometer_mark_of(w, 45.0, 20.0));
    r.gravity_at = Celsius(20.0);
}

void hot_as_cold(ReconcileInput& in) {
    reading(in, "kettle-full-volume").volume_at = Celsius(20.0);
}

const std::vector<Slip> slips{
    {"kettle volume 2.5 L high", "kettle-full-volume", "volume", volume_by("kettle-full-volume", 2.5)},
    {"kettle volume read hot, entered cold", "kettle-full-volume", "volume", hot_as_cold},
    {"fermenter volume 2 L low", "fermenter-volume", "volume", volume_by("fermenter-volume", -2.0)},
    {"fermenter volume, US gallons for imperial", "fermenter-volume", "volume",
     volume_by("fermenter-volume", 0.0, 3.785411784 / 4.54609)},
    {"kettle gravity 0.006 high", "kettle-full-gravity", "gravity", gravity_by("kettle-full-gravity", 0.006)},
    {"kettle gravity, temperature forgotten", "kettle-full-gravity", "gravity", forget_temperature},
    {"kettle gravity, digits swapped", "kettle-full-gravity", "gravity", swap_digits},
    {"fermenter gravity 0.009 high", "fermenter-gravity", "gravity", gravity_by("fermenter-gravity", 0.009)},
    {"fermenter gravity, Brix as plato (4 %)", "fermenter-gravity", "gravity",
     [](ReconcileInput& in) {
         auto& r = reading(in, "fermenter-gravity");
         r.gravity_sg = SpecificGravity(1.0 + (r.gravity_sg->value() - 1.0) * 1.04);
     }},
    {"sparge liquor 3 L high", "sparge-liquor", "volume", volume_by("sparge-liquor", 3.0)},
    {"2 L of liquor in the fermenter unrecorded", "expect:top-up", "volume", nullptr, {.top_up_l = 2.0}},
    {"2 L of liquor in the kettle unrecorded", "expect:kettle-liquor", "volume", nullptr, {.kettle_liquor_l = 2.0}},
    {"malt weighed 10 % short", "expect:grist", "extract",
     [](ReconcileInput& in) {
         auto& a = in.brew.additions.front();
         a.amount = Amount::of(Kilograms(a.amount.kilograms().value() / 0.9));
     }},
};

// By how many standard deviations an error of that equation stands out, with the others' say: the error over the
// standard deviation at which it would be estimated.
double stands_out(const ReconcileInput& clean, const ReconcileInput& slipped, const Slip& slip) {
    using namespace infer_detail;
    const auto place = [&](const BrewModel& model) {
        for (std::size_t i = 0; i < model.equations.size(); ++i)
            if (model.equations[i].id == slip.equation && model.equations[i].kind == slip.kind) return i;
        std::abort();
    };
    const BrewModel model = brew_model(clean);
    const UnknownsOf unknowns(model);
    const auto solution = solve_within(problem_of(model, unknowns), limits_of(model, unknowns)).solution;
    const std::size_t i = place(model);
    const auto shift = stats::mean_shift(solution, static_cast<int>(i));
    if (!shift.sees) return 0.0;
    double error = slip.changed.top_up_l + slip.changed.kettle_liquor_l;
    if (error == 0.0) {
        // as read by the same scale: a volume entered at another temperature errs by what it is at 20 C
        const BrewModel wrong = brew_model(slipped);
        const auto& e = wrong.equations[place(wrong)];
        const JointBalance at(model, unknowns, solution.theta);
        error = (e.observed - at.predicted(e).value) -
                (model.equations[i].observed - solution.fitted[static_cast<Eigen::Index>(i)]);
    }
    return std::abs(error) / shift.error_sd;
}

struct Tally {
    int brews = 0, found = 0, named = 0, with_equals = 0;
};

} // namespace

int main(int argc, char** argv) {
    const int brews = argc > 1 ? std::atoi(argv[1]) : 2000;
    constexpr std::array<double, 4> edges{0.0, 3.0, 5.0, 1e9};
    std::array<Tally, 3> all;
    double naive_square = 0.0, kept_square = 0.0, ours_square = 0.0;
    int n = 0;
    fmt::print("{:<44}{:>8}{:>10}{:>10}{:>10}{:>10}\n", "slip (one batch sparge, all readings)", "sd out", "found %",
               "first %", "equals %", "brews");
    for (const auto& slip : slips) {
        Brewery brewery(7);
        Tally tally;
        double out = 0.0;
        for (int k = 0; k < brews; ++k) {
            const auto brew = brewery.draw(kinds[1], 0.0, slip.changed);
            auto slipped = brew.input;
            if (slip.make) slip.make(slipped);
            const double sd_out = stands_out(brew.input, slipped, slip);
            const auto r = reconcile(slipped);
            auto& bin = all[sd_out >= edges[2] ? 2U : sd_out >= edges[1] ? 1U : 0U];
            out += sd_out;
            const bool found = !r.test.passed && !r.suspects.empty();
            bool named = false, with_equals = false;
            if (found) {
                const auto& first = r.suspects.front();
                named = with_equals = first.reading == slip.equation && first.kind == slip.kind;
                for (const auto& other : first.cannot_be_told_from)
                    with_equals = with_equals || other == slip.equation + " " + slip.kind;
            }
            for (Tally* t : {&tally, &bin}) {
                ++t->brews;
                t->found += found;
                t->named += named;
                t->with_equals += with_equals;
            }
            if (sd_out < edges[2] || slip.equation.starts_with("expect")) continue;
            if (const auto naive = naive_brewhouse(slipped); naive && r.efficiencies.brewhouse.estimate) {
                ++n;
                naive_square += std::pow(*naive - brew.brewhouse, 2);
                kept_square += std::pow(r.efficiencies.brewhouse.estimate->value - brew.brewhouse, 2);
                const auto& advised = found ? r.suspects.front().efficiencies_without : r.efficiencies;
                ours_square += std::pow(advised.brewhouse.estimate->value - brew.brewhouse, 2);
            }
        }
        const auto share = [&](int count) { return 100.0 * count / tally.brews; };
        fmt::print("{:<44}{:>8.1f}{:>10.1f}{:>10.1f}{:>10.1f}{:>10}\n", slip.name, out / brews, share(tally.found),
                   share(tally.named), share(tally.with_equals), tally.brews);
    }
    const std::array<const char*, 3> names{"all, under 3 sd", "all, 3 to 5 sd", "all, 5 sd or more"};
    for (std::size_t b = 0; b < all.size(); ++b)
        if (all[b].brews > 0)
            fmt::print("{:<52}{:>10.1f}{:>10.1f}{:>10.1f}{:>10}\n", names[b], 100.0 * all[b].found / all[b].brews,
                       100.0 * all[b].named / all[b].brews, 100.0 * all[b].with_equals / all[b].brews, all[b].brews);
    fmt::print(
        "\nbrewhouse efficiency's rmse over {} brews with a slip in a reading that stands out by 5 sd: naive {:.4f}, "
        "with the slip {:.4f}, without the first suspect {:.4f}\n",
        n, std::sqrt(naive_square / n), std::sqrt(kept_square / n), std::sqrt(ours_square / n));
}
