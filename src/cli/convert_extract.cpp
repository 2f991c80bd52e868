// Laboratory extract from one basis to another.
#include "convert.hpp"
#include "shared.hpp"
#include <fmt/format.h>
#include <lotwort/stock/malt.hpp>

namespace lotwort::cli {

namespace {

// A target without a basis is of the malt as it goes into the mash: finely ground, with its moisture.
std::string full_basis(const std::string& to) {
    return to == "l-per-kg" || to == "ppg" ? to + "-fine-as-is" : to;
}

bool is_as_is(ExtractBasis basis) {
    return word(basis).ends_with("as-is");
}

// fine_dry_extract is a straight line in the value, so two points of it give the way back.
double on_basis(Percent fine_dry, ExtractBasis basis, Percent moisture) {
    const double at_0 = fine_dry_extract(0.0, basis, moisture).value();
    const double at_1 = fine_dry_extract(1.0, basis, moisture).value();
    return (fine_dry.value() - at_0) / (at_1 - at_0);
}

Percent needed_moisture(const ConvertRequest& request, ExtractBasis from, ExtractBasis to) {
    if (request.moisture) return *request.moisture;
    if (is_as_is(from) || is_as_is(to))
        throw Error(ErrorKind::refused, "dry and as-is extract differ by the malt's moisture, and it is not said",
                    "add it: --moisture 4.2%");
    return Percent(0.0);
}

} // namespace

std::optional<report::Converted> convert_extract(const ConvertRequest& request) {
    const auto to = from_word<ExtractBasis>(full_basis(request.to));
    if (!to) return std::nullopt;
    if (!request.basis)
        throw Error(ErrorKind::refused, "the extract's basis is not said",
                    "add what the certificate states: --basis fine-dry, fine-as-is, coarse-dry or coarse-as-is");
    const auto given = parse_extract(request.given, request.basis);
    const Percent moisture = needed_moisture(request, given.basis, *to);
    const Percent fine_dry = fine_dry_extract(given.value.value(), given.basis, moisture);

    report::Converted out;
    out.value = on_basis(fine_dry, *to, moisture);
    const std::string_view name = word(*to);
    out.decimals = 2;
    out.unit = "pct";
    out.shown = "%";
    std::string_view basis = name;
    for (const auto& [prefix, shown] : {std::pair<std::string_view, std::string_view>{"l-per-kg", "L°/kg"},
                                        {"ppg", "points per pound and US gallon"}})
        if (name.starts_with(prefix)) {
            out.unit = prefix;
            out.shown = shown;
            basis.remove_prefix(prefix.size() + 1);
            out.decimals = prefix == "ppg" ? 2 : 1;
        }
    out.basis = std::string(basis);
    out.shown += fmt::format(", {}", basis);
    return out;
}

} // namespace lotwort::cli
