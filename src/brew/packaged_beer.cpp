#include <algorithm>
#include <lotwort/brew/packaged_beer.hpp>
#include <lotwort/wort/carbonation.hpp>

namespace lotwort {

namespace {

double left_in(const Package& package) {
    return wort::carbon_dioxide_left(package.warmest.value_or(usual_warmest));
}

} // namespace

PackagedBeer packaged_beer(const Package& package, std::optional<double> beer_abv_pct, double fermentable_g) {
    PackagedBeer beer;
    beer.priming_g_per_l = fermentable_g / packaged_volume(package).value();
    beer.priming_abv_pct = wort::alcohol_of_priming(beer.priming_g_per_l).value();
    if (beer_abv_pct) beer.abv_pct = *beer_abv_pct + beer.priming_abv_pct;
    beer.carbon_dioxide = package.carbon_dioxide;
    if (fermentable_g > 0.0) {
        beer.carbon_dioxide_left = left_in(package);
        beer.carbon_dioxide = *beer.carbon_dioxide_left + wort::gas_per_extract * beer.priming_g_per_l;
    }
    if (!beer.carbon_dioxide) return beer;
    beer.cold_bar = std::max(0.0, wort::gauge_pressure(*beer.carbon_dioxide, Celsius(kept_cold_c)));
    beer.warm_bar = std::max(0.0, wort::gauge_pressure(*beer.carbon_dioxide, Celsius(left_warm_c)));
    return beer;
}

double priming_wanted_g(const Package& package) {
    if (!package.carbon_dioxide) return 0.0;
    return wort::priming_extract(left_in(package), *package.carbon_dioxide) * packaged_volume(package).value();
}

} // namespace lotwort
