// A certificate of analysis as options.
#include "shared.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/typed_figures.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/exchange/certificate_file.hpp>
#include <lotwort/stock/extract_basis.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort::verbs {

Ebc parse_ebc(std::string_view text) {
    return malt_ebc(parse_colour(text));
}

WindischKolbach parse_wk(std::string_view text) {
    const Range believable = range_of<Certificate>("diastatic_power_wk");
    const bool has_unit = !text.empty() && (text.back() == 'K' || text.back() == 'k');
    const auto power = has_unit ? std::get<WindischKolbach>(parse_typed(text, Dimension::enzymes).value)
                                : WindischKolbach(parse_number(text, "diastatic power", {}));
    if (believable.holds(power.value())) return power;
    throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable diastatic power", text),
                fmt::format("from {} to {} WK is taken", believable.least, believable.most));
}

namespace {

constexpr std::size_t bases_per_unit = 4; // fine-dry, fine-as-is, coarse-dry, coarse-as-is

// The number and how many bases further on in the list its unit stands.
struct InUnit {
    double value;
    std::size_t unit; // 0 per cent, 1 L/kg, 2 ppg
};

InUnit extract_number(std::string_view text) {
    const Typed typed = parse_typed(text, Dimension::extract);
    if (typed.sd || typed.at)
        throw Error(ErrorKind::refused, fmt::format("`{}`: write the extract alone", text),
                    "its standard deviation goes behind --extract-sd");
    if (const auto* percent = std::get_if<Percent>(&typed.value)) return {percent->value(), 0};
    if (const auto* degrees = std::get_if<LitresPerKilogram>(&typed.value)) return {degrees->value(), 1};
    return {std::get<PointsPerPoundGallon>(typed.value).value(), 2};
}

void demand_extract(std::string_view text, const InUnit& extract) {
    constexpr std::array<std::string_view, 3> names{"%", "L/kg", "ppg"}, malts{"80%", "308L/kg", "37ppg"};
    const double most = most_stated(static_cast<ExtractBasis>(extract.unit * bases_per_unit));
    if (extract.value >= 0.0 && extract.value <= most) return;
    throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable extract", text),
                fmt::format("pure sugar gives {:.0f} {}, and from 0 to that is taken; a pale malt gives some {}", most,
                            names[extract.unit], malts[extract.unit]));
}

template <class Value, class Read>
void take(const Call& call, std::string_view option, std::optional<Value>& into, Read&& read) {
    if (const auto value = read_option(call, option, read)) into = *value;
}

// As malt houses head their columns: dry and as-is basis, fine and coarse grind. The part that is not said is the usual
// one, fine grind and dry matter.
struct TradeBasis {
    std::string_view word;
    ExtractBasis basis;
};
constexpr TradeBasis trade_bases[] = {
    {"dry", ExtractBasis::fine_dry},      {"as-is", ExtractBasis::fine_as_is}, {"fine", ExtractBasis::fine_dry},
    {"coarse", ExtractBasis::coarse_dry}, {"dbfg", ExtractBasis::fine_dry},    {"fgdb", ExtractBasis::fine_dry},
    {"fgai", ExtractBasis::fine_as_is},   {"dbcg", ExtractBasis::coarse_dry},  {"cgdb", ExtractBasis::coarse_dry},
    {"cgai", ExtractBasis::coarse_as_is},
};

// Which of the bases; without its unit, the one in per cent.
std::size_t parse_basis(const std::string& text) {
    const std::string low = lowered(text);
    if (const auto basis = from_word<ExtractBasis>(low)) return static_cast<std::size_t>(*basis);
    const auto said = std::ranges::find(trade_bases, low, &TradeBasis::word);
    if (said != std::end(trade_bases)) return static_cast<std::size_t>(said->basis);
    throw Error(ErrorKind::refused, fmt::format("`{}` is not a basis of extract", text),
                "write one of: fine-dry, fine-as-is, coarse-dry, coarse-as-is");
}

constexpr Range range(std::string_view field) {
    return range_of<Certificate>(field);
}

// A scatter is of the value beside it; without one no figure would take it up.
template <class Value>
void demand_value(const std::optional<Percent>& sd, const std::optional<Value>& value, std::string_view name,
                  std::string_view example) {
    if (sd && !value)
        throw Error(ErrorKind::refused, fmt::format("--{0}-sd says nothing without --{0}", name),
                    fmt::format("add what it is of, such as --{0} {1}, or leave --{0}-sd out", name, example));
}

} // namespace

TypedExtract parse_extract(std::string_view text, const std::optional<std::string>& basis) {
    const InUnit extract = extract_number(text);
    demand_extract(text, extract);
    if (!basis)
        throw Error(ErrorKind::refused, fmt::format("`{}` is on which basis?", text),
                    "certificates differ: add --basis fine-dry, fine-as-is, coarse-dry or coarse-as-is");
    auto named = parse_basis(*basis);
    if (named >= bases_per_unit && named / bases_per_unit != extract.unit)
        throw Error(ErrorKind::refused, fmt::format("`{}` is not in the unit of {}", text, *basis),
                    "the basis may be said without its unit: fine-dry");
    named = named % bases_per_unit + extract.unit * bases_per_unit;
    return {Percent(extract.value), static_cast<ExtractBasis>(named)};
}

std::optional<TypedExtract> parse_extract_options(const Call& call) {
    const auto basis = call.args.text("basis");
    if (basis && !call.args.has("extract"))
        throw Error(ErrorKind::refused, "--basis says nothing without --extract",
                    "add the extract, such as --extract 81.5%, or leave --basis out");
    if (const auto named = read_option(call, "basis", parse_basis)) {
        const std::string full(word(static_cast<ExtractBasis>(*named)));
        if (full != *basis) call.understood(fmt::format("--basis {} is {}", *basis, full));
    }
    return read_option(call, "extract", [&](const std::string& text) { return parse_extract(text, basis); });
}

std::optional<Certificate> parse_certificate(const Call& call) {
    Certificate c;
    if (const auto file = call.args.text("certificate"))
        c = read_mended("try again", [&] { return read_certificate(read_file(call, *file), *file); });
    if (const auto extract = parse_extract_options(call)) {
        c.extract = extract->value;
        c.extract_basis = extract->basis;
    }
    const auto percent_in = [](Range r) { return [r](std::string_view text) { return parse_percent(text, r); }; };
    const auto number_in = [](std::string_view what, Range r) {
        return [what, r](std::string_view text) { return parse_number(text, what, r); };
    };
    take(call, "extract-sd", c.extract_sd, [&](std::string_view text) {
        const InUnit sd = extract_number(text);
        const auto unit = static_cast<std::size_t>(c.extract_basis.value_or(ExtractBasis::fine_dry)) / bases_per_unit;
        if (sd.unit != unit)
            throw Error(ErrorKind::refused, fmt::format("`{}`: the scatter is in the unit of the extract", text),
                        fmt::format("write it in {}", std::array{"%", "L/kg", "ppg"}[unit]));
        if (!range("extract_sd_pct").holds(sd.value) || sd.value == 0.0)
            throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable scatter of extract", text),
                        fmt::format("above 0, to {} is taken", range("extract_sd_pct").most));
        return Percent(sd.value);
    });
    take(call, "moisture", c.moisture, percent_in(range("moisture_pct")));
    take(call, "moisture-sd", c.moisture_sd, percent_in(range("moisture_sd_pct")));
    take(call, "colour", c.colour, parse_ebc);
    take(call, "wk", c.diastatic_power, [](std::string_view text) { return parse_wk(text); });
    take(call, "protein", c.protein, percent_in(range("protein_pct")));
    take(call, "alpha", c.alpha, percent_in(range("alpha_pct")));
    take(call, "alpha-sd", c.alpha_sd, percent_in(range("alpha_sd_pct")));
    take(call, "hsi", c.hop_storage_index, number_in("storage index", range("hsi")));
    demand_value(c.extract_sd, c.extract, "extract", "81.5% --basis fine-dry");
    demand_value(c.moisture_sd, c.moisture, "moisture", "4.2%");
    demand_value(c.alpha_sd, c.alpha, "alpha", "11.2%");
    take(call, "oil", c.oil_ml_per_100g, number_in("number of ml per 100 g", range("oil_ml_per_100g")));
    c.analysed = call.args.has("analysed") ? call.date("analysed") : c.analysed;
    if (c.analysed && *c.analysed > call.surroundings.today)
        throw Error(ErrorKind::refused, fmt::format("analysed on {}, which has not come yet", to_iso(*c.analysed)),
                    fmt::format("look at the date; today is {}", to_iso(call.surroundings.today)));
    return c == Certificate{} ? std::nullopt : std::optional(c);
}

} // namespace lotwort::verbs
