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

Uncertain needed_moisture(const ConvertRequest& request, bool needed) {
    if (!needed) return {0.0, 0.0}; // it cancels
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
    const std::string_view name = word(to);
    in_unit(out, "pct", "%", 2);
    std::string_view basis = name;
    for (const auto& [prefix, shown] : {std::pair<std::string_view, std::string_view>{"l-per-kg", "L°/kg"},
                                        {"ppg", "points per pound and US gallon"}})
        if (name.starts_with(prefix)) {
            in_unit(out, prefix, shown, prefix == "ppg" ? 2 : 1);
            basis.remove_prefix(prefix.size() + 1);
        }
    out.basis = std::string(basis);
    out.shown += fmt::format(", {}", basis);
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

} // namespace

std::optional<report::Converted> convert_extract(const ConvertRequest& request) {
    const auto to = from_word<ExtractBasis>(full_basis(request.to));
    if (!to || !(request.is<Percent>() || request.is<LitresPerKilogram>() || request.is<PointsPerPoundGallon>()))
        return std::nullopt;
    report::Converted out;
    Uncertain value;
    const auto given = stated_extract(request, value);
    const BasisParts from_parts = parts_of(given.basis), to_parts = parts_of(*to);
    const Uncertain moisture = needed_moisture(request, from_parts.as_is != to_parts.as_is ||
                                                            (from_parts.as_is && from_parts.coarse != to_parts.coarse));
    const Uncertain difference = grind_difference(request, from_parts.coarse != to_parts.coarse, out.remarks);
    (void)fine_dry_extract(value.value, given.basis, Percent(moisture.value)); // refuses what no malt holds
    answer(out, carried(
                    [&](const auto& x) {
                        return stated_of_fine_dry(fine_dry_of(x[0], given.basis, x[1], x[2]), *to, x[1], x[2]);
                    },
                    std::array{value, moisture, difference}));
    name_unit(out, *to);
    if (request.text("compare")) {
        if (given.basis != ExtractBasis::coarse_dry || *to != ExtractBasis::coarse_as_is)
            throw Error(ErrorKind::refused, "--compare has a rule for coarse-dry to coarse-as-is alone",
                        "leave it out, or write --basis coarse-dry --to coarse-as-is");
        out.rules = {{"Noonan's, with his 0.2 % off", noonan_as_is_pct(value.value, moisture.value)}};
    }
    return out;
}

namespace {

report::Converted one_figure(const Propagated& figure, std::string_view unit, std::string_view shown, int decimals) {
    report::Converted out;
    answer(out, figure);
    in_unit(out, unit, shown, decimals);
    return out;
}

void demand_bare(const ConvertRequest& request, const Uncertain& value, Range believable, std::string_view what) {
    if (believable.holds(value.value)) return;
    throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable {}", request.given, what),
                fmt::format("from {} to {} is taken", believable.least, believable.most));
}

std::optional<report::Converted> convert_enzymes(const ConvertRequest& request) {
    if (request.to == "lintner" && request.is<WindischKolbach>()) {
        demand_bare(request, request.typed(), {0.0, 1000.0}, "diastatic power");
        return one_figure(
            carried([](const auto& x) { return lintner_degrees_of_wk(x[0]); }, std::array{request.typed()}), "lintner",
            "°Lintner", 1);
    }
    if (request.to == "wk" && request.from == "lintner" && request.bare()) {
        demand_bare(request, *request.bare(), {0.0, 300.0}, "diastatic power in °Lintner");
        return one_figure(
            carried([](const auto& x) { return wk_of_lintner_degrees(x[0]); }, std::array{*request.bare()}), "wk", "WK",
            0);
    }
    return std::nullopt;
}

// The Institute of Brewing's hot water extract and the Congress mash's.
std::optional<report::Converted> convert_laboratory(const ConvertRequest& request) {
    constexpr std::string_view line = "a line through pale malts, good to 1 L°/kg; it does not hold for roasted malt";
    if (request.to == "iob" && request.is<Percent>()) {
        demand_bare(request, request.typed(), {60.0, 90.0}, "Congress extract of pale malt");
        auto out = one_figure(carried([](const auto& x) { return iob_of_congress(x[0]); }, std::array{request.typed()}),
                              "l-per-kg", "L°/kg by the Institute of Brewing's mash", 1);
        out.remarks.emplace_back(line);
        return out;
    }
    if (request.to == "congress" && request.is<LitresPerKilogram>()) {
        demand_bare(request, request.typed(), {225.0, 345.0}, "hot water extract of pale malt");
        auto out = one_figure(carried([](const auto& x) { return congress_of_iob(x[0]); }, std::array{request.typed()}),
                              "pct", "% by the Congress mash", 2);
        out.remarks.emplace_back(line);
        return out;
    }
    if (request.to == "congress-extract" && is_gravity(request)) {
        std::vector<std::string> remarks;
        const Uncertain plato = plato_of_value(request, remarks), moisture = needed_moisture(request, true);
        demand_bare(request, plato, {0.0, 20.0}, "Congress wort");
        auto out = one_figure(
            carried([](const auto& x) { return congress_extract_pct(x[0], x[1]); }, std::array{plato, moisture}), "pct",
            "%, fine-as-is", 2);
        out.remarks = std::move(remarks);
        return out;
    }
    if (request.to == "congress-wort" && request.is<Percent>()) {
        const Uncertain moisture = needed_moisture(request, true);
        demand_bare(request, request.typed(), {0.0, 100.0}, "fine as-is extract");
        return one_figure(carried([](const auto& x) { return congress_wort_plato(x[0], x[1]); },
                                  std::array{request.typed(), moisture}),
                          "plato", "°P in the Congress wort", 2);
    }
    return std::nullopt;
}

} // namespace

std::optional<report::Converted> convert_malt(const ConvertRequest& request) {
    if (auto done = convert_enzymes(request)) return done;
    if (auto done = convert_laboratory(request)) return done;
    if (request.to == "modification" && request.is<Percent>()) {
        report::Converted out;
        constexpr std::array<std::string_view, 5> classes{"very good", "good", "fair", "moderate", "poor"};
        const int found = modification_class(Percent(request.typed().value));
        out.value = found;
        in_unit(out, "class", fmt::format("of 5, {}", classes[static_cast<std::size_t>(found - 1)]), 0);
        out.remarks.emplace_back("by fine less coarse grind extract");
        return out;
    }
    if (request.to == "litre-degrees" && request.from == "g/l" && request.bare()) {
        const Uncertain c = *request.bare();
        (void)litre_degrees_of_sucrose(c.value);
        return one_figure(carried([](const auto& x) { return sucrose_litre_degrees_at(x[0]); }, std::array{c}),
                          "l-per-kg", "L°/kg of sucrose at that strength", 2);
    }
    return std::nullopt;
}

} // namespace lotwort::verbs
