#include "plan/enumerated.hpp"
#include "plan/brewery.hpp"
#include <cmath>
#include <lotwort/wort/colour.hpp>
#include <random>

namespace lotwort::test {

using namespace plan;

namespace {

class Chance {
public:
    explicit Chance(unsigned seed) : engine_(seed) {}
    double operator()(double low, double high) {
        return low + (high - low) * static_cast<double>(engine_() % 100001U) / 100000.0;
    }
    double in_steps(double low, double high, double step) { return std::round((*this)(low, high) / step) * step; }

private:
    std::mt19937 engine_;
};

} // namespace

SubstituteRequest drawn_request(unsigned seed, AnswerKind kind) {
    Chance chance(seed);
    SubstituteRequest request;
    request.items = {malt("pale", "base", chance(79.0, 83.0), 4.0, chance(4.0, 8.0), chance(60.0, 200.0)),
                     malt("lager", "base", chance(79.0, 83.0), 4.5, chance(3.0, 5.0), chance(20.0, 280.0)),
                     malt("crystal", "caramel", 75.0, 5.0, chance(90.0, 150.0), 0.0),
                     malt("dark crystal", "caramel", 74.0, 5.0, chance(120.0, 200.0), 0.0)};
    request.items[1].max_share = Percent(chance(25.0, 90.0));
    BrewToFill brew = pale_ale("P1", "2026-03-01");
    const double litres = chance(18.0, 120.0);
    brew.volume = brew.brewhouse.volume = brew.recipe.volume = Litres(litres);
    const double pale = 0.01 * std::round(20.0 * litres), crystal = 0.01 * std::round(chance(0.3, 2.0) * litres);
    brew.recipe.grist = {{"pale", {}, Kilograms(pale)}, {"crystal", {}, Kilograms(crystal)}};
    brew.recipe.hops.clear();
    request.brews = {brew};
    request.today = brew.date;
    request.kinds = {kind};
    request.lots = {lot("P", "pale", chance.in_steps(0.3, 1.1, 0.01) * pale),
                    lot("L", "lager", chance.in_steps(0.1, 1.0, 0.01) * pale),
                    lot("C", "crystal", chance.in_steps(0.2, 1.5, 0.01) * crystal),
                    lot("D", "dark crystal", chance.in_steps(0.2, 1.5, 0.01) * crystal)};
    for (auto& state : request.lots) {
        state.on_hand = state.lot.received_amount =
            Amount::of(Kilograms(0.01 * std::round(100.0 * state.on_hand.kilograms().value())));
        state.lot.price = Money{std::llround(chance(0.8, 2.5) * 100.0 * state.on_hand.kilograms().value())};
        state.lot.best_before = brew.date + std::chrono::days(static_cast<int>(chance(5.0, 400.0)));
        Certificate paper;
        paper.colour = Ebc(*request.items[std::size_t(&state - request.lots.data())].colour * chance(0.85, 1.15));
        state.lot.certificate = paper;
    }
    return request;
}

namespace {

struct Possible {
    std::size_t lot;
    int line;
    double extract, lovibond, power, distance, least;
    int column = 0;
};

// One brew's rules written out; takes and emptied lots are given by bits.
struct Sums {
    const SubstituteRequest& request;
    std::vector<Possible> possible;
    double target[2] = {}, mass[2] = {};

    explicit Sums(const SubstituteRequest& asked) : request(asked) {
        const auto& grist = request.brews[0].recipe.grist;
        for (int line = 0; line < 2; ++line) {
            const Item& item = line == 0 ? request.items[0] : request.items[2];
            mass[line] = grist[std::size_t(line)].mass->value();
            target[line] = mass[line] * as_is(item);
            for (std::size_t i = 0; i < request.lots.size(); ++i) {
                const Item& other = request.items[i];
                const double ebc = request.lots[i].lot.certificate->colour->value(), nominal = item.colour->value();
                if (item.malt_class != other.malt_class) continue;
                double distance = 0.0;
                if (&item != &other) {
                    const double unit = line == 0 ? std::abs(ebc - nominal) / 4.0
                                                  : std::abs(std::log(ebc / nominal)) / std::log(1.0 / 0.6);
                    if (unit > 1.0) continue;
                    distance = 1.0 + unit;
                }
                const double free = request.lots[i].on_hand.kilograms().value();
                possible.push_back({i, line, as_is(other), (ebc / 1.97 + 0.76) / 1.3546, other.diastatic_power->value(),
                                    distance, std::min({0.1, free, mass[line]})});
            }
        }
    }
    static double as_is(const Item& item) {
        return item.extract->value() / 100.0 * (1.0 - item.moisture->value() / 100.0);
    }
    [[nodiscard]] double free(std::size_t lot) const { return request.lots[lot].on_hand.kilograms().value(); }
};

double cost(const Sums& sums, const Possible& p, AnswerKind kind) {
    const Lot& lot = sums.request.lots[p.lot].lot;
    if (kind == AnswerKind::nearest) return p.distance * p.extract;
    if (kind == AnswerKind::cheapest)
        return static_cast<double>(lot.price->minor) / 100.0 / lot.received_amount.kilograms().value();
    if (kind == AnswerKind::oldest) return double((*lot.best_before - sums.request.brews[0].date).count());
    return 0.0;
}

double colour_units(double ebc) {
    return std::pow(ebc / (1.97 * 1.4922), 1.0 / 0.6859);
}

// low * scale <= sum <= high * scale
void hold(Mip& lp, std::vector<Term> terms, double low, double high, int scale) {
    auto below = terms;
    below.push_back({scale, -high});
    lp.row("", below, -no_limit, 0.0);
    terms.push_back({scale, -low});
    lp.row("", terms, 0.0, no_limit);
}

void hold_grist(Mip& lp, const Sums& sums, int scale, AnswerKind kind) {
    const auto& items = sums.request.items;
    std::vector<Term> extract, colour, power, share;
    const double total = sums.target[0] + sums.target[1], kg = sums.mass[0] + sums.mass[1];
    const double floor = std::min(100.0, sums.mass[0] * items[0].diastatic_power->value() / kg);
    for (int line = 0; line < 2; ++line) {
        std::vector<Term> terms;
        for (const Possible& p : sums.possible)
            if (p.line == line) terms.push_back({p.column, p.extract});
        const double off = (line == 0 ? 0.10 : 0.20) * sums.target[line];
        hold(lp, terms, sums.target[line] - off, sums.target[line] + off, scale);
        if (kind != AnswerKind::nearest) continue;
        const int beyond = lp.column("", 0.0, no_limit, 1.0);
        auto above = terms;
        above.push_back({beyond, -1.0});
        lp.row("", above, -no_limit, sums.target[line] + 0.01);
        terms.push_back({beyond, 1.0});
        lp.row("", terms, sums.target[line] - 0.01, no_limit);
    }
    for (const Possible& p : sums.possible) {
        extract.push_back({p.column, p.extract});
        colour.push_back({p.column, p.lovibond});
        power.push_back({p.column, p.power - floor});
        share.push_back({p.column, (p.lot == 1 ? 1.0 : 0.0) - items[1].max_share->value() / 100.0});
    }
    const double off = std::max(0.001 * total, 0.005);
    hold(lp, extract, total - off, total + off, scale);
    // colour units: lb, Lovibond, US gallon
    const double per = 3.785411784 / 0.45359237 / sums.request.brews[0].volume.value();
    double nominal = 0.0;
    for (int line = 0; line < 2; ++line)
        nominal += sums.mass[line] * (items[line == 0 ? 0 : 2].colour->value() / 1.97 + 0.76) / 1.3546;
    const double ebc = 1.97 * 1.4922 * std::pow(nominal * per, 0.6859), near = std::max(1.0, 0.05 * ebc);
    hold(lp, colour, colour_units(std::max(0.0, ebc - near)) / per, colour_units(ebc + near) / per, scale);
    lp.row("", power, 0.0, no_limit);
    lp.row("", share, -no_limit, 0.0);
}

} // namespace

double enumerated_optimum(const SubstituteRequest& request, AnswerKind kind, bool steps) {
    Sums sums(request);
    const unsigned takes = 1U << sums.possible.size();
    double best = no_limit;
    for (unsigned taken = 0; taken < takes; ++taken) {
        unsigned touched = 0, filled = 0;
        for (std::size_t i = 0; i < sums.possible.size(); ++i)
            if ((taken >> i) & 1U) {
                touched |= 1U << sums.possible[i].lot;
                filled |= 1U << sums.possible[i].line;
            }
        if (filled != 3) continue; // a line with nothing in it
        for (unsigned emptied = 0; emptied < 16; ++emptied) {
            if ((emptied & ~touched) != 0) continue;
            Mip lp;
            const bool smaller = kind == AnswerKind::smaller;
            const int scale = lp.column("", smaller ? 0.0 : 1.0, 1.0, smaller ? -request.brews[0].volume.value() : 0.0);
            for (std::size_t i = 0; i < sums.possible.size(); ++i) {
                Possible& p = sums.possible[i];
                const bool yes = ((taken >> i) & 1U) != 0;
                const bool scaled = smaller && p.least == sums.mass[p.line]; // the line's whole target is the least
                p.column =
                    lp.column("", yes && !scaled ? p.least : 0.0, yes ? sums.free(p.lot) : 0.0, cost(sums, p, kind));
                if (yes && scaled) lp.row("", {{p.column, 1.0}, {scale, -p.least}}, 0.0, no_limit);
                if (yes && steps) lp.in_steps(p.column, 0.01);
            }
            bool possible = true;
            for (std::size_t l = 0; l < request.lots.size(); ++l) {
                if (((touched >> l) & 1U) == 0) continue;
                std::vector<Term> sum;
                for (const Possible& p : sums.possible)
                    if (p.lot == l) sum.push_back({p.column, 1.0});
                const double free = sums.free(l);
                const bool all = ((emptied >> l) & 1U) != 0;
                if (!all && free < 0.25) possible = false;
                lp.row("", sum, all ? free : 0.0, all ? free : free - 0.25);
            }
            if (!possible) continue;
            hold_grist(lp, sums, scale, kind);
            const auto answer = solve(lp);
            if (answer.found()) best = std::min(best, answer.objective);
        }
    }
    return best;
}

} // namespace lotwort::test
