#include "slip_trials.hpp"
#include "../../src/infer/reconcile/answer.hpp"
#include "../../src/infer/reconcile/equations.hpp"
#include "simulated_brewery.hpp"
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <functional>
#include <iterator>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort::test {

namespace {

constexpr double us_gallon_l = 3.785411784, imperial_gallon_l = 4.54609, pound_kg = 0.45359237;

// SplitMix64 (Steele, Lea and Flood 2014): the same numbers everywhere.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 1) {}
    std::size_t below(std::size_t count) {
        std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
        return static_cast<std::size_t>((z ^ (z >> 31U)) % count);
    }
    template <class T>
    const T& of(const std::vector<T>& list) {
        return list[below(list.size())];
    }

private:
    std::uint64_t state_;
};

Instrument instrument(const char* name, InstrumentKind kind, const char* unit, double repeatability, double bias) {
    Instrument i;
    i.name = name;
    i.kind = kind;
    i.unit = unit;
    i.repeatability = repeatability;
    i.bias_sd = bias;
    if (kind == InstrumentKind::hydrometer) i.calibration = Celsius(20.0);
    return i;
}

// The wort behind an honest SG reading.
double fraction_of(const Reading& r) {
    return wort::mass_fraction_of_mark(r.gravity_sg->value(), r.gravity_at->value(), 20.0);
}

// The same readings with what another brewery reads gravity with. Half of the gravities are typed without an
// instrument's name.
void change_gravity(ReconcileInput& in, Dice& dice) {
    const std::size_t with = dice.below(4);
    if (with == 1) in.instruments.push_back(instrument("plato stem", InstrumentKind::hydrometer, "plato", 0.1, 0.2));
    if (with == 2)
        in.instruments.push_back(instrument("refractometer", InstrumentKind::refractometer, "brix", 0.12, 0.2));
    if (with == 3) in.instruments.push_back(instrument("meter", InstrumentKind::density_meter, "sg", 0.0001, 0.0004));
    for (Reading& r : in.brew.readings) {
        if (!r.gravity_sg || with == 0) continue;
        const double w = fraction_of(r);
        r.gravity_instrument = in.instruments.back().name;
        if (with == 1) {
            r.gravity_sg.reset();
            r.gravity_plato = Plato(wort::hydrometer_plato_mark_of(w, r.gravity_at->value(), 20.0));
        } else if (with == 2) {
            r.gravity_sg.reset();
            r.gravity_at.reset();
            r.brix = Brix(104.0 * w);
        } else {
            r.gravity_sg = SpecificGravity(wort::specific_gravity_of(w));
            r.gravity_at = Celsius(20.0);
        }
    }
}

// The kettle by a stick's depth, the fermenter by weight, liquor by weight: as the dice have it.
void change_volumes(ReconcileInput& in, Dice& dice) {
    const bool stick = dice.below(3) == 0, weighed_beer = dice.below(4) == 0, weighed_liquor = dice.below(4) == 0;
    if (stick) {
        in.instruments.push_back(instrument("stick", InstrumentKind::volume_marks, "cm", 0.2, 0.2));
        for (const auto point : {ReadingPoint::kettle_full, ReadingPoint::cast_out}) {
            Vessel kettle;
            kettle.point = point;
            kettle.dip_table = {{Centimetres(0.0), Litres(0.5)}, {Centimetres(50.0), Litres(60.5)}};
            in.brewhouse.vessels.push_back(kettle);
        }
    }
    in.instruments.push_back(instrument("floor scale", InstrumentKind::balance, "kg", 0.1, 0.05));
    for (Reading& r : in.brew.readings) {
        if (!r.volume) continue;
        const bool kettle = r.point == ReadingPoint::kettle_full || r.point == ReadingPoint::cast_out;
        const bool liquor = r.point == ReadingPoint::strike_liquor || r.point == ReadingPoint::sparge_liquor;
        if (stick && kettle) {
            r.depth = Centimetres((r.volume->value() - 0.5) / 1.2);
            r.volume.reset();
            r.volume_instrument = "stick";
        } else if ((liquor && weighed_liquor) || (r.point == ReadingPoint::fermenter && weighed_beer)) {
            const double w = liquor ? 0.0 : 0.115; // near enough: the scale errs by more
            r.mass = Kilograms(r.volume->value() * wort::sucrose_density_kg_m3(w, r.volume_at->value()) / 1000.0);
            r.volume.reset();
            r.volume_at.reset();
            r.volume_instrument = "floor scale";
        }
    }
}

// A figure that somebody wrote down, with how many decimals it is written, and what may be booked.
struct Written {
    std::string what;
    double value;
    int decimals;
    double least, most;
    std::function<void(double)> write;
};

void add_figures(Reading& r, std::vector<Written>& out) {
    const auto figure = [&](const char* what, auto& field, int decimals, double least, double most) {
        if (!field) return;
        using Value = std::remove_reference_t<decltype(*field)>;
        out.push_back({what, field->value(), decimals, least, most, [&field](double x) { field = Value(x); }});
    };
    figure("volume", r.volume, 1, 0.0, 1e6);
    figure("depth", r.depth, 1, 0.0, 2000.0);
    figure("mass", r.mass, 1, 0.0, 1e6);
    figure("gravity", r.gravity_sg, 3, 0.98, 1.2);
    figure("plato", r.gravity_plato, 1, -5.0, 45.0);
    figure("brix", r.brix, 1, -1.0, 45.0);
    figure("volume's temperature", r.volume_at, 0, 0.0, 105.0);
    figure("gravity's temperature", r.gravity_at, 0, 0.0, 100.0);
}

// Digits as the hand gets them wrong; none where there is nothing to get wrong.
std::optional<double> mistyped(const Written& f, std::size_t how, Dice& dice) {
    std::string text = fmt::format("{:.{}f}", f.value, f.decimals);
    std::vector<std::size_t> digits;
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] >= '0' && text[i] <= '9') digits.push_back(i);
    const std::size_t at = dice.of(digits);
    switch (how) {
    case 0: // two digits swapped
        if (at + 1 >= text.size() || text[at + 1] == '.' || text[at] == text[at + 1]) return std::nullopt;
        std::swap(text[at], text[at + 1]);
        break;
    case 1: // a digit dropped
        if (digits.size() < 2) return std::nullopt;
        text.erase(at, 1);
        break;
    case 2: // a digit typed twice
        text.insert(at, 1, text[at]);
        break;
    case 3: // another digit
        text[at] = static_cast<char>('0' + (text[at] - '0' + 1 + static_cast<int>(dice.below(9))) % 10);
        break;
    case 4:
        return f.value * 10.0;
    case 5:
        return f.value / 10.0;
    default:
        return std::nullopt;
    }
    const double value = std::strtod(text.c_str(), nullptr);
    return std::abs(value - f.value) > 0.6 * std::pow(10.0, -f.decimals) ? std::optional(value) : std::nullopt;
}

const char* const hand_slips[] = {"digits swapped",  "a digit dropped",     "a digit twice",
                                  "one digit wrong", "the point one right", "the point one left"};

// A figure by hand, or by another unit.
std::optional<std::string> slip_figure(Written& f, Dice& dice) {
    std::vector<std::pair<std::string, double>> units;
    if (f.what == "volume")
        units = {{"litres for US gallons", f.value / us_gallon_l},
                 {"US gallons for litres", f.value * us_gallon_l},
                 {"imperial for US gallons", f.value * us_gallon_l / imperial_gallon_l},
                 {"imperial gallons for litres", f.value * imperial_gallon_l}};
    else if (f.what == "mass")
        units = {{"pounds for kilograms", f.value * pound_kg}, {"kilograms for pounds", f.value / pound_kg}};
    else if (f.what == "depth")
        units = {{"inches for centimetres", f.value * 2.54}, {"centimetres for inches", f.value / 2.54}};
    else if (f.what.ends_with("temperature"))
        units = {{"Fahrenheit for Celsius", (f.value - 32.0) / 1.8}, {"Celsius for Fahrenheit", 1.8 * f.value + 32.0}};
    const std::size_t which = dice.below(8);
    std::optional<double> value;
    std::string said;
    if (which < 6) {
        value = mistyped(f, which, dice);
        said = hand_slips[which];
    } else if (!units.empty()) {
        const auto& unit = dice.of(units);
        said = unit.first;
        value = unit.second;
    }
    if (!value || *value < f.least || *value > f.most) return std::nullopt;
    f.write(*value);
    return fmt::format("{}: {}", f.what, said);
}

// A gravity on a scale it was not read on.
std::optional<std::string> slip_scale(Reading& r, Dice& dice) {
    const bool first = dice.below(2) == 0;
    if (r.gravity_sg) {
        const double points = 1000.0 * (r.gravity_sg->value() - 1.0);
        const double typed = first ? points : r.gravity_sg->value(); // 48 or 1.048, said to be Plato
        if (typed > 45.0) return std::nullopt;
        r.gravity_sg.reset();
        r.gravity_plato = Plato(typed);
        return first ? "gravity: points as Plato" : "gravity: SG as Plato";
    }
    if (r.gravity_plato) {
        const double plato = r.gravity_plato->value();
        r.gravity_plato.reset();
        if (first)
            r.gravity_sg = SpecificGravity(1.0 + plato / 1000.0);
        else
            r.brix = Brix(std::max(plato, -1.0));
        return first ? "gravity: Plato as points" : "gravity: Plato as Brix";
    }
    if (r.brix) {
        const double brix = r.brix->value();
        r.brix.reset();
        if (first)
            r.gravity_plato = Plato(brix);
        else
            r.gravity_sg = SpecificGravity(1.0 + 4.0 * brix / 1000.0);
        return first ? "gravity: Brix as Plato" : "gravity: Brix as SG by four";
    }
    return std::nullopt;
}

std::optional<std::string> slip_reading(Brew& brew, Reading& r, Dice& dice) {
    switch (dice.below(8)) {
    case 0: { // at another point
        const std::vector<ReadingPoint> points{ReadingPoint::strike_liquor, ReadingPoint::sparge_liquor,
                                               ReadingPoint::first_wort,    ReadingPoint::last_runnings,
                                               ReadingPoint::kettle_full,   ReadingPoint::cast_out,
                                               ReadingPoint::fermenter,     ReadingPoint::top_up,
                                               ReadingPoint::kettle_liquor, ReadingPoint::mash};
        const ReadingPoint at = dice.of(points);
        if (at == r.point) return std::nullopt;
        r.point = at;
        return "at the wrong point";
    }
    case 1: // hot for cold, cold for hot
        if (!r.volume || !r.volume_at) return std::nullopt;
        r.volume_at = Celsius(r.volume_at->value() > 40.0 ? 20.0 : 90.0);
        return "volume: hot and cold confused";
    case 2: { // twice
        Reading again = r;
        again.id += "-again";
        brew.readings.push_back(again);
        return "booked twice";
    }
    case 3:
        return slip_scale(r, dice);
    default: {
        std::vector<Written> figures;
        add_figures(r, figures);
        if (figures.empty()) return std::nullopt;
        return slip_figure(figures[dice.below(figures.size())], dice);
    }
    }
}

std::optional<std::string> slip_malt(Brew& brew, Dice& dice) {
    Amount& amount = brew.additions.front().amount;
    std::vector<Written> figures{
        {"mass", amount.kilograms().value(), 2, 0.001, 1e6, [&](double kg) { amount = Amount::of(Kilograms(kg)); }}};
    return slip_figure(figures.front(), dice);
}

std::optional<double> stands_out(const ReconcileInput& slipped, const std::string& id) {
    using namespace infer_detail;
    BrewModel model = brew_model(slipped);
    const auto of_id = [&](const BrewEquation& e) { return e.id == id; };
    std::vector<BrewEquation> wrong;
    std::ranges::copy_if(model.equations, std::back_inserter(wrong), of_id);
    std::erase_if(model.equations, of_id);
    if (wrong.empty() || model.equations.empty()) return std::nullopt;
    const UnknownsOf unknowns(model);
    const auto solution = solve_within(problem_of(model, unknowns), limits_of(model, unknowns)).solution;
    const JointBalance at(model, unknowns, solution.theta);
    std::optional<double> most;
    for (const auto& e : wrong) {
        const Traced y = at.predicted(e);
        if (!solution.estimable(y.slope)) continue;
        const double variance = e.sd() * e.sd() + std::max(0.0, y.slope.dot(solution.covariance * y.slope));
        most = std::max(most.value_or(0.0), std::abs(e.observed - y.value) / std::sqrt(variance));
    }
    return most;
}

std::optional<std::string> flaw_of(const std::string& name, const Estimated& e) {
    if (!e.estimate) return e.reason.empty() ? std::optional(name + " is missing without a reason") : std::nullopt;
    const auto& [value, sd, low, high] = *e.estimate;
    for (const double x : {value, sd, low, high})
        if (!std::isfinite(x)) return name + " is not finite";
    const double hair = 1e-9 * (1.0 + std::abs(value));
    if (sd < 0.0 || low > value + hair || high < value - hair) return name + " lies outside its interval";
    return std::nullopt;
}

std::optional<std::string> flaw_of(const std::string& name, const Efficiencies& e) {
    for (const auto& [what, one] : {std::pair("conversion", &e.conversion),
                                    {"lauter", &e.lauter},
                                    {"kettle yield", &e.kettle_yield},
                                    {"transfer", &e.transfer},
                                    {"brewhouse", &e.brewhouse}})
        if (auto flaw = flaw_of(name + what, *one)) return flaw;
    return std::nullopt;
}

bool finite(const GlobalTest& test) {
    return std::isfinite(test.statistic) && (!test.p_value || (*test.p_value >= 0.0 && *test.p_value <= 1.0));
}

} // namespace

std::optional<SlipTrial> slip_trial(std::uint64_t number) {
    Dice dice(number);
    Brewery brewery(static_cast<unsigned>(1 + dice.below(1U << 30U)));
    SlipTrial trial;
    trial.input = brewery.draw(dice.of(kinds), dice.below(4) == 0 ? 0.4 : 0.0).input;
    Brew& brew = trial.input.brew;
    change_gravity(trial.input, dice);
    change_volumes(trial.input, dice);
    std::optional<std::string> made;
    if (brew.readings.empty() || dice.below(20) == 0) {
        trial.reading = "expect:grist";
        made = slip_malt(brew, dice);
    } else {
        brew.readings.reserve(brew.readings.size() + 1); // for one that is booked twice
        Reading& slipped = brew.readings[dice.below(brew.readings.size())];
        trial.reading = slipped.id;
        made = slip_reading(brew, slipped, dice);
    }
    if (!made) return std::nullopt;
    trial.slip = *made;
    if (trial.slip != "booked twice") trial.stands_out = stands_out(trial.input, trial.reading);
    return trial;
}

std::optional<std::string> flaw_of(const Reconciliation& answer) {
    if (auto flaw = flaw_of("", answer.efficiencies)) return flaw;
    for (const auto& [name, quantity] : answer.quantities)
        if (auto flaw = flaw_of(name, quantity)) return flaw;
    if (!finite(answer.test)) return "the test is not finite";
    for (const auto& r : answer.readings)
        for (const double x : {r.read, r.reconciled, r.sd, r.standardised_residual.value_or(0.0)})
            if (!std::isfinite(x)) return r.id + " is not finite";
    for (const auto& s : answer.suspects) {
        for (const double x : {s.likely_error, s.likely_error_sd, s.p_value})
            if (!std::isfinite(x)) return "the suspect " + s.reading + " is not finite";
        if (!finite(s.test_without)) return "the test without " + s.reading + " is not finite";
        if (auto flaw = flaw_of("without " + s.reading + ": ", s.efficiencies_without)) return flaw;
    }
    for (const auto& next : answer.measure_next)
        if (!std::isfinite(next.sd_now) || !std::isfinite(next.sd_then)) return std::string("what to measure next");
    if (!std::isfinite(answer.textbook_yield_pct.value_or(0.0))) return std::string("the textbook's yield");
    return std::nullopt;
}

bool suspects(const Reconciliation& answer, const std::string& reading) {
    return std::ranges::any_of(answer.suspects, [&](const Suspect& s) {
        return s.reading == reading || std::ranges::any_of(s.cannot_be_told_from, [&](const std::string& other) {
                   return other.starts_with(reading + " ");
               });
    });
}

} // namespace lotwort::test
