#include "readings.hpp"
#include "reading_equation.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/wort/density.hpp>
#include <map>

namespace lotwort::infer_detail {

namespace {

// Numbered parts (run 1, 2, ...) are one reading of their sum, brought to 20 C.
BrewEquation sum_of_runs(const std::vector<BrewEquation>& parts, Quantity quantity) {
    BrewEquation sum = parts.front();
    sum.quantity = quantity;
    sum.observed = sum.bias_sd = 0.0;
    sum.at_c = 20.0;
    double own = 0.0;
    for (const auto& part : parts) {
        const double to_20 = part.scale == Scale::kilograms
                                 ? 1000.0 / wort::sucrose_density_kg_m3(0.0, 20.0)
                                 : wort::sucrose_density_kg_m3(0.0, part.at_c) / wort::sucrose_density_kg_m3(0.0, 20.0);
        sum.observed += part.observed * to_20;
        own += std::pow(part.own_sd * to_20, 2);
        sum.bias_sd += part.bias_sd * to_20;
    }
    sum.own_sd = std::sqrt(own);
    sum.kind = "volume";
    sum.unit = "l";
    sum.scale = Scale::litres;
    return sum;
}

// Runnings after the first wort, numbered 2, 3, ...: their volumes count as a sum where none of them is missing. The
// last one's gravity is that of the wort left in the grain, where the sparge was in batches.
class Washings {
public:
    explicit Washings(const Kit& kit) : last_(kit.sparge == Sparge::batch ? static_cast<int>(kit.wash_stages) : 0) {}

    void take(const Reading& reading, std::optional<BrewEquation> volume, std::optional<BrewEquation> gravity,
              BrewModel& model) {
        const bool known = *reading.run <= last_;
        if (volume && known) volumes_[*reading.run] = *volume;
        if (gravity && *reading.run == last_) {
            ++model.readings;
            gravity->quantity = Quantity::last_runnings;
            model.equations.push_back(*gravity);
        } else if (gravity || !known) {
            model.remarks.push_back(fmt::format("{}: the {} of run {} is kept and takes no part in the balance",
                                                reading.id, gravity ? "gravity" : "volume", *reading.run));
        }
    }

    void finish(BrewModel& model) const {
        if (volumes_.empty()) return;
        if (static_cast<int>(volumes_.size()) != last_ - 1) {
            model.remarks.emplace_back(
                "the volumes of some runnings are missing: those read take no part in the balance");
            return;
        }
        std::vector<BrewEquation> parts;
        for (const auto& [run, volume] : volumes_) parts.push_back(volume);
        model.readings += static_cast<int>(parts.size());
        model.equations.push_back(sum_of_runs(parts, Quantity::washings));
    }

private:
    int last_; // the number of the last running; 0 where they are not in stages
    std::map<int, BrewEquation> volumes_;
};

// A mash read with the grain in it: the grain's displacement is known to a few hundredths of a litre per kg.
void widen_for_grain(BrewEquation& mash, double grist_dry_kg) {
    mash.own_sd = std::hypot(mash.own_sd, 0.04 * grist_dry_kg);
}

bool is_mash_point(Quantity q) {
    return q == Quantity::strike_liquor || q == Quantity::sparge_liquor || q == Quantity::first_wort ||
           q == Quantity::last_runnings || q == Quantity::mash;
}

// All readings of one mash (or of the kettle and what follows): those of the brew that speak of it.
class Taken {
public:
    Taken(const ReconcileInput& in, const Kit& kit, std::size_t brew, BrewModel& model)
        : in_(in), brew_(brew), model_(model), washings_(model.brews[brew].mashes.size(), Washings(kit)) {}

    void take(const Reading& reading) {
        const auto quantity = quantity_of(reading.point);
        if (!quantity) return;
        const std::size_t mash = mash_of(reading, *quantity);
        if (mash >= model_.brews[brew_].mashes.size()) return not_a_mash(reading);
        auto volume = *quantity == Quantity::last_runnings
                          ? std::nullopt
                          : possible(reading, "volume", [&] { return volume_equation(in_, reading, *quantity); });
        auto gravity = is_liquor(*quantity)
                           ? std::nullopt
                           : possible(reading, "gravity", [&] { return gravity_equation(in_, reading, *quantity); });
        // what is read at cast-out is no part of what is in the fermenter
        const bool may_come = *quantity == Quantity::kettle_full || *quantity == Quantity::fermenter;
        for (auto* e : {&volume, &gravity}) {
            if (!*e) continue;
            (*e)->brew = brew_;
            (*e)->mash = mash;
            if (may_come) (*e)->liquor_to_come = share_of_liquor_after(in_, reading);
        }
        if (reading.run.value_or(1) > 1 && !is_liquor(*quantity)) {
            if (*quantity == Quantity::first_wort)
                washings_[mash].take(reading, volume, gravity, model_);
            else
                model_.remarks.push_back(fmt::format("{}: run {} at {} is kept and takes no part in the balance",
                                                     reading.id, *reading.run, word(reading.point)));
            return;
        }
        if (volume) {
            ++model_.readings;
            if (*quantity == Quantity::mash) widen_for_grain(*volume, model_.brews[brew_].mashes[mash].grist_dry_kg);
            // liquor to fill up with is added, and more of it later: none is read twice
            const bool fills_up = *quantity == Quantity::top_up || *quantity == Quantity::kettle_liquor;
            if (fills_up || (is_liquor(*quantity) && reading.run))
                numbered_[{*quantity, mash}].push_back(*volume);
            else
                model_.equations.push_back(*volume);
        }
        if (gravity) {
            ++model_.readings;
            // wort drawn from the mash is first wort
            if (*quantity == Quantity::mash) gravity->quantity = Quantity::first_wort;
            model_.equations.push_back(*gravity);
        }
    }

    void finish() {
        for (const auto& [which, parts] : numbered_)
            model_.equations.push_back(parts.size() > 1 ? sum_of_runs(parts, which.first) : parts.front());
        for (const auto& washings : washings_) washings.finish(model_);
    }

private:
    [[nodiscard]] static std::size_t mash_of(const Reading& reading, Quantity quantity) {
        return is_mash_point(quantity) ? static_cast<std::size_t>(reading.mash.value_or(1)) - 1 : 0;
    }
    void not_a_mash(const Reading& reading) {
        model_.impossible.push_back({reading.id, std::string(word(reading.point)),
                                     reading.volume ? "volume" : "gravity",
                                     fmt::format("it speaks of mash {}, and no malt was booked into that mash of {}",
                                                 reading.mash.value_or(1), in_.brew.code)});
    }
    // The equation that a reading makes; none, and the reason kept, where it makes none.
    template <class Make>
    [[nodiscard]] std::optional<BrewEquation> possible(const Reading& reading, const char* kind, Make&& make) {
        try {
            return make();
        } catch (const Error& e) {
            std::string why = e.what();
            if (const std::string subject = fmt::format("reading {}: ", reading.id); why.starts_with(subject))
                why.erase(0, subject.size());
            model_.impossible.push_back({reading.id, std::string(word(reading.point)), kind, std::move(why)});
            return std::nullopt;
        }
    }

    const ReconcileInput& in_;
    std::size_t brew_;
    BrewModel& model_;
    std::map<std::pair<Quantity, std::size_t>, std::vector<BrewEquation>> numbered_;
    std::vector<Washings> washings_; // of each mash
};

} // namespace

void add_readings(const ReconcileInput& in, const Kit& kit, std::size_t brew, BrewModel& model) {
    Taken taken(in, kit, brew, model);
    for (const auto& reading : in.brew.readings)
        if (!reading.set_aside && !(in.untied_before > 0 && reading.point == ReadingPoint::fermenter))
            taken.take(reading);
    taken.finish();
}

bool is_read(const BrewModel& model, std::size_t brew, std::size_t mash, Quantity quantity, std::string_view kind) {
    return std::ranges::any_of(model.equations, [&](const BrewEquation& e) {
        return !e.is_expectation && e.brew == brew && e.mash == mash && e.quantity == quantity &&
               (kind.empty() || e.kind == kind);
    });
}

} // namespace lotwort::infer_detail
