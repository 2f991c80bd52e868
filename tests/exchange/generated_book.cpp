#include "exchange/generated_book.hpp"
#include "../../src/exchange/exchange_fields.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/stock/extract_basis.hpp>

namespace lotwort::test {

namespace {

// SplitMix64 (Steele, Lea and Flood 2014): the same numbers everywhere, which <random>'s distributions are not.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : state_(seed) {}
    std::uint64_t next() {
        std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
        return z ^ (z >> 31U);
    }
    std::int64_t whole(std::int64_t least, std::int64_t most) {
        return least + static_cast<std::int64_t>(next() % static_cast<std::uint64_t>(most - least + 1));
    }
    bool yes() { return next() % 2 == 0; }
    double fraction() { return static_cast<double>(next() >> 11U) * 0x1p-53; }

private:
    std::uint64_t state_;
};

class Maker {
public:
    explicit Maker(std::uint64_t seed) : dice_(seed) {}
    Book book();

private:
    // A number a person would write, a number a program would, or an end of the range.
    double number(Range range) {
        const double least = std::isfinite(range.least) ? range.least : 0.0;
        const double most = std::isfinite(range.most) ? range.most : 100.0;
        switch (dice_.whole(0, 5)) {
        case 0:
            return least;
        case 1:
            return most;
        case 2:
            return std::clamp(std::round((least + dice_.fraction() * (most - least)) * 8.0) / 8.0, least, most);
        default:
            return least + dice_.fraction() * (most - least);
        }
    }
    std::string text() {
        static constexpr std::array<std::string_view, 8> words{
            "pale malt", "Röstmalz", "солод", "麦芽", "a \"b\" \\ /", "hop\u00a0& \U0001F33F", "x", "línea dos"};
        return std::string(words[static_cast<std::size_t>(dice_.whole(0, 7))]) + fmt::format(" {}", dice_.whole(0, 99));
    }
    std::string fresh_name() {
        static constexpr std::array<std::string_view, 5> stems{"Malz-ä", "лот", "批", "L", "o'\"\\"};
        return fmt::format("{}{}", stems[static_cast<std::size_t>(dice_.whole(0, 4))], ++names_);
    }

    template <class Value>
    void fill(Range range, std::optional<Value>& out) {
        if (dice_.yes()) fill(range, out.emplace());
    }
    template <class Value>
    void fill(Range range, std::vector<Value>& out) {
        out.resize(static_cast<std::size_t>(dice_.whole(0, 3)));
        for (Value& entry : out) fill(range, entry);
    }
    template <class Unit>
    void fill(Range range, Quantity<Unit>& out) {
        out = Quantity<Unit>(number(range));
    }
    template <class Scale, class Difference>
    void fill(Range range, Point<Scale, Difference>& out) {
        out = Point<Scale, Difference>(number(range));
    }
    template <class Enum>
    requires std::is_enum_v<Enum>
    void fill(Range /*words*/, Enum& out) {
        out = static_cast<Enum>(dice_.whole(0, static_cast<std::int64_t>(WordsOf<Enum>::list.size()) - 1));
    }
    template <HasFields Record>
    void fill(Range /*of its fields*/, Record& out) {
        for_each_exchange_field<Record>([&](const auto& f) { fill(f.range, value_in(out, f)); });
        settle(out);
    }
    void fill(Range /*text*/, std::string& out) { out = text(); }
    void fill(Range range, double& out) { out = number(range); }
    void fill(Range range, int& out) { out = static_cast<int>(number(range)); }
    void fill(Range /*days*/, Date& out) { out = Date(std::chrono::days(dice_.whole(-25567, 84005))); }
    void fill(Range range, Money& out) { out.minor = std::llround(number(range) * 100.0); }
    void fill(Range /*pair*/, DipMark& out) { out = {Centimetres(number({0, 2000})), Litres(number({0, 1e6}))}; }
    void fill(Range range, Amount& out) {
        const auto most = static_cast<std::int64_t>(range.most);
        switch (dice_.whole(0, 2)) {
        case 0:
            out = {Measure::mass, dice_.whole(1, most * 1'000'000)};
            break;
        case 1:
            out = {Measure::volume, dice_.whole(1, most * 1'000'000)};
            break;
        default:
            out = Amount::pieces(dice_.whole(1, most));
        }
    }

    // What the checks ask beyond single fields.
    template <class Record>
    void settle(Record& /*nothing more*/) {}
    void settle(Item& item);
    void settle(Instrument& instrument);
    void settle(Vessel& vessel);
    void settle(Certificate& certificate);
    void settle(Retest& retest) { settle(retest.found); }
    void settle(GristLine& line);
    void settle(HopLine& line);
    void settle(OtherLine& line);
    void settle(Brewhouse& brewhouse);
    void settle(Recipe& recipe);
    void settle(Reading& reading);
    void settle(Supplier& supplier);
    void settle(Offer& offer);
    void settle(Movement& movement);
    void settle(Lot& lot);
    void settle(Brew& brew) {
        if (!brew.abandoned) brew.unused.clear();
    }
    void settle(Package& package);
    void settle(Tank& tank);
    void settle(Plan& plan);

    template <class Record>
    void name_all(std::vector<Record>& records, std::string Record::*name) {
        records.resize(static_cast<std::size_t>(dice_.whole(1, 4)));
        for (Record& record : records) {
            fill({}, record);
            record.*name = fresh_name();
        }
    }
    template <class Record>
    const std::string& pick(const std::vector<Record>& records, std::string Record::*name) {
        return records[static_cast<std::size_t>(dice_.whole(0, static_cast<std::int64_t>(records.size()) - 1))].*name;
    }
    void suit(Lot& lot, ItemKind kind);
    void refer(Book& book);
    void refer_brews(Book& book);
    void refer_packages(Book& book);
    void make_movements(Book& book);
    // As much of a lot, in the measure it is kept in.
    void refer_amount(const Book& book, std::string& lot, Amount& amount) {
        lot = pick(book.lots, &Lot::code);
        for (const Lot& known : book.lots)
            if (known.code == lot) amount.measure = known.received_amount.measure;
        if (amount.measure == Measure::count) amount.units = dice_.whole(0, 1000);
    }

    Dice dice_;
    int names_ = 0;
};

template <class Extract>
void cap_extract(std::optional<Percent>& extract, const Extract& basis) {
    // of 0 to 500 what is possible, of the wettest malt too: 30 % of water leave 70 % for extract
    const double most = 0.7 * most_stated(basis.value_or(ExtractBasis::fine_dry));
    if (extract) extract = Percent(extract->value() / 500.0 * most);
}

void Maker::settle(Item& item) {
    cap_extract(item.extract, item.extract_basis);
    if (item.kind != ItemKind::malt) item.malt_class.reset();
    if (item.kind != ItemKind::yeast) {
        item.cells_billion.reset();
        item.cells_loss.reset();
        item.pitch_rate.reset();
    }
    if (!item.cells_billion) item.cells_per.reset();
}
void Maker::settle(Certificate& certificate) {
    cap_extract(certificate.extract, certificate.extract_basis);
}
void Maker::settle(Instrument& instrument) {
    if (instrument.unit) instrument.unit = dice_.yes() ? "sg" : "kg";
}
void Maker::settle(Vessel& vessel) {
    double depth = 0.0;
    double volume = 0.0;
    for (DipMark& mark : vessel.dip_table) mark = {Centimetres(depth += 0.1 + dice_.fraction()), Litres(volume += 3.3)};
}
void Maker::settle(GristLine& line) {
    line.share.reset();
    line.mass = Kilograms(number({0, 1e6}));
}
void Maker::settle(HopLine& line) {
    constexpr std::array<Stage, 3> stages{Stage::boil, Stage::stand, Stage::dry};
    line.stage = stages[static_cast<std::size_t>(dice_.whole(0, 2))];
    line.mass.reset();
    line.bitterness.reset();
    if (line.stage == Stage::dry || dice_.yes()) {
        line.mass = Grams(number({0, 1e7}));
    } else {
        line.alpha.reset();
        line.bitterness = BitternessUnits(number({0, 200}));
    }
}
void Maker::settle(OtherLine& line) {
    line.mass.reset();
    line.volume.reset();
    line.count.reset();
    switch (dice_.whole(0, 2)) {
    case 0:
        line.mass = Kilograms(number({0, 1e6}));
        break;
    case 1:
        line.volume = Litres(number({0, 1e6}));
        break;
    default:
        line.count = static_cast<int>(dice_.whole(0, 1'000'000));
    }
}
void Maker::settle(Brewhouse& brewhouse) {
    if (brewhouse.efficiency_kettle) brewhouse.efficiency_fermenter.reset();
    if (!brewhouse.efficiency_kettle && !brewhouse.efficiency_fermenter) brewhouse.efficiency_sd.reset();
}
void Maker::settle(Recipe& recipe) {
    if (recipe.efficiency_kettle) recipe.efficiency_fermenter.reset();
    for (HopLine& hop : recipe.hops)
        if (hop.minutes && recipe.boil) hop.minutes = std::min(*hop.minutes, *recipe.boil);
    for (GristLine& line : recipe.grist)
        if (line.extract) line.extract = std::max(*line.extract, Percent(20.0));
    if (!recipe.original_gravity || dice_.yes()) return;
    recipe.efficiency_kettle.reset();
    recipe.efficiency_fermenter.reset();
    for (GristLine& line : recipe.grist) {
        line.mass.reset();
        line.extract.reset();
        line.colour.reset();
        line.share = Percent(100.0 / static_cast<double>(recipe.grist.size()));
    }
}
void Maker::settle(Reading& reading) {
    reading.id = fresh_name();
    if (reading.at) reading.at = fmt::format("{:02}:{:02}", dice_.whole(0, 23), dice_.whole(0, 59));
    if (reading.volume) reading.depth.reset();
    if (reading.volume || reading.depth) reading.mass.reset();
    if (reading.gravity_sg) reading.gravity_plato.reset();
    if (reading.gravity_sg || reading.gravity_plato) reading.brix.reset();
    reading.ph = number({2, 12});
    if (reading.point != ReadingPoint::mash) reading.mill_gap.reset();
    if (!is_fermented_point(reading.point)) reading.on.reset();
    if (reading.point != ReadingPoint::final_beer) reading.bitterness.reset();
}
void Maker::settle(Supplier& supplier) {
    for (std::string& day : supplier.closed_weekdays) day = dice_.yes() ? "sunday" : "monday";
}
void Maker::settle(Offer& offer) {
    offer.pack.reset();
    offer.pack_volume.reset();
    offer.pack_count.reset();
    switch (dice_.whole(0, 2)) {
    case 0:
        offer.pack = Kilograms(0.001 + number({0, 1e4}));
        break;
    case 1:
        offer.pack_volume = Litres(0.001 + number({0, 1e4}));
        break;
    default:
        offer.pack_count = static_cast<int>(dice_.whole(1, 1000));
    }
    if (offer.price_steps.empty()) offer.price_steps.emplace_back();
    int packs = 0;
    for (PriceStep& step : offer.price_steps) step.packs = packs += static_cast<int>(dice_.whole(1, 9));
    offer.delivery.reset(); // its supplier's to state
    offer.minimum_order.reset();
}
void Maker::settle(Lot& lot) {
    lot.received = std::min(lot.received, Date(std::chrono::days(83'000))); // the days after it end with 2199
    if (lot.crop_year) lot.crop_year = std::min(*lot.crop_year, int(std::chrono::year_month_day(lot.received).year()));
    for (Retest& retest : lot.retests) retest.on = lot.received + std::chrono::days(dice_.whole(0, 300));
    if (lot.packed) lot.packed = lot.received - std::chrono::days(dice_.whole(0, 30));
    if (lot.opened) lot.opened = lot.received + std::chrono::days(dice_.whole(0, 30));
    if (!lot.made_from.empty()) lot.made_from = {{"", lot.received_amount}}; // of which, refer says
}
void Maker::settle(Movement& movement) {
    movement.kind = dice_.yes() ? MovementKind::count : MovementKind::discard;
    if (movement.kind == MovementKind::discard || dice_.yes()) movement.change = -movement.change;
    movement.brew.reset();
    movement.stage.reset();
    movement.minutes.reset();
    movement.reverses.reset();
}

void Maker::settle(Tank& tank) {
    if (tank.holds) tank.used_for.reset();
    if (!tank.holds && !tank.used_for) {
        tank.till.reset();
        return;
    }
    tank.since = tank.since.value_or(Date(std::chrono::days(20'000)));
    if (tank.till) tank.till = std::max(*tank.till, *tank.since);
}

void Maker::settle(Plan& plan) {
    if (!plan.tank) plan.tank_till.reset();
    if (plan.tank_till) plan.tank_till = std::max(*plan.tank_till, plan.date);
    if (plan.yeast_of_plan) plan.yeast_of_brew.reset();
}

// Some of the run goes out, and some of that comes back.
void Maker::settle(Package& package) {
    package.on = std::min(package.on, Date(std::chrono::days(83'000)));
    package.best_before.reset();
    if (dice_.yes()) package.best_before = package.on + std::chrono::days(dice_.whole(0, 300));
    package.sent.clear();
    for (auto more = dice_.whole(0, 3); more > 0 && sent_out(package) < package.count; --more) {
        const int gone = static_cast<int>(dice_.whole(1, package.count - sent_out(package)));
        package.sent.push_back({package.on + std::chrono::days(dice_.whole(0, 300)), text(), gone});
        if (dice_.yes()) package.sent.push_back({package.sent.back().on, package.sent.back().to, -gone});
    }
}

// What is said of a lot is of its kind.
void Maker::suit(Lot& lot, ItemKind kind) {
    if (kind != ItemKind::yeast) {
        lot.harvested_from.reset();
        lot.packed.reset();
        lot.cells_billion.reset();
    }
    const bool by_mass = kind == ItemKind::malt || kind == ItemKind::sugar || kind == ItemKind::hop;
    if (by_mass) lot.received_amount.measure = Measure::mass;
    for (Portion& source : lot.made_from) source.amount.measure = lot.received_amount.measure;
    if (!lot.certificate) return;
    Certificate& found = *lot.certificate;
    if (kind == ItemKind::malt) {
        found.alpha.reset();
        found.alpha_sd.reset();
        found.hop_storage_index.reset();
        found.oil_ml_per_100g.reset();
    }
    if (kind == ItemKind::hop) {
        found.extract.reset();
        found.moisture.reset();
        found.colour.reset();
        found.diastatic_power.reset();
        found.protein.reset();
    }
}

void Maker::refer(Book& book) {
    for (Item& item : book.items)
        for (StandIn& other : item.stands_for) other.item = pick(book.items, &Item::name);
    for (Item& item : book.items)
        std::erase_if(item.stands_for, [&](const StandIn& other) { return other.item == item.name; });
    const auto instrument = [&](std::optional<std::string>& name) {
        if (name) name = pick(book.instruments, &Instrument::name);
    };
    for (Brewhouse& brewhouse : book.brewhouses)
        for (Vessel& vessel : brewhouse.vessels) {
            instrument(vessel.volume_instrument);
            instrument(vessel.gravity_instrument);
        }
    for (Lot& lot : book.lots) {
        lot.item = pick(book.items, &Item::name);
        const auto item = std::ranges::find(book.items, lot.item, &Item::name);
        suit(lot, item->kind);
        if (!lot.harvested_from) continue;
        Brew& brew = book.brews[static_cast<std::size_t>(dice_.whole(0, std::ssize(book.brews) - 1))];
        lot.harvested_from = brew.code;
        brew.date = std::min(brew.date, lot.received);
    }
    for (Lot& lot : book.lots) {
        for (Portion& source : lot.made_from)
            for (const Lot& other : book.lots)
                if (other.code != lot.code && other.received_amount.measure == source.amount.measure)
                    source.lot = other.code;
        std::erase_if(lot.made_from, [](const Portion& source) { return source.lot.empty(); });
    }
    for (Recipe& recipe : book.recipes) {
        for (GristLine& line : recipe.grist) line.item = pick(book.items, &Item::name);
        for (HopLine& line : recipe.hops) line.item = pick(book.items, &Item::name);
        for (OtherLine& line : recipe.others) {
            line.item = pick(book.items, &Item::name);
            const auto item = std::ranges::find(book.items, line.item, &Item::name);
            if (item->kind != ItemKind::yeast || dice_.yes()) continue;
            OtherLine counted; // by its cells
            counted.item = line.item;
            counted.stage = Stage::fermenter;
            line = counted;
        }
    }
    for (Order& order : book.orders) {
        order.supplier = pick(book.suppliers, &Supplier::name);
        for (OrderLine& line : order.lines) line.item = pick(book.items, &Item::name);
        for (std::string& lot : order.received) lot = pick(book.lots, &Lot::code);
    }
}

void Maker::refer_brews(Book& book) {
    for (Plan& plan : book.plans) {
        plan.recipe = pick(book.recipes, &Recipe::name);
        if (plan.brewhouse) plan.brewhouse = pick(book.brewhouses, &Brewhouse::name);
        if (plan.tank) plan.tank = pick(book.tanks, &Tank::name);
        if (plan.yeast_of_plan) plan.yeast_of_plan = pick(book.plans, &Plan::code);
        if (plan.yeast_of_plan == plan.code) plan.yeast_of_plan.reset();
        if (plan.yeast_of_brew) plan.yeast_of_brew = pick(book.brews, &Brew::code);
        for (Awaited& awaited : plan.awaited) awaited.amount.measure = Measure::mass;
        for (Reservation& promise : plan.reserved) {
            refer_amount(book, promise.lot, promise.amount);
            if (promise.instead_of) promise.instead_of = pick(book.items, &Item::name);
        }
    }
    for (Tank& tank : book.tanks)
        if (tank.holds) tank.holds = pick(book.brews, &Brew::code);
    for (Brew& brew : book.brews) {
        brew.brewhouse = pick(book.brewhouses, &Brewhouse::name);
        if (brew.recipe) brew.recipe = pick(book.recipes, &Recipe::name);
        if (brew.plan) brew.plan = pick(book.plans, &Plan::code);
        if (brew.fermented_with) brew.fermented_with = pick(book.brews, &Brew::code);
        for (Unused& unused : brew.unused) refer_amount(book, unused.lot, unused.amount);
        for (Addition& addition : brew.additions) {
            refer_amount(book, addition.lot, addition.amount);
            if (addition.mass_instrument) addition.mass_instrument = pick(book.instruments, &Instrument::name);
            if (addition.instead_of) addition.instead_of = pick(book.items, &Item::name);
        }
        for (Reading& reading : brew.readings) {
            if (reading.volume_instrument) reading.volume_instrument = pick(book.instruments, &Instrument::name);
            if (reading.gravity_instrument) reading.gravity_instrument = pick(book.instruments, &Instrument::name);
        }
    }
}

// Of brews that were not given up, and after them.
void Maker::refer_packages(Book& book) {
    std::vector<Brew*> brewed;
    for (Brew& brew : book.brews)
        if (!brew.abandoned) brewed.push_back(&brew);
    if (brewed.empty()) book.packages.clear();
    for (Package& package : book.packages) {
        Brew& brew = *brewed[static_cast<std::size_t>(dice_.whole(0, std::ssize(brewed) - 1))];
        package.brew = brew.code;
        brew.date = std::min(brew.date, package.on);
    }
    for (Brew& brew : book.brews)
        for (Addition& addition : brew.additions) {
            if (!addition.package) continue;
            const auto of_it = std::ranges::find(book.packages, brew.code, &Package::brew);
            addition.package.reset();
            if (of_it == book.packages.end()) continue;
            addition.package = of_it->code;
            addition.stage = Stage::fermenter;
        }
}

void Maker::make_movements(Book& book) {
    fill({0.0, 1e6}, book.movements);
    for (Movement& movement : book.movements) {
        movement.id = fresh_name();
        refer_amount(book, movement.lot, movement.change);
        if (movement.kind == MovementKind::discard) movement.change.units = -std::abs(movement.change.units);
    }
    const std::size_t first = book.movements.size();
    for (std::size_t i = 0; i < first; ++i) {
        if (dice_.yes()) continue;
        Movement back = book.movements[i];
        back.id = fresh_name();
        back.kind = MovementKind::reversal;
        back.change = -back.change;
        back.reverses = book.movements[i].id;
        book.movements.push_back(back);
    }
}

Book Maker::book() {
    Book book;
    book.currency = "EUR";
    name_all(book.items, &Item::name);
    name_all(book.instruments, &Instrument::name);
    name_all(book.brewhouses, &Brewhouse::name);
    name_all(book.lots, &Lot::code);
    name_all(book.recipes, &Recipe::name);
    name_all(book.tanks, &Tank::name);
    name_all(book.brews, &Brew::code);
    name_all(book.packages, &Package::code);
    name_all(book.suppliers, &Supplier::name);
    name_all(book.orders, &Order::code);
    name_all(book.plans, &Plan::code);
    for (const Item& item : book.items) {
        Offer& offer = book.offers.emplace_back();
        fill({}, offer);
        offer.item = item.name;
        offer.supplier = pick(book.suppliers, &Supplier::name);
    }
    refer(book);
    refer_brews(book);
    refer_packages(book);
    make_movements(book);
    return book;
}

} // namespace

Book generated_book(std::uint64_t seed) {
    return Maker(seed).book();
}

} // namespace lotwort::test
