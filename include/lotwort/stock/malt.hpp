// What a lot of malt (or sugar) can give: one number, fine-grind dry-basis extract, whatever basis its
// certificate states, and the as-is extract that follows with the moisture of the day.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/lot.hpp>
#include <string>

namespace lotwort {

// Where a figure came from; each step down is wider.
enum class Origin { retest, certificate, item, typical };

template <>
struct WordsOf<Origin> {
    static constexpr std::array<std::string_view, 4> list{"retest", "certificate", "item", "typical"};
};

// A figure with its standard uncertainty (in the figure's own unit) and origin.
struct Figure {
    double value = 0.0;
    double sd = 0.0;
    Origin origin = Origin::typical;
};

struct MaltFigures {
    Figure extract_fine_dry_pct; // % of dry matter, fine grind
    Figure moisture_pct;
    Figure extract_as_is; // fraction of the mass as weighed: fine_dry/100 * (1 - moisture/100), GUM first order
    Figure colour_ebc;
    Figure diastatic_power_wk;
};

// Extract on any basis as fine-grind dry-basis per cent.
// fine = coarse + difference (typical 1.7 percentage points, EMALT); dry = as-is / (1 - moisture/100);
// per cent = 100 * (L deg/kg) / L_SUCROSE; L deg/kg = 8.3454 * ppg. Sources: docs/methods/malt.md.
// Error(refused) where the moisture is outside 0 to 50 % or the result is more than 105 % of dry matter: then
// the basis is another one.
[[nodiscard]] Percent fine_dry_extract(double value, ExtractBasis basis, Percent moisture);

// The inverse: fine-grind dry-basis extract as a certificate on that basis would state it.
[[nodiscard]] double extract_on_basis(Percent fine_dry, ExtractBasis basis, Percent moisture);

// The figures of a lot on a day: the latest retest not after it, then the certificate, then the item, then
// what is typical of the item's class (typical.hpp), field by field.
// Standard uncertainties where none is stated: docs/methods/malt.md. An as-is extract goes with the moisture of
// its own record; where that is also the moisture of the day, the two cancel and its uncertainty stays out.
// Error(refused) names the lot whose extract cannot be on the basis it states.
[[nodiscard]] MaltFigures malt_figures(const Item& item, const Lot& lot, Date day);

// The figures of an item of which no lot is at hand.
[[nodiscard]] MaltFigures malt_figures(const Item& item);

// A certificate that says how far the true lot may be from it: where it states an extract, a moisture or alpha acids
// without, what malt_figures and alpha_pct take (docs/methods/malt.md, standard uncertainties).
[[nodiscard]] Certificate with_scatter(const Item& item, Certificate certificate);

// Alpha acids of a hop lot as certified (or the item's, or typical), per cent by mass; not aged.
[[nodiscard]] Figure alpha_pct(const Item& item, const Lot& lot, Date day);
[[nodiscard]] Figure alpha_pct(const Item& item);

} // namespace lotwort
