// Malt: laboratory extract from one basis to another, other laboratories' figures, diastatic power.
#include "convert.hpp"
#include "shared.hpp"
#include <array>
#include <fmt/format.h>
#include <lotwort/stock/extract_basis.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/stock/malt_analysis.hpp>

namespace lotwort::verbs {

namespace {

constexpr Asked moisture_asked{Dimension::percent, {0.0, 30.0}, "share in per cent", "%"};
constexpr Asked difference_asked{Dimension::percent, {0.0, 10.0}, "difference of the grinds", "%"};

// A target without a basis is of the malt as it goes into the mash: finely ground, with its moisture.
std::string full_basis(const std::string& to) {
    return to == "l-per-kg" || to == "ppg" ? to + "-fine-as-is" : to;
}

Uncertain read_moisture(const Input&, const ConvertRequest& request, report::Converted&) {
    if (const auto moisture = request.figure("moisture", moisture_asked)) return *moisture;
    throw Error(ErrorKind::refused, "dry and as-is extract differ by the malt's moisture, and it is not said",
                "add it, such as --moisture 4.2%");
}

// Fine less coarse, where a conversion goes from the one to the other.
Uncertain grind_difference(const ConvertRequest& request, bool needed, std::vector<std::string>& remarks) {
    if (!needed) return {fine_coarse_difference_pct, 0.0}; // it cancels
    if (const auto stated = request.figure("difference", difference_asked)) return *stated;
    remarks.emplace_back("fine less coarse grind taken as 1.7 ± 0.6 points of dry extract: --difference 1.5%");
    return {fine_coarse_difference_pct, fine_coarse_difference_sd_pct};
}

void name_unit(report::Converted& out, ExtractBasis to) {
    std::string_view basis = word(to);
    Shown unit{"pct", "%", 2};
    for (const Shown& other : {Shown{"l-per-kg", "L°/kg", 1}, Shown{"ppg", "points per pound and US gallon", 2}})
        if (basis.starts_with(other.unit)) {
            basis.remove_prefix(other.unit.size() + 1);
            unit = other;
        }
    out.unit = unit.unit;
    out.decimals = unit.decimals;
    out.basis = std::string(basis);
    out.shown = fmt::format("{}, {}", unit.shown, basis);
}

// The stated extract, its ± part apart.
TypedExtract stated_extract(const ConvertRequest& request, Uncertain& value) {
    const auto basis = request.text("basis");
    if (!basis)
        throw Error(ErrorKind::refused, "the extract's basis is not said",
                    "add what the certificate states, such as --basis fine-dry --moisture 4.2%; bases are fine-dry, "
                    "fine-as-is, "
                    "coarse-dry and coarse-as-is");
    value = request.typed();
    std::string plain = request.given; // the part of the sd taken out, for the checks of the certificate's reader
    for (const std::string_view sign : {"±", "+/-", "+-"})
        if (const auto at = plain.find(sign); at != std::string::npos) {
            const auto unit = plain.find_first_not_of("0123456789.eE +-", at + sign.size());
            plain = plain.substr(0, at) + (unit == std::string::npos ? "" : plain.substr(unit));
            break;
        }
    return parse_extract(plain, basis);
}

Numbers by_basis(const Figure&, const ConvertRequest& request, report::Converted& out) {
    const auto to = from_word<ExtractBasis>(full_basis(request.to)).value();
    Uncertain typed;
    const auto given = stated_extract(request, typed);
    const BasisParts from_parts = parts_of(given.basis), to_parts = parts_of(to);
    const bool wet_and_dry = from_parts.as_is != to_parts.as_is ||
                             (from_parts.as_is && from_parts.coarse != to_parts.coarse); // else it cancels
    const Uncertain moisture = wet_and_dry ? read_moisture({}, request, out) : Uncertain{};
    const Uncertain difference = grind_difference(request, from_parts.coarse != to_parts.coarse, out.remarks);
    (void)fine_dry_extract(typed.value, given.basis, Percent(moisture.value)); // refuses what no malt holds
    answer(out, carried(
                    [&](const auto& x) {
                        return stated_of_fine_dry(fine_dry_of(x[0], given.basis, x[1], x[2]), to, x[1], x[2]);
                    },
                    std::array{typed, moisture, difference}));
    name_unit(out, to);
    if (request.has("compare") && (given.basis != ExtractBasis::coarse_dry || to != ExtractBasis::coarse_as_is))
        throw Error(ErrorKind::refused, "--compare has a rule for coarse-dry to coarse-as-is alone",
                    "leave it out, or write --basis coarse-dry --to coarse-as-is");
    return {typed.value, moisture.value};
}

void add_noonan(const Numbers& x, report::Converted& out) {
    out.rules = {{"Noonan's, with his 0.2 % off", noonan_as_is_pct(x[0], x[1])}};
}

Uncertain read_congress_wort(const Input& input, const ConvertRequest& request, report::Converted& out) {
    const Uncertain plato = read_extract(input, request, out);
    demand_believable(request.given, plato.value, {Dimension::gravity, {0.0, 20.0}, "Congress wort", ""});
    return plato;
}

Numbers by_class(const Figure&, const ConvertRequest& request, report::Converted& out) {
    constexpr std::array<std::string_view, 5> classes{"very good", "good", "fair", "moderate", "poor"};
    const int found = modification_class(Percent(request.typed().value));
    out.value = found;
    out.unit = "class";
    out.decimals = 0;
    out.shown = fmt::format("of 5, {}", classes[static_cast<std::size_t>(found - 1)]);
    out.remarks.emplace_back("by fine less coarse grind extract");
    return {};
}

constexpr Input moisture{.read = read_moisture};
constexpr std::string_view pale_malts = "a line through pale malts, good to 1 L°/kg; it does not hold for roasted malt";

constexpr Figure table[] = {
    by_words(
        "fine-dry fine-as-is coarse-dry coarse-as-is l-per-kg l-per-kg-fine-dry l-per-kg-fine-as-is "
        "l-per-kg-coarse-dry l-per-kg-coarse-as-is ppg ppg-fine-dry ppg-fine-as-is ppg-coarse-dry ppg-coarse-as-is",
        is_a<Percent, LitresPerKilogram, PointsPerPoundGallon>, by_basis, {}, {}, {}, add_noonan),
    figure(
        "iob", is_a<Percent>, {value_within({60.0, 90.0}, "Congress extract of pale malt")}, {},
        {"l-per-kg", "L°/kg by the Institute of Brewing's mash", 1},
        [](const auto& x) { return iob_of_congress(x[0]); }, pale_malts),
    figure(
        "congress", is_a<LitresPerKilogram>, {value_within({225.0, 345.0}, "hot water extract of pale malt")}, {},
        {"pct", "% by the Congress mash", 2}, [](const auto& x) { return congress_of_iob(x[0]); }, pale_malts),
    figure("congress-extract", is_gravity, {Input{.read = read_congress_wort}, moisture}, {},
           {"pct", "%, fine-as-is", 2}, [](const auto& x) { return congress_extract_pct(x[0], x[1]); }),
    figure("congress-wort", is_a<Percent>, {moisture, value_within({0.0, 100.0}, "fine as-is extract")}, {},
           {"plato", "°P in the Congress wort", 2}, [](const auto& x) { return congress_wort_plato(x[1], x[0]); }),
    figure("lintner", is_a<WindischKolbach>, {value_within({0.0, 1000.0}, "diastatic power")}, {},
           {"lintner", "°Lintner", 1}, [](const auto& x) { return lintner_degrees_of_wk(x[0]); }),
    figure("wk --from lintner", is_bare, {value_within({0.0, 300.0}, "diastatic power in °Lintner")}, {},
           {"wk", "WK", 0}, [](const auto& x) { return wk_of_lintner_degrees(x[0]); }),
    by_words("modification", is_a<Percent>, by_class, {}, {}, {}),
    figure("litre-degrees --from g/l", is_bare, {the_value}, ranges_of<litre_degrees_of_sucrose>,
           {"l-per-kg", "L°/kg of sucrose at that strength", 2},
           [](const auto& x) { return sucrose_litre_degrees_at(x[0]); }),
};

} // namespace

std::span<const Figure> malt_figures() {
    return table;
}

} // namespace lotwort::verbs
