// What a scale's division, a maker's limit or a laboratory's trial says of a reading, as standard uncertainties.
#include "convert.hpp"
#include <array>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/wort/instruments.hpp>

namespace lotwort::verbs {

namespace {

// A bare number, in the unit of the scale; so is the answer.
double width_of(const ConvertRequest& request) {
    const auto width = request.bare();
    if (width && width->value >= 0.0) return width->value;
    throw Error(ErrorKind::refused, fmt::format("`{}` is no width of a scale", request.given),
                "write the number alone, in the unit of the scale: 0.002 --from division --to sd");
}

report::Converted reading(const ConvertRequest& request, double division) {
    const double limit = request.number("limit", "maker's limit", {0.0, 1e6}).value_or(Uncertain{}).value;
    const auto own = wort::reading_uncertainty(division, limit);
    report::Converted out;
    out.value = own.repeatability;
    in_unit(out, "sd", "from reading to reading", 6);
    out.also.push_back({"bias_sd", "the same for all its readings", own.bias, std::nullopt, "", 6});
    if (limit == 0.0) out.remarks.emplace_back("the maker's limit counts as 0: --limit 0.001");
    return out;
}

} // namespace

std::optional<report::Converted> convert_instrument(const ConvertRequest& request) {
    if (request.to != "sd") return std::nullopt;
    const double width = width_of(request);
    if (request.from == "division") return reading(request, width);
    report::Converted out;
    in_unit(out, "sd", "standard uncertainty", 6);
    if (request.from == "limit") {
        out.value = wort::u_rectangular(width);
    } else if (request.from == "middle") {
        out.value = wort::u_triangular(width);
    } else if (request.from == "digit") {
        out.value = wort::u_resolution(width);
    } else if (request.from == "r95") {
        out.value = wort::sd_of_r95(width);
    } else {
        throw Error(
            ErrorKind::refused, fmt::format("what is the {}?", request.given),
            "write --from with one of: division (of a scale, read to a half), digit (of a display), limit (± a, "
            "anywhere within), middle (± a, the middle likelier), r95 (of a collaborative trial)");
    }
    return out;
}

} // namespace lotwort::verbs
