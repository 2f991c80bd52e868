#include "simulated_house.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/brew/liquor.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort::test {

namespace {

struct KindOfHouse {
    Sparge sparge;
    double wash_stages, strike_per_kg;
};
const std::array<KindOfHouse, 4> kinds{
    {{Sparge::none, 1.0, 6.6}, {Sparge::batch, 2.0, 3.1}, {Sparge::batch, 3.0, 3.1}, {Sparge::continuous, 2.6, 2.9}}};

constexpr double boil_off_sd = 0.4, absorption_sd = 0.08, loss_sd = 0.3; // per brew, whole
const double half = std::sqrt(0.5);                                      // the level's part, and the scatter's

Instrument instrument(const std::string& name, InstrumentKind kind, const std::string& unit, double repeatability,
                      double bias) {
    Instrument i;
    i.name = name;
    i.kind = kind;
    i.unit = unit;
    i.repeatability = repeatability;
    i.bias_sd = bias;
    if (kind == InstrumentKind::hydrometer) i.calibration = Celsius(20.0);
    return i;
}

Brewhouse house_of(const KindOfHouse& kind, double volume, bool typical) {
    const double size = volume / 23.0;
    Brewhouse b;
    b.name = "main";
    b.volume = Litres(volume);
    b.sparge = kind.sparge;
    if (kind.sparge == Sparge::batch) b.batch_sparges = static_cast<int>(std::lround(kind.wash_stages)) - 1;
    if (kind.sparge == Sparge::continuous) b.wash_stages = kind.wash_stages;
    b.mash_ratio = LitresPerKilogram(kind.strike_per_kg);
    if (typical) return b;
    b.absorption = LitresPerKilogram(1.0);
    b.absorption_sd = LitresPerKilogram(absorption_sd);
    b.tun_loss = Litres(0.8 * size);
    b.boil_off = LitresPerHour(3.2 * size);
    b.boil_off_sd = LitresPerHour(boil_off_sd * size);
    b.kettle_loss = Litres(1.5 * size);
    b.kettle_loss_sd = Litres(loss_sd * size);
    b.conversion = Percent(92.0);
    b.conversion_sd = Percent(2.5);
    b.lauter_of_expected = Percent(100.0);
    b.lauter_sd = Percent(2.0);
    return b;
}

} // namespace

SimulatedHouse::SimulatedHouse(const HouseWish& wish) : wish_(wish), chance_(wish.seed) {
    const auto& kind = kinds[static_cast<std::size_t>(wish.kind)];
    const double size = wish.volume / 23.0;
    brewhouse_ = house_of(kind, wish.volume, wish.typical);
    request.brewhouse = brewhouse_;
    instruments_ = {instrument("hydrometer", InstrumentKind::hydrometer, "sg", 0.0004, 0.001),
                    instrument("liquor marks", InstrumentKind::volume_marks, "l", 0.12 * size, 0.1 * size),
                    instrument("kettle marks", InstrumentKind::volume_marks, "l", 0.2 * size, 0.25 * size),
                    instrument("fermenter marks", InstrumentKind::volume_marks, "l", 0.17 * size, 0.2 * size),
                    instrument("malt scale", InstrumentKind::balance, "kg", 0.02 * size, 0.01 * size)};
    if (wish.typical) { // as brew/kit.hpp has them: 0.0006 and 0.001; 1 % of the volume and 1.5 % of it; 0.3 % both
        instruments_[0].repeatability = 0.0006;
        for (std::size_t i = 1; i < 4; ++i) {
            instruments_[i].repeatability = 0.01 * wish.volume;
            instruments_[i].bias_sd = 0.015 * wish.volume;
        }
        instruments_[4].repeatability = instruments_[4].bias_sd = 0.003 * 4.7 * size;
    }
    for (const auto& i : instruments_) {
        const double drawn = normal(0.0, std::sqrt(wish.lasting));
        if (!wish.offsets.contains(i.name)) drawn_[i.name] = drawn;
        truth.offsets[i.name] = lasting_error(i.name, wish.volume);
    }
    for (const char* name : {"pale malt", "lager malt", "wheat malt", "dark malt"}) {
        Item item;
        item.name = name;
        item.kind = ItemKind::malt;
        item.malt_class = "base";
        item.extract_sd = Percent(100.0 * wish.item_scatter * 0.81);
        item.extract = Percent(81.0);
        item.extract_basis = ExtractBasis::fine_dry;
        items_.push_back(item);
        truth.items[name] = normal(0.0, wish.item_scatter);
    }
    request.items = items_;
    open_.resize(items_.size());
    opened_.resize(items_.size(), 0);
    const Kit kit = kit_of(brewhouse_);
    conversion_ = std::log(kit.conversion) + normal(0.0, kit.conversion_level_sd / kit.conversion);
    lauter_ = normal(0.0, kit.lauter_level_sd);
    boil_off_ = kit.boil_off_l_per_h + normal(0.0, kit.boil_off_level_sd_l_per_h);
    absorption_ = wish.absorption_factor * kit.absorption_l_per_kg +
                  (wish.absorption_factor == 1.0 ? normal(0.0, kit.absorption_level_sd_l_per_kg) : 0.0);
    loss_ = std::abs(kit.kettle_loss_l + normal(0.0, kit.kettle_loss_level_sd_l));
    truth.constants = {boil_off_, absorption_, loss_};
    recipe.name = "ale";
    recipe.volume = Litres(wish.volume);
    recipe.boil = Minutes(60.0);
    recipe.original_gravity = SpecificGravity(1.047);
    for (int b = 0; b < wish.brews; ++b) brew(next_malts(), next_grist_kg());
}

const std::string& SimulatedHouse::open_lot(std::size_t item) {
    auto& open = open_[item];
    std::erase_if(open, [](const auto& lot) { return lot.second <= 0; });
    const bool one = wish_.use == LotUse::one_by_one || wish_.use == LotUse::two_halves;
    const std::size_t wanted = !one && item < 2 ? 2 : 1;
    while (open.size() < wanted) {
        const int number = opened_[item]++;
        const std::string code = fmt::format("{}-{}", static_cast<char>('A' + item), number + 1);
        double difference = truth.items.at(items_[item].name) + normal(0.0, wish_.lot_scatter);
        if (item == 0 && number == wish_.odd_lot) {
            difference = wish_.odd;
            truth.odd_lot = code;
        }
        truth.lots[code] = difference;
        Lot lot;
        lot.code = code;
        lot.item = items_[item].name;
        lot.received = *parse_iso_date("2026-01-01");
        lot.received_amount = Amount::of(Kilograms(25.0 * wish_.volume / 23.0));
        Certificate c;
        c.extract = Percent(81.0 + (number % 5 - 2) * 0.3);
        c.extract_basis = ExtractBasis::fine_dry;
        if (!wish_.typical) c.extract_sd = Percent(0.89); // 1.1 % of it
        c.moisture = Percent(4.3);
        c.moisture_sd = Percent(0.01);
        lot.certificate = c;
        lots_[code] = {items_[item], lot};
        request.lots_on_hand.push_back(lots_[code]);
        // the first of two lots is half used already, so that they do not end together
        const int brews =
            wish_.use == LotUse::two_halves ? (item == 0 ? wish_.brews / 2 : wish_.brews) : wish_.brews_per_lot;
        open.emplace_back(code, wanted == 2 && number == 0 ? brews / 2 + 1 : brews);
    }
    auto& taken = open[wanted == 2 ? std::uniform_int_distribution<std::size_t>(0, 1)(chance_) : 0];
    --taken.second;
    return taken.first;
}

// Recipes: a base malt with some wheat or dark malt; now and then two base malts together.
std::vector<std::pair<std::string, double>> SimulatedHouse::next_malts() {
    const double pick = std::uniform_real_distribution<double>(0.0, 1.0)(chance_);
    if (wish_.use == LotUse::one_by_one) {
        if (pick < 0.5) return {{open_lot(0), 1.0}};
        return {{open_lot(0), 0.9}, {open_lot(3), 0.1}};
    }
    if (wish_.use == LotUse::two_halves) {
        const bool dark = truth.conversion_level.size() % 2 == 1;
        if (dark) return {{open_lot(0), 0.85}, {open_lot(3), 0.15}};
        return {{open_lot(0), 0.95}, {open_lot(2), 0.05}};
    }
    if (wish_.use == LotUse::whole_in_turn) return {{open_lot(pick < 0.5 ? 0 : 1), 1.0}};
    if (pick < 0.35) return {{open_lot(0), 0.93}, {open_lot(3), 0.07}};
    if (pick < 0.6) return {{open_lot(1), 1.0}};
    if (pick < 0.8) return {{open_lot(0), 0.5}, {open_lot(2), 0.5}};
    return {{open_lot(0), 0.6}, {open_lot(1), 0.4}};
}

std::vector<PlannedMalt> SimulatedHouse::planned(const std::vector<std::pair<std::string, double>>& malts,
                                                 double grist_kg) const {
    std::vector<PlannedMalt> out;
    for (const auto& [code, share] : malts) {
        const auto& used = lots_.at(code);
        out.push_back(
            {code, Kilograms(share * grist_kg), malt_figures(used.item, used.lot, *parse_iso_date("2026-01-01"))});
    }
    return out;
}

double SimulatedHouse::lasting_error(const std::string& name, double value) const {
    const auto fixed = wish_.offsets.find(name);
    const bool marks = name.ends_with("marks");
    if (fixed != wish_.offsets.end()) return fixed->second * (marks ? value : 1.0);
    const auto& instrument = *std::ranges::find(instruments_, name, &Instrument::name);
    // typical marks err by a share of what is read
    return drawn_.at(name) * *instrument.bias_sd * (marks && wish_.typical ? value / wish_.volume : 1.0);
}

void SimulatedHouse::read(Brew& brew, ReadingPoint point, std::optional<double> litres, std::optional<double> fraction,
                          double at_c) {
    const bool liquor = point == ReadingPoint::strike_liquor || point == ReadingPoint::sparge_liquor;
    const auto left_out = [&] { return !liquor && std::bernoulli_distribution(wish_.missing)(chance_); };
    const auto own_sd = [&](const std::string& name) {
        return *std::ranges::find(instruments_, name, &Instrument::name)->repeatability;
    };
    const double w = fraction.value_or(0.0);
    Reading r;
    r.id = fmt::format("r{}", brew.readings.size() + 1);
    r.point = point;
    if (litres && !left_out()) {
        const std::string marks = liquor                             ? "liquor marks"
                                  : point == ReadingPoint::fermenter ? "fermenter marks"
                                                                     : "kettle marks";
        const double hot = *litres * wort::sucrose_density_kg_m3(w, 20.0) / wort::sucrose_density_kg_m3(w, at_c);
        r.volume = Litres(hot + lasting_error(marks, hot) + bias_[marks] + normal(0.0, own_sd(marks)));
        r.volume_at = Celsius(at_c + normal(wish_.thermometer_c, wish_.thermometer_scatter_c));
        if (!wish_.typical) r.volume_instrument = marks;
    }
    if (fraction && !left_out()) {
        r.gravity_sg = SpecificGravity(wort::hydrometer_mark_of(w, 22.0, 20.0) + lasting_error("hydrometer", w) +
                                       bias_["hydrometer"] + normal(0.0, own_sd("hydrometer")));
        r.gravity_at = Celsius(22.0 + normal(wish_.thermometer_c, wish_.thermometer_scatter_c));
        if (!wish_.typical) r.gravity_instrument = "hydrometer";
    }
    if (r.volume || r.gravity_sg) brew.readings.push_back(r);
}

void SimulatedHouse::brew(const std::vector<std::pair<std::string, double>>& malts, double grist_kg) {
    const int number = static_cast<int>(truth.conversion_level.size());
    if (number > 0) {
        conversion_ += normal(0.0, wish_.conversion_walk);
        lauter_ += normal(0.0, wish_.lauter_walk);
    }
    if (number == wish_.step_at) conversion_ += wish_.step;
    const auto planned_malts = planned(malts, grist_kg);
    const Kit kit = kit_of(brewhouse_);
    const double size = wish_.volume / 23.0;
    const auto liquor = forecast(recipe, Litres(wish_.volume), kit, planned_malts, {}, Kilograms(0.0));

    ReconcileInput in;
    in.brewhouse = brewhouse_;
    if (!wish_.typical) in.instruments = instruments_;
    in.recipe = recipe;
    in.brew.code = fmt::format("B{}", number + 1);
    in.brew.date = *parse_iso_date("2026-01-01") + std::chrono::days(number);
    in.brew.brewhouse = "main";
    in.brew.boil = Minutes(60.0);
    for (const auto& i : instruments_) bias_[i.name] = normal(0.0, *i.bias_sd * std::sqrt(1.0 - wish_.lasting));
    double extract = 0.0, true_extract = 0.0, moisture = 0.0, mass = 0.0;
    for (const auto& malt : planned_malts) {
        const double weighed = malt.mass.value();
        const double really =
            weighed -
            (bias_["malt scale"] + lasting_error("malt scale", weighed)) / static_cast<double>(planned_malts.size()) -
            normal(0.0, *instruments_[4].repeatability);
        extract += really * malt.figures.extract_as_is.value;
        true_extract += really * malt.figures.extract_as_is.value * std::exp(truth.lots.at(malt.item));
        moisture += really * malt.figures.moisture_pct.value / 100.0;
        mass += really;
        in.lots[malt.item] = lots_.at(malt.item);
        Addition a;
        a.lot = malt.item;
        a.stage = Stage::mash;
        a.amount = Amount::of(Kilograms(weighed));
        if (!wish_.typical) a.mass_instrument = "malt scale";
        in.brew.additions.push_back(a);
    }
    BrewFacts facts;
    facts.grist_moisture_kg = moisture;
    facts.grist_dry_kg = mass - moisture;
    facts.wash_stages = kit.wash_stages;
    const double conversion = std::exp(conversion_ + normal(0.0, wish_.conversion_scatter));
    const double lauter = std::exp(lauter_ + normal(0.0, wish_.lauter_scatter));
    const auto s = expected_state<double>(
        true_extract, conversion, lauter, liquor.strike_liquor_l, liquor.sparge_liquor_l,
        (absorption_ + normal(0.0, half * absorption_sd)) * mass + kit.tun_loss_l,
        boil_off_ + size * normal(0.0, half * boil_off_sd), loss_ + size * normal(0.0, half * loss_sd), facts);
    const auto b = balance(s, facts);
    truth.conversion_level.push_back(conversion_);
    truth.lauter_level.push_back(lauter_);
    truth.brewhouse_level.push_back(std::exp(conversion_ + lauter_) * b.lauter_expected *
                                    (b.extract_collected_kg / b.extract_cast_out_kg));
    truth.original_gravity.push_back(wort::specific_gravity_of(b.fermenter_fraction));
    truth.volume.push_back(b.fermenter_l);

    read(in.brew, ReadingPoint::strike_liquor, s.strike_l, std::nullopt, 74.0);
    if (s.sparge_l > 0.5) read(in.brew, ReadingPoint::sparge_liquor, s.sparge_l, std::nullopt, 78.0);
    read(in.brew, ReadingPoint::first_wort, std::nullopt, b.first_wort_fraction, 22.0);
    read(in.brew, ReadingPoint::kettle_full, b.kettle_full_l, b.kettle_full_fraction, 75.0);
    read(in.brew, ReadingPoint::cast_out, b.cast_out_l, b.cast_out_fraction, 95.0);
    read(in.brew, ReadingPoint::fermenter, b.fermenter_l, b.fermenter_fraction, 20.0);
    request.brews.push_back(std::move(in));
}

} // namespace lotwort::test
