#include "reading_equation.hpp"
#include "reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/infer/reading_meaning.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;

constexpr double fermented_share = 0.5; // of the wort's extract: what is left of fermented beer lies below it

ReconcileInput placed(const Brewhouse& brewhouse, const std::vector<Instrument>& instruments) {
    ReconcileInput in;
    in.brewhouse = brewhouse;
    in.instruments = instruments;
    return in;
}

bool has_gravity(const Reading& r) {
    return r.gravity_sg || r.gravity_plato || r.brix;
}

std::string mark_text(const Reading& r) {
    if (r.gravity_sg) return fixed(r.gravity_sg->value(), 4);
    return r.gravity_plato ? shortest(r.gravity_plato->value()) + " °P" : shortest(r.brix->value()) + " °Bx";
}

// A gravity with the extract it would mean in wort, refractometer's or not.
struct Seen {
    const Reading* reading;
    double plato;
};

class Gravities {
public:
    Gravities(const std::vector<Reading>& read, const std::vector<Reading>& before, const std::optional<Recipe>& recipe,
              const ReconcileInput& in)
        : in_(in) {
        for (const auto* list : {&before, &read})
            for (const Reading& r : *list)
                if (!r.set_aside && has_gravity(r)) see(r);
        if (recipe && recipe->original_gravity) recipe_plato_ = wort::plato(*recipe->original_gravity).value();
    }

    // The wort of this brew, by what was read of it beside `other`: full kettle and what comes after it.
    [[nodiscard]] std::optional<double> wort_beside(const Reading& other) const {
        std::optional<double> most;
        for (const Seen& s : seen_) {
            const ReadingPoint at = s.reading->point;
            const bool is_wort =
                at == ReadingPoint::kettle_full || at == ReadingPoint::cast_out || at == ReadingPoint::fermenter;
            if (is_wort && s.reading->id != other.id) most = std::max(most.value_or(0.0), s.plato);
        }
        return most ? most : recipe_plato_;
    }
    // The original gravity as it was read, by what is not itself fermented.
    [[nodiscard]] std::optional<Seen> original() const {
        std::optional<Seen> found;
        for (const ReadingPoint at : {ReadingPoint::fermenter, ReadingPoint::cast_out})
            for (const Seen& s : seen_)
                if (s.reading->point == at && !is_fermented(s) && (!found || found->reading->point == at)) found = s;
        return found;
    }
    [[nodiscard]] bool is_fermented(const Seen& s) const {
        if (s.reading->point != ReadingPoint::fermenter || s.reading->brix) return false;
        const auto wort = wort_beside(*s.reading);
        return wort && s.plato < fermented_share * *wort;
    }
    [[nodiscard]] const std::vector<Seen>& seen() const { return seen_; }

private:
    // What cannot be used (an instrument nobody knows, a mark that no wort shows) is another answer's to say.
    void see(const Reading& r) {
        try {
            const auto equation = gravity_equation(in_, r, infer_detail::Quantity::fermenter);
            seen_.push_back({&r, plato_behind(*equation).value});
        } catch (const Error&) {
            return;
        }
    }

    const ReconcileInput& in_;
    std::vector<Seen> seen_;
    std::optional<double> recipe_plato_;
};

} // namespace

ReadingMeaning meaning_of(const Reading& r, const Brewhouse& brewhouse, const std::vector<Instrument>& instruments) {
    const ReconcileInput in = placed(brewhouse, instruments);
    ReadingMeaning m;
    const auto gravity = gravity_equation(in, r, infer_detail::Quantity::fermenter);
    const auto volume = volume_equation(in, r, infer_detail::Quantity::fermenter);
    const bool bent = r.brix && is_fermented_point(r.point);
    if (gravity && !bent) m.extract_plato = plato_behind(*gravity);
    const double w = m.extract_plato ? m.extract_plato->value / 100.0 : 0.0;
    if (volume) {
        const auto [as_read, at_20] = litres_behind(*volume, w);
        m.volume_as_read_l = as_read;
        m.volume_20c_l = at_20;
    }
    if (m.volume_20c_l && m.extract_plato) {
        const auto litres = Dual<2>::parameter(m.volume_20c_l->value, 0), fraction = Dual<2>::parameter(w, 1);
        const auto kg = litres * wort::sucrose_density_kg_m3(fraction, 20.0) * fraction / 1000.0;
        m.extract_kg = normal_estimate(
            kg.value, std::hypot(kg.slope[0] * m.volume_20c_l->sd, kg.slope[1] * m.extract_plato->sd / 100.0));
    }
    if (gravity && is_glass(*gravity) && gravity->at_c > warmest_sample_c)
        m.too_warm = fmt::format(
            "{} at {} °C is beyond the {} °C to which a hydrometer is corrected: known to ± {} °P. "
            "Cool the sample and read again; hot wort scalds, and glass cracks in it",
            mark_text(r), readable(gravity->at_c), readable(warmest_sample_c), fixed(m.extract_plato->sd, 1));
    return m;
}

std::vector<GravityDoubt> gravity_doubts(const std::vector<Reading>& read, const std::vector<Reading>& before,
                                         const std::optional<Recipe>& recipe, const Brewhouse& brewhouse,
                                         const std::vector<Instrument>& instruments) {
    const ReconcileInput in = placed(brewhouse, instruments);
    const Gravities gravities(read, before, recipe, in);
    std::vector<GravityDoubt> doubts;
    const auto is_new = [&](const Reading& r) { return std::ranges::find(read, r.id, &Reading::id) != read.end(); };
    for (const Seen& s : gravities.seen())
        if (is_new(*s.reading) && gravities.is_fermented(s))
            doubts.push_back({*s.reading, *gravities.wort_beside(*s.reading), std::nullopt});
    const auto original = gravities.original();
    if (!original) return doubts;
    for (const Seen& s : gravities.seen()) {
        if (s.reading->point != ReadingPoint::final_beer || s.plato < original->plato) continue;
        if (!is_new(*s.reading) && !is_new(*original->reading)) continue;
        doubts.push_back({*s.reading, original->plato, *original->reading});
    }
    return doubts;
}

} // namespace lotwort
