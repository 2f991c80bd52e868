#include <algorithm>
#include <iterator>
#include <lotwort/brew/packaged_beer.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/infer/reading_meaning.hpp>
#include <lotwort/stock/fermentable.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort {

namespace {

std::optional<double> litres_of(const Reading& reading, const Brewhouse& brewhouse, const Book& definitions) {
    try {
        const auto litres = meaning_of(reading, brewhouse, definitions.instruments).volume_20c_l;
        return litres ? std::optional(litres->value) : std::nullopt;
    } catch (const Error&) { // outside the dip table: reconcile says so
        return std::nullopt;
    }
}

std::optional<double> held_at(const Brew& brew, ReadingPoint point, const Book& definitions) {
    const auto& brewhouse = known_brewhouse(definitions, brew.brewhouse);
    ReconcileInput placed;
    placed.brew = brew;
    placed.brewhouse = brewhouse;
    placed.instruments = definitions.instruments;
    std::optional<double> last;
    for (const Reading& reading : brew.readings)
        if (reading.point == point && !reading.set_aside)
            if (const auto litres = litres_of(reading, brewhouse, definitions))
                last = *litres + liquor_after(placed, reading);
    return last;
}

// Beer that is packaged is what was read last, called final or not.
ReconcileInput ended(ReconcileInput input) {
    auto& readings = input.brew.readings;
    const auto is_final = [](const Reading& r) {
        return r.point == ReadingPoint::final_beer && !r.set_aside && (r.gravity_sg || r.gravity_plato || r.brix);
    };
    if (std::ranges::none_of(readings, is_final))
        for (Reading& reading : readings)
            if (reading.point == ReadingPoint::fermenting) reading.point = ReadingPoint::final_beer;
    return input;
}

// Its own readings, else those of a brew in the same fermenter.
std::optional<double> alcohol_of(Ledger& ledger, const Book& definitions, const std::string& code) {
    std::vector<Brew> brews = ledger.brews_of_fermenter(code);
    std::ranges::stable_partition(brews, [&](const Brew& brew) { return brew.code == code; });
    for (const Brew& brew : brews)
        if (const auto abv = beer_as_read(ended(reconcile_input(brew, definitions, lots_of(ledger, brew, definitions))))
                                 .alcohol_abv_pct)
            return abv->value;
    return std::nullopt;
}

} // namespace

double fermentable_g(const Item& item, const Lot& lot, Amount amount, Date on) {
    if (amount.measure != Measure::mass) return 0.0;
    if (item.kind != ItemKind::sugar) return 0.0;
    return amount.grams().value() * malt_figures(item, lot, on).extract_as_is.value * fermentable_share(item).value;
}

report::ShownPackage shown_package(Ledger& ledger, const Book& definitions, const Package& package,
                                   const std::vector<Addition>& primed_now) {
    report::ShownPackage shown;
    shown.package = package;
    const auto brew = ledger.brew(package.brew);
    if (brew) shown.recipe = brew->recipe.value_or("");
    std::vector<Addition> primed = primed_now;
    if (brew)
        std::ranges::copy_if(brew->additions, std::back_inserter(primed),
                             [&](const Addition& addition) { return addition.package == package.code; });
    double sum = 0.0;
    for (const Addition& addition : primed) {
        const Lot lot = ledger.lot(addition.lot)->lot;
        const Item& item = known_item(definitions, lot.item);
        const double grams = fermentable_g(item, lot, addition.amount, package.on);
        shown.primed.push_back({lot.code, item.name, addition.amount, grams});
        sum += grams;
    }
    shown.beer = packaged_beer(package, alcohol_of(ledger, definitions, package.brew), sum);
    return shown;
}

report::BeerLeft beer_left(Ledger& ledger, const Book& definitions, const std::string& brew,
                           const std::optional<Package>& more) {
    report::BeerLeft tank;
    const auto take = [&](const Package& package) {
        tank.packaged = tank.packaged + packaged_volume(package);
        tank.lost = tank.lost + package.lost.value_or(Litres(0.0));
    };
    const std::vector<Brew> brews = ledger.brews_of_fermenter(brew);
    for (const Brew& one : brews) {
        tank.brews.push_back(one.code);
        for (const Package& package : ledger.packages_of(one.code)) take(package);
    }
    if (more) take(*more);
    if (brews.empty()) return tank;
    auto held = held_at(brews.back(), ReadingPoint::fermenter, definitions);
    for (auto one = brews.rbegin(); !held && one != brews.rend(); ++one)
        held = held_at(*one, ReadingPoint::final_beer, definitions);
    if (held) tank.held = Litres(*held);
    return tank;
}

} // namespace lotwort
