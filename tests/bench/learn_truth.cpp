// What learning tells of breweries whose truth is known: `learn_truth
// power|alarms|sack|offsets|singles|slips|checks|changes|levels|aim [breweries] [seed]`. Typical figures stated;
// lasting and fresh parts of every instrument's bias.
#include "infer/simulated_house.hpp"
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/gravity.hpp>
#include <string>

using namespace lotwort;
using namespace lotwort::test;

namespace {

struct Share {
    int held = 0, of = 0;
    void add(bool is) {
        held += is ? 1 : 0;
        ++of;
    }
    [[nodiscard]] double pct() const { return of > 0 ? 100.0 * held / of : 0.0; }
};
bool holds(const Estimate& e, double truth) {
    return e.low <= truth && truth <= e.high;
}

// Scatter of a brew's yield in all, shared as the typical figures have it.
HouseWish steady(unsigned seed, int brews, double scatter) {
    HouseWish wish;
    wish.seed = seed;
    wish.brews = brews;
    wish.kind = 1 + static_cast<int>(seed % 3);
    wish.typical = true;
    wish.missing = 0.0;
    wish.conversion_scatter = 0.9 * scatter;
    wish.lauter_scatter = std::sqrt(1.0 - 0.81) * scatter;
    wish.conversion_walk = 0.0003;
    wish.lauter_walk = 0.0002;
    wish.use = LotUse::one_by_one;
    wish.brews_per_lot = 200; // one lot throughout
    return wish;
}

int number_of(const std::string& brew) {
    return std::stoi(brew.substr(1)) - 1;
}

void power(int breweries, unsigned seed) {
    for (const bool lasting : {false, true})
        for (const bool typical : {true, false})
            for (const auto& [half, step] : {std::pair(7, -0.04), std::pair(12, -0.02)}) {
                int found = 0, placed = 0, sized = 0, lots = 0;
                double told = 0.0, scatter = 0.0;
                for (int i = 0; i < breweries; ++i) {
                    auto wish = steady(seed + static_cast<unsigned>(i), 2 * half, 0.006);
                    wish.typical = typical;
                    wish.lasting = lasting ? 1.0 : 0.7;
                    wish.step_at = half;
                    wish.step = std::log1p(step);
                    SimulatedHouse house(wish);
                    const auto learned = learn(house.request);
                    scatter += learned.scales.front().value / breweries;
                    wish.step = 0.0;
                    told += learn(SimulatedHouse(wish).request).power.front().least / breweries;
                    for (const auto& lot : learned.lots) lots += lot.is_odd ? 1 : 0;
                    const auto first = std::ranges::find(learned.drift, false, &Drift::is_of_malt);
                    if (first == learned.drift.end()) continue;
                    const auto& d = *first;
                    ++found;
                    placed += std::abs(number_of(d.from_brew) - half) <= 2;
                    sized += d.low <= step && step <= d.high;
                }
                std::printf("instruments %s, %s: %d + %d brews, %.0f %%: found %d of %d, brew within two %d, size in "
                            "its interval %d; scatter found "
                            "%.2f %%; least told without it %.1f %%; odd lots %d\n",
                            typical ? "typical" : "stated", lasting ? "bias lasts" : "bias lasts by 0.7", half, half,
                            100.0 * step, found, breweries, placed, sized, 100.0 * scatter, 100.0 * told, lots);
            }
}

// The least change told against the one that is found four times in five.
void promise(int breweries, unsigned seed) {
    for (const double factor : {0.7, 1.0, 1.3}) {
        Share found;
        for (int i = 0; i < breweries; ++i) {
            auto wish = steady(seed + static_cast<unsigned>(i), 20, 0.006 * (1 + i % 3));
            const auto told = learn(SimulatedHouse(wish).request).power.front();
            wish.step_at = wish.brews - told.began_ago;
            wish.step = std::log1p(-factor * told.least);
            found.add(!learn(SimulatedHouse(wish).request).drift.empty());
        }
        std::printf("%.1f times the least that is told, 20 brews: found %.0f %%\n", factor, found.pct());
    }
}

void alarms(int breweries, unsigned seed) {
    for (const double scatter : {0.006, 0.015, 0.04}) {
        Share drift, malt, odd;
        double found = 0.0;
        for (int i = 0; i < breweries; ++i) {
            auto wish = steady(seed + static_cast<unsigned>(i), 30, scatter);
            wish.use = i % 2 == 0 ? LotUse::in_turn : LotUse::one_by_one;
            wish.brews_per_lot = 6;
            wish.missing = 0.25 * (i % 2);
            const auto learned = learn(SimulatedHouse(wish).request);
            drift.add(std::ranges::any_of(learned.drift, [](const Drift& d) { return !d.is_of_malt; }));
            malt.add(std::ranges::any_of(learned.drift, &Drift::is_of_malt));
            found += learned.scales.front().value / breweries;
            odd.add(std::ranges::any_of(learned.lots, &LearnedLot::is_odd));
        }
        std::printf("30 brews at rest, scatter %.1f %%: a change named in %.1f %%, lots that came and went in %.1f %%, "
                    "a lot called odd in %.1f %%; "
                    "scatter found %.2f %%\n",
                    100.0 * scatter, drift.pct(), malt.pct(), odd.pct(), 100.0 * found);
    }
}

void sack(int breweries, unsigned seed) {
    Share named, of_two, interval, false_house;
    for (int i = 0; i < breweries; ++i) {
        auto wish = steady(seed + static_cast<unsigned>(i), 12, 0.006);
        wish.use = LotUse::two_halves;
        wish.odd_lot = 1;
        wish.odd = -0.04;
        SimulatedHouse house(wish);
        const auto learned = learn(house.request);
        const auto lot = std::ranges::find(learned.lots, house.truth.odd_lot, &LearnedLot::lot);
        interval.add(holds(lot->difference, wish.odd));
        const bool is_named = lot->is_odd || lot->probability_off >= 0.8;
        bool is_of_two = false;
        for (const auto& d : learned.drift) {
            const bool has = std::ranges::any_of(
                d.causes, [&](const PossibleCause& c) { return c.what.starts_with("lot " + house.truth.odd_lot); });
            is_of_two = is_of_two || has;
            false_house.add(!has);
        }
        if (std::getenv("EACH")) {
            std::printf("%s %.3f (%.3f %.3f) off %.2f odd %.2f p %.2f drift %zu; scales", lot->lot.c_str(),
                        lot->difference.value, lot->difference.low, lot->difference.high, lot->probability_off,
                        lot->probability_odd, lot->p_value, learned.drift.size());
            for (const auto& sc : learned.scales) std::printf(" %.2f(%.2f)", 100 * sc.value, 100 * sc.prior);
            for (const auto& d : learned.drift)
                for (const auto& c : d.causes) std::printf(" [%s %.2f]", c.what.c_str(), c.probability);
            std::printf(" levels %.3f %.3f true %.3f\n", learned.levels.front().conversion.value,
                        learned.levels.back().conversion.value, std::exp(house.truth.conversion_level[0]));
        }
        named.add(is_named);
        of_two.add(is_named || is_of_two);
    }
    std::printf(
        "a sack 4 %% weak, 6 + 6 brews: named %.0f %%, named or one of two %.0f %%, its interval holds %.0f %%; "
        "the house alone blamed in %d of %d\n",
        named.pct(), of_two.pct(), interval.pct(), false_house.held, breweries);
}

void offsets(int breweries, unsigned seed) {
    struct Case {
        const char* name;
        const char* accused; // the right one, as the typical instrument is called
        const char* instrument;
        double error;
        double thermometer, absorption;
    };
    const Case cases[] = {{"none", "", "", 0.0, 0.0, 1.0},
                          {"hydrometer 0.002", "typical hydrometer", "hydrometer", 0.002, 0.0, 1.0},
                          {"kettle marks 3 %", "typical kettle marks", "kettle marks", 0.03, 0.0, 1.0},
                          {"fermenter marks 3 %", "typical fermenter marks", "fermenter marks", 0.03, 0.0, 1.0},
                          {"thermometer 3 C", "typical thermometer", "", 0.0, 3.0, 1.0},
                          {"absorption 0.8", "", "", 0.0, 0.0, 0.8}};
    for (const auto& c : cases) {
        Share told, suspected, wrong, holds_offset, holds_others, level, efficiency, gravity;
        std::map<std::string, int> accused;
        for (int i = 0; i < breweries; ++i) {
            auto wish = steady(seed + static_cast<unsigned>(i), 20, 0.015);
            wish.missing = 0.1;
            wish.volume = i % 3 == 2 ? 500.0 : 23.0;
            if (c.error != 0.0) wish.offsets[c.instrument] = c.error;
            wish.thermometer_c = c.thermometer;
            wish.absorption_factor = c.absorption;
            SimulatedHouse house(wish);
            const auto malts = house.next_malts();
            const double grist = house.next_grist_kg();
            const auto learned = learn(house.request);
            for (const auto& instrument : learned.instruments) {
                if (instrument.is_told && instrument.name != c.accused) {
                    wrong.add(true);
                    ++accused[instrument.name];
                } else {
                    wrong.add(false);
                }
                if (instrument.name == c.accused) {
                    told.add(instrument.is_told);
                    suspected.add(instrument.probability >= 0.6);
                    const double truth = c.thermometer > 0.0 ? c.thermometer
                                         : c.error < 0.01    ? c.error
                                                             : c.error * instrument.stated_sd / 0.015;
                    holds_offset.add(holds(instrument.offset, truth));
                } else if (instrument.name == "typical hydrometer") {
                    holds_others.add(holds(instrument.offset, house.truth.offsets["hydrometer"]));
                } else if (instrument.name.ends_with(" marks")) {
                    const auto marks =
                        instrument.name == "typical liquor tank marks" ? "liquor marks" : instrument.name.substr(8);
                    if (house.truth.offsets.contains(marks))
                        holds_others.add(holds(instrument.offset, house.truth.offsets[marks] / wish.volume *
                                                                      instrument.stated_sd / 0.015));
                }
            }
            for (std::size_t b = 0; b < learned.levels.size(); ++b) {
                level.add(holds(learned.levels[b].conversion, std::exp(house.truth.conversion_level[b])));
                level.add(holds(learned.levels[b].lauter, std::exp(house.truth.lauter_level[b])));
                efficiency.add(holds(learned.levels[b].brewhouse_level, house.truth.brewhouse_level[b]));
            }
            const auto f = forecast(house.recipe, Litres(wish.volume), kit_of(*house.request.brewhouse),
                                    house.planned(malts, grist), {}, Kilograms(0.0), &learned.next);
            house.brew(malts, grist);
            gravity.add(holds(f.original_gravity_sg, house.truth.original_gravity.back()));
        }
        std::printf(
            "%-20s told %3.0f %%, suspected %3.0f %%; another told %.1f %% of instruments in %d breweries; holds: "
            "its offset %3.0f %%, others' %3.0f %%, levels %3.0f %%, brewhouse %3.0f %%, next gravity %3.0f %%\n",
            c.name, told.pct(), suspected.pct(), wrong.pct(), breweries, holds_offset.pct(), holds_others.pct(),
            level.pct(), efficiency.pct(), gravity.pct());
        for (const auto& [name, count] : accused) std::printf("    wrongly: %s %d\n", name.c_str(), count);
    }
}

// One brew's own balance, of the last four of twenty brews: with what the other brews say of its instruments, and
// without.
void singles(int breweries, unsigned seed) {
    struct Case {
        const char* name;
        const char* instrument;
        double error;
    };
    for (const Case& c :
         {Case{"as drawn", "", 0.0}, Case{"hydrometer 0.002", "hydrometer", 0.002},
          Case{"kettle marks 3 %", "kettle marks", 0.03}, Case{"fermenter marks 3 %", "fermenter marks", 0.03}}) {
        struct Tally {
            Share gravity, extract;
            double gravity_square = 0.0, extract_square = 0.0, alarms = 0.0;
        };
        std::array<Tally, 2> tally;
        for (int i = 0; i < breweries; ++i) {
            auto wish = steady(seed + static_cast<unsigned>(i), 20, 0.015);
            wish.missing = 0.1;
            wish.volume = i % 3 == 2 ? 500.0 : 23.0;
            if (c.error != 0.0) wish.offsets[c.instrument] = c.error;
            const SimulatedHouse house(wish);
            std::vector<const ReconcileInput*> last;
            for (std::size_t b = 16; b < 20; ++b) last.push_back(&house.request.brews[b]);
            const auto errors = learned_elsewhere(house.request, last);
            for (std::size_t k = 0; k < last.size(); ++k)
                for (const bool learned : {false, true}) {
                    ReconcileInput in = *last[k];
                    if (learned) in.elsewhere = errors[k];
                    const Reconciliation found = reconcile(in);
                    const auto quantity = [&](const std::string& name) {
                        return std::ranges::find(found.quantities, name, [](const auto& q) { return q.first; })
                            ->second.estimate;
                    };
                    auto& t = tally[learned ? 1 : 0];
                    t.alarms += found.test.passed ? 0.0 : 1.0;
                    const double sg = house.truth.original_gravity[16 + k], litres = house.truth.volume[16 + k];
                    const double fraction = wort::mass_fraction_of_gravity(sg);
                    const double kg = litres * wort::sucrose_density_kg_m3(fraction, 20.0) * fraction / 1000.0;
                    const auto gravity = quantity("original_gravity_sg"), extract = quantity("extract_fermenter_kg");
                    if (!gravity || !extract) continue;
                    t.gravity.add(holds(*gravity, sg));
                    t.extract.add(holds(*extract, kg));
                    t.gravity_square += std::pow(gravity->value - sg, 2);
                    t.extract_square += std::pow(extract->value / kg - 1.0, 2);
                }
        }
        for (const bool learned : {false, true}) {
            const auto& t = tally[learned ? 1 : 0];
            std::printf(
                "%-20s %-8s gravity holds %5.1f %%, rms %.5f; extract holds %5.1f %%, rms %.2f %%; alarms %.1f %% "
                "of %d\n",
                c.name, learned ? "others" : "alone", t.gravity.pct(), std::sqrt(t.gravity_square / t.gravity.of),
                t.extract.pct(), 100.0 * std::sqrt(t.extract_square / t.extract.of), 100.0 * t.alarms / t.gravity.of,
                t.gravity.of);
        }
    }
}

// A reading of the eighteenth of twenty brews misread by so many of its standard deviations: is it the first suspect,
// balanced as stated and by what the others taught.
void slips(int breweries, unsigned seed) {
    struct Slip {
        const char* name;
        ReadingPoint point;
        bool of_gravity;
    };
    constexpr std::array<Slip, 4> slips{{{"kettle volume", ReadingPoint::kettle_full, false},
                                         {"kettle gravity", ReadingPoint::kettle_full, true},
                                         {"fermenter volume", ReadingPoint::fermenter, false},
                                         {"fermenter gravity", ReadingPoint::fermenter, true}}};
    constexpr double gravity_sd = 0.0011, volume_sd_l = 0.45;
    for (const double times : {3.0, 5.0, 10.0})
        for (const Slip& slip : slips) {
            std::array<Share, 2> first;
            for (int i = 0; i < breweries; ++i) {
                auto wish = steady(seed + static_cast<unsigned>(i), 20, 0.015);
                LearnRequest request = SimulatedHouse(wish).request;
                ReconcileInput& in = request.brews[17];
                const auto misread = std::ranges::find_if(in.brew.readings, [&](const Reading& r) {
                    return r.point == slip.point && (slip.of_gravity ? r.gravity_sg.has_value() : r.volume.has_value());
                });
                if (misread == in.brew.readings.end()) continue;
                if (slip.of_gravity)
                    misread->gravity_sg = SpecificGravity(misread->gravity_sg->value() + times * gravity_sd);
                else
                    misread->volume = Litres(misread->volume->value() + times * volume_sd_l);
                const auto elsewhere = learned_elsewhere(request, {&in}).front();
                for (const bool learned : {false, true}) {
                    ReconcileInput asked = in;
                    if (learned) asked.elsewhere = elsewhere;
                    const Reconciliation found = reconcile(asked);
                    first[learned ? 1 : 0].add(!found.suspects.empty() &&
                                               found.suspects.front().reading == misread->id &&
                                               found.suspects.front().kind == (slip.of_gravity ? "gravity" : "volume"));
                }
            }
            std::printf("%2.0f sd, %-17s first suspect: alone %3.0f %%, by others %3.0f %% of %d\n", times, slip.name,
                        first[0].pct(), first[1].pct(), first[0].of);
        }
}

// Stated instruments of which one lies for ever and is held against something known once, after twenty brews.
void checks(int breweries, unsigned seed) {
    struct Case {
        const char* instrument;
        double error; // of marks a share
        double known, known_sd, read_sd;
    };
    const Case cases[] = {{"hydrometer", 0.002, 1.04, 0.0002, 0.0004},
                          {"kettle marks", 0.03, 27.0, 0.05, 0.2},
                          {"fermenter marks", 0.03, 23.0, 0.05, 0.17},
                          {"thermometer", 3.0, 0.0, 0.1, 0.3}};
    for (const auto& c : cases) {
        Share told, wrong, holds_offset, level, gravity;
        const bool is_marks = c.error < 1.0 && c.known > 2.0, is_thermometer = c.error > 1.0;
        for (int i = 0; i < breweries; ++i) {
            auto wish = steady(seed + static_cast<unsigned>(i), 20, 0.015);
            wish.missing = 0.1;
            wish.typical = false;
            if (is_thermometer)
                wish.thermometer_c = c.error;
            else
                wish.offsets[c.instrument] = c.error;
            SimulatedHouse house(wish);
            const auto malts = house.next_malts();
            const double grist = house.next_grist_kg();
            std::mt19937 chance(seed + static_cast<unsigned>(i));
            const double truth = is_marks ? c.error * c.known : c.error;
            const double read =
                c.known + truth + std::normal_distribution<double>(0.0, std::hypot(c.read_sd, c.known_sd))(chance);
            for (auto& brew : house.request.brews) {
                if (is_thermometer) {
                    brew.instruments.push_back(typical_instrument(InstrumentKind::thermometer, Litres(wish.volume)));
                    brew.instruments.back().name = "thermometer";
                }
                for (auto& one : brew.instruments)
                    if (one.name == c.instrument) one.checks.push_back({{}, c.known, c.known_sd, read});
            }
            const auto learned = learn(house.request);
            for (const auto& one : learned.instruments) {
                if (one.name != c.instrument) {
                    wrong.add(one.is_told);
                    continue;
                }
                told.add(one.is_told);
                holds_offset.add(holds(one.offset, truth));
            }
            for (std::size_t b = 0; b < learned.levels.size(); ++b)
                level.add(holds(learned.levels[b].conversion, std::exp(house.truth.conversion_level[b])));
            const auto f = forecast(house.recipe, Litres(wish.volume), kit_of(*house.request.brewhouse),
                                    house.planned(malts, grist), {}, Kilograms(0.0), &learned.next);
            house.brew(malts, grist);
            gravity.add(holds(f.original_gravity_sg, house.truth.original_gravity.back()));
        }
        std::printf(
            "%-16s checked once: told %3.0f %%; another told %.1f %% of instruments in %d breweries; holds: its "
            "offset %3.0f %%, conversion %3.0f %%, next gravity %3.0f %%\n",
            c.instrument, told.pct(), wrong.pct(), breweries, holds_offset.pct(), level.pct(), gravity.pct());
    }
}

// Of the changes that are named: whether the interval holds the true one, of houses that step and of those that wander.
void changes(int breweries, unsigned seed) {
    for (const bool wanders : {false, true}) {
        Share held, gravity;
        double said = 0.0, truth_sum = 0.0;
        int named = 0;
        for (int i = 0; i < breweries; ++i) {
            auto wish = steady(seed + static_cast<unsigned>(i), 40, 0.01);
            if (wanders) {
                wish.conversion_walk = 0.006;
                wish.lauter_walk = 0.004;
            } else {
                wish.step_at = 10 + i % 20;
                std::mt19937 chance(seed + static_cast<unsigned>(i));
                wish.step = std::normal_distribution<double>(0.0, 0.03)(chance);
            }
            SimulatedHouse house(wish);
            const auto malts = house.next_malts();
            const double grist = house.next_grist_kg();
            const auto learned = learn(house.request);
            for (const auto& d : learned.drift) {
                const int at = number_of(d.from_brew);
                double after = 0.0, before = 0.0;
                int n = 0, m = 0;
                for (int b = std::max(0, at - 8); b < std::min(wish.brews, at + 8); ++b) {
                    const auto k = static_cast<std::size_t>(b);
                    const double level = house.truth.conversion_level[k] + house.truth.lauter_level[k];
                    if (b < at)
                        before += level, ++m;
                    else
                        after += level, ++n;
                }
                const double truth = std::exp(after / n - before / m) - 1.0;
                ++named;
                said += std::abs(d.change);
                truth_sum += std::abs(truth);
                held.add(d.low <= truth && truth <= d.high);
            }
            const auto f = forecast(house.recipe, Litres(wish.volume), kit_of(*house.request.brewhouse),
                                    house.planned(malts, grist), {}, Kilograms(0.0), &learned.next);
            house.brew(malts, grist);
            gravity.add(holds(f.original_gravity_sg, house.truth.original_gravity.back()));
        }
        std::printf("%s: %d named in %d breweries, said %.1f %% on average, true %.1f %%, interval holds %.0f %%; next "
                    "gravity %.0f %%\n",
                    wanders ? "houses that wander" : "houses that step", named, breweries,
                    100.0 * said / std::max(named, 1), 100.0 * truth_sum / std::max(named, 1), held.pct(),
                    gravity.pct());
    }
}

// Lots, malts and levels where the assumptions hold, at three scatters, home and 500 L.
void levels(int breweries, unsigned seed) {
    for (const double volume : {23.0, 500.0})
        for (const double scatter : {0.006, 0.015, 0.04}) {
            Share lots, items, conversion, lauter, efficiency, gravity;
            for (int i = 0; i < breweries; ++i) {
                auto wish = steady(seed + static_cast<unsigned>(i), 30 + 10 * (i % 4), scatter);
                wish.volume = volume;
                wish.typical = i % 2 == 1;
                wish.use = i % 4 < 3 ? LotUse::in_turn : LotUse::one_by_one;
                wish.brews_per_lot = 6;
                wish.missing = 0.25;
                wish.conversion_walk = 0.0012;
                wish.lauter_walk = 0.0008;
                SimulatedHouse house(wish);
                const auto malts = house.next_malts();
                const double grist = house.next_grist_kg();
                const auto learned = learn(house.request);
                for (const auto& lot : learned.lots)
                    lots.add(holds(lot.difference, std::exp(house.truth.lots.at(lot.lot)) - 1.0));
                for (const auto& item : learned.items)
                    items.add(holds(item.difference, std::exp(house.truth.items.at(item.item)) - 1.0));
                for (std::size_t b = 0; b < learned.levels.size(); ++b) {
                    conversion.add(holds(learned.levels[b].conversion, std::exp(house.truth.conversion_level[b])));
                    lauter.add(holds(learned.levels[b].lauter, std::exp(house.truth.lauter_level[b])));
                    efficiency.add(holds(learned.levels[b].brewhouse_level, house.truth.brewhouse_level[b]));
                }
                const auto f = forecast(house.recipe, Litres(wish.volume), kit_of(*house.request.brewhouse),
                                        house.planned(malts, grist), {}, Kilograms(0.0), &learned.next);
                house.brew(malts, grist);
                gravity.add(holds(f.original_gravity_sg, house.truth.original_gravity.back()));
            }
            std::printf("%3.0f L, scatter %.1f %%: lots %.1f %%, malts %.1f %%, conversion %.1f %%, lautering %.1f %%, "
                        "brewhouse %.1f %%, next gravity %.1f %%\n",
                        volume, 100.0 * scatter, lots.pct(), items.pct(), conversion.pct(), lauter.pct(),
                        efficiency.pct(), gravity.pct());
        }
}

// A brew aimed at a gravity by what was learned: how likely it was said to land so near, and how often it did.
void aim(int breweries, unsigned seed) {
    constexpr std::array<double, 3> within{0.001, 0.002, 0.003};
    for (const double scatter : {0.006, 0.015, 0.04}) {
        std::array<double, 3> said{}, came{};
        for (int i = 0; i < breweries; ++i) {
            auto wish = steady(seed + static_cast<unsigned>(i), 20, scatter);
            wish.typical = i % 2 == 1;
            wish.missing = 0.1;
            wish.use = i % 4 < 2 ? LotUse::in_turn : LotUse::one_by_one;
            wish.brews_per_lot = 6;
            wish.conversion_walk = 0.0012;
            wish.lauter_walk = 0.0008;
            SimulatedHouse house(wish);
            const auto malts = house.next_malts();
            const double grist = house.next_grist_kg();
            const auto learned = learn(house.request);
            const auto f = forecast(house.recipe, Litres(wish.volume), kit_of(*house.request.brewhouse),
                                    house.planned(malts, grist), {}, Kilograms(0.0), &learned.next);
            house.brew(malts, grist);
            const double off = std::abs(house.truth.original_gravity.back() - f.original_gravity_sg.value);
            for (std::size_t k = 0; k < within.size(); ++k) {
                said[k] += std::erf(within[k] / f.original_gravity_sg.sd / std::sqrt(2.0)) / breweries;
                came[k] += off <= within[k] ? 1.0 / breweries : 0.0;
            }
        }
        std::printf("scatter %.1f %%:", 100.0 * scatter);
        for (std::size_t k = 0; k < within.size(); ++k)
            std::printf("  within %.3f said %2.0f %% came %2.0f %%", within[k], 100.0 * said[k], 100.0 * came[k]);
        std::printf("  of %d\n", breweries);
    }
}

} // namespace

int main(int argc, char** argv) {
    const std::string what = argc > 1 ? argv[1] : "";
    const int breweries = argc > 2 ? std::atoi(argv[2]) : 15;
    const unsigned seed = argc > 3 ? static_cast<unsigned>(std::atoi(argv[3])) : 20000;
    const std::pair<const char*, std::function<void(int, unsigned)>> all[] = {
        {"power", power},     {"promise", promise}, {"alarms", alarms}, {"sack", sack},
        {"offsets", offsets}, {"singles", singles}, {"slips", slips},   {"checks", checks},
        {"changes", changes}, {"levels", levels},   {"aim", aim}};
    for (const auto& [name, run] : all)
        if (what == name) {
            run(breweries, seed);
            return 0;
        }
    std::puts(
        "learn_truth power|promise|alarms|sack|offsets|singles|slips|checks|changes|levels|aim [breweries] [seed]");
    return 2;
}
