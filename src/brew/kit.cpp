#include "told_efficiency.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/kit.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/boiling_point.hpp>

namespace lotwort {

namespace {

// The stated value, or the typical one with the field's name noted.
template <class Q>
double stated_or(const std::optional<Q>& stated, double typical, std::string_view name,
                 std::vector<std::string>& assumed) {
    if (stated) return stated->value();
    assumed.emplace_back(name);
    return typical;
}

// Points that are read on one vessel share its marks, and so their bias.
std::string_view vessel_of(ReadingPoint point) {
    switch (point) {
    case ReadingPoint::strike_liquor:
    case ReadingPoint::sparge_liquor:
    case ReadingPoint::kettle_liquor:
        return "liquor tank";
    case ReadingPoint::mash:
        return "mash tun";
    case ReadingPoint::first_wort:
    case ReadingPoint::last_runnings:
        return "receiver";
    case ReadingPoint::kettle_full:
    case ReadingPoint::cast_out:
        return "kettle";
    case ReadingPoint::top_up:
        return "top-up measure";
    case ReadingPoint::fermenter:
    case ReadingPoint::fermenting:
    case ReadingPoint::final_beer:
        return "fermenter";
    }
    return "vessel";
}

} // namespace

// Typical values are common practice without a source; docs/methods/brewhouse.md lists and explains them.
Kit kit_of(const Brewhouse& b) {
    Kit k;
    auto& assumed = k.assumed;
    const double volume = b.volume.value();
    k.volume_l = volume;
    const bool small = volume <= 100.0;
    if (!b.sparge) assumed.emplace_back("sparge");
    k.sparge = b.sparge.value_or(small ? Sparge::batch : Sparge::continuous);
    if (k.sparge == Sparge::none) k.wash_stages = 1.0;
    if (k.sparge == Sparge::batch) k.wash_stages = 1.0 + b.batch_sparges.value_or(1);
    if (k.sparge == Sparge::continuous) {
        if (!b.wash_stages) assumed.emplace_back("wash_stages");
        k.wash_stages = b.wash_stages.value_or(2.6);
    }
    k.mash_ratio_l_per_kg = stated_or(b.mash_ratio, 3.0, "mash_ratio_l_per_kg", assumed);
    k.mash_ratio_sd_l_per_kg = 0.5;
    k.absorption_l_per_kg = stated_or(b.absorption, 1.0, "absorption_l_per_kg", assumed);
    k.absorption_sd_l_per_kg =
        stated_or(b.absorption_sd, b.absorption ? 0.10 : 0.15, "absorption_sd_l_per_kg", assumed);
    k.hop_absorption_l_per_kg = b.hop_absorption ? b.hop_absorption->value() : 0.0;
    k.tun_loss_l = stated_or(b.tun_loss, 0.025 * volume, "tun_loss_l", assumed);
    // evaporation goes with the kettle's surface: about 3.2 L/h at 23 L, some 7 % an hour at 500 L
    k.boil_off_l_per_h = stated_or(b.boil_off, 3.2 * std::pow(volume / 23.0, 0.75), "boil_off_l_per_h", assumed);
    k.boil_off_sd_l_per_h =
        stated_or(b.boil_off_sd, (b.boil_off ? 0.12 : 0.30) * k.boil_off_l_per_h, "boil_off_sd_l_per_h", assumed);
    k.boiling_c = wort::boiling_point(b.altitude.value_or(Metres(0.0))).value();
    k.kettle_loss_l = stated_or(b.kettle_loss, 0.05 * volume, "kettle_loss_l", assumed);
    k.kettle_loss_sd_l =
        stated_or(b.kettle_loss_sd, b.kettle_loss ? std::max(0.25 * k.kettle_loss_l, 0.005 * volume) : 0.03 * volume,
                  "kettle_loss_sd_l", assumed);
    k.conversion = stated_or(b.conversion, 92.0, "conversion_pct", assumed) / 100.0;
    k.conversion_sd = stated_or(b.conversion_sd, b.conversion ? 3.0 : 4.0, "conversion_sd_pct", assumed) / 100.0;
    k.lauter_of_expected = stated_or(b.lauter_of_expected, 100.0, "lauter_pct_of_expected", assumed) / 100.0;
    k.lauter_sd = stated_or(b.lauter_sd, 2.0, "lauter_sd_pct", assumed) / 100.0;
    // a shared part cannot be more than the whole
    const auto level = [](const auto& stated, double scale, double sd) {
        return stated ? std::min(stated->value() * scale, sd) : sd * std::sqrt(0.5);
    };
    k.absorption_level_sd_l_per_kg = level(b.absorption_level_sd, 1.0, k.absorption_sd_l_per_kg);
    k.boil_off_level_sd_l_per_h = level(b.boil_off_level_sd, 1.0, k.boil_off_sd_l_per_h);
    k.kettle_loss_level_sd_l = level(b.kettle_loss_level_sd, 1.0, k.kettle_loss_sd_l);
    k.conversion_level_sd = level(b.conversion_level_sd, 0.01, k.conversion_sd);
    k.lauter_level_sd = level(b.lauter_level_sd, 0.01, k.lauter_sd);
    draw_to_told_efficiency(b, k);
    return k;
}

Instrument typical_instrument(InstrumentKind kind, Litres brewhouse_volume) {
    Instrument i;
    i.kind = kind;
    i.name = fmt::format("typical {}", word(kind));
    switch (kind) {
    case InstrumentKind::hydrometer: // division 0.002 read to a half, triple scale +-0.001 to +-0.002
        i.unit = "sg";
        i.calibration = Celsius(20.0);
        i.repeatability = 0.0006;
        i.bias_sd = 0.001;
        break;
    case InstrumentKind::refractometer: // division 0.2 Bx, +-0.2 Bx; the wort factor's own spread rides with the bias
        i.unit = "brix";
        i.calibration = Celsius(20.0);
        i.repeatability = 0.12;
        i.bias_sd = 0.25;
        i.brix_to_plato = 1.0 / 1.04;
        break;
    case InstrumentKind::density_meter:
        i.unit = "sg";
        i.calibration = Celsius(20.0);
        i.repeatability = 0.0001;
        i.bias_sd = 0.0005;
        break;
    case InstrumentKind::thermometer:
        i.unit = "c";
        i.repeatability = 0.3;
        i.bias_sd = 0.5;
        break;
    case InstrumentKind::volume_marks: // dip stick: +-1 to 2 % of the volume
        i.unit = "l";
        i.repeatability = 0.01 * brewhouse_volume.value();
        i.bias_sd_pct = 1.5;
        break;
    case InstrumentKind::balance:
        i.unit = "kg";
        i.repeatability_pct = 0.3;
        i.bias_sd_pct = 0.3;
        break;
    }
    return i;
}

namespace {

// An instrument whose scatter nobody stated scatters as is typical of its kind: none reads without error.
Instrument with_spread(Instrument i, Litres brewhouse_volume) {
    const auto positive = [](const std::optional<double>& x) { return x && *x > 0.0; };
    if (positive(i.repeatability) || positive(i.repeatability_pct) || positive(i.resolution)) return i;
    const Instrument typical = typical_instrument(i.kind, brewhouse_volume);
    constexpr double sg_per_plato = 0.004, grams_per_kilogram = 1000.0;
    double scale = 1.0; // the typical figures are in sg, litres and kg
    if (i.unit && *i.unit == "plato" && typical.unit == "sg") scale = 1.0 / sg_per_plato;
    if (i.unit && *i.unit == "sg" && typical.unit == "brix") scale = sg_per_plato;
    if (i.unit && *i.unit == "g") scale = grams_per_kilogram;
    if (typical.repeatability) i.repeatability = *typical.repeatability * scale;
    i.repeatability_pct = typical.repeatability_pct;
    return i;
}

} // namespace

Instrument instrument_for(const std::optional<std::string>& named, InstrumentKind kind, const Brewhouse& brewhouse,
                          ReadingPoint point, const std::vector<Instrument>& instruments) {
    const bool is_volume = kind == InstrumentKind::volume_marks;
    const auto reads_gravity = [](InstrumentKind k) {
        return k == InstrumentKind::hydrometer || k == InstrumentKind::refractometer ||
               k == InstrumentKind::density_meter;
    };
    const auto by_name = [&](const std::string& name) {
        const auto found = std::ranges::find(instruments, name, &Instrument::name);
        if (found == instruments.end())
            throw Error(ErrorKind::refused, fmt::format("no instrument is called `{}`", name),
                        "add it to the brewhouse's file, or leave the instrument out to use a typical one");
        if (found->kind != kind && !(reads_gravity(kind) && reads_gravity(found->kind)))
            throw Error(ErrorKind::refused,
                        fmt::format("`{}` is a {} and cannot take the {} at {}", name, word(found->kind),
                                    is_volume             ? "volume"
                                    : reads_gravity(kind) ? "gravity"
                                                          : "weight",
                                    word(point)),
                        fmt::format("name an instrument of kind {}, or leave it out to use a typical one", word(kind)));
        return with_spread(*found, brewhouse.volume);
    };
    if (named) return by_name(*named);
    const bool is_gravity = reads_gravity(kind);
    for (const auto& vessel : brewhouse.vessels) {
        if (vessel.point != point) continue;
        if (is_volume && vessel.volume_instrument) return by_name(*vessel.volume_instrument);
        if (is_gravity && vessel.gravity_instrument) return by_name(*vessel.gravity_instrument);
    }
    // marks belong to a vessel, so another vessel's marks never stand in; other kinds do where there is one alone
    if (!is_volume && std::ranges::count(instruments, kind, &Instrument::kind) == 1)
        return with_spread(*std::ranges::find(instruments, kind, &Instrument::kind), brewhouse.volume);
    Instrument typical = typical_instrument(kind, brewhouse.volume);
    if (is_volume) typical.name = fmt::format("typical {} marks", vessel_of(point));
    return typical;
}

} // namespace lotwort
