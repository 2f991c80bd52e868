// What a scale's division, a maker's limit or a laboratory's trial says of a reading, as standard uncertainties.
#include "convert.hpp"
#include <fmt/format.h>
#include <lotwort/wort/instruments.hpp>

namespace lotwort::verbs {

namespace {

// A bare number, in the unit of the scale; so is the answer.
Uncertain read_width(const Input&, const ConvertRequest& request, report::Converted&) {
    const auto width = request.bare();
    if (width && width->value >= 0.0) return *width;
    throw Error(ErrorKind::refused, fmt::format("`{}` is no width of a scale", request.given),
                "write the number alone, in the unit of the scale: 0.002 --from division --to sd");
}

// The maker's limit; a plain number.
Uncertain read_limit(const Input& input, const ConvertRequest& request, report::Converted& out) {
    const double limit = request.number(input.option, "maker's limit", {0.0, 1e6}).value_or(Uncertain{}).value;
    if (limit == 0.0) out.remarks.emplace_back("the maker's limit counts as 0: --limit 0.001");
    return {limit, 0.0};
}

Numbers refuse_kind(const Figure& figure, const ConvertRequest& request, report::Converted& out) {
    (void)read_width(figure.inputs[0], request, out);
    throw Error(ErrorKind::refused, fmt::format("what is the {}?", request.given),
                "write --from with one of: division (of a scale, read to a half), digit (of a display), limit (± a, "
                "anywhere within), middle (± a, the middle likelier), r95 (of a collaborative trial)");
}

constexpr Input width{.read = read_width};
constexpr Shown uncertainty{"sd", "standard uncertainty", 6};

constexpr Figure table[] = {
    figure("sd --from division", is_anything, {width, Input{.read = read_limit, .option = "limit"}}, {},
           {"sd", "from reading to reading", 6}, [](const auto& x) { return wort::u_rectangular(x[0] / 2.0); }, "",
           {.beside =
                [](const Inputs<Uncertain>& x, report::Converted& out) {
                    const double bias = wort::reading_uncertainty(x[0].value, x[1].value).bias;
                    out.also.push_back({"bias_sd", "the same for all its readings", bias, std::nullopt, "", 6});
                }}),
    figure("sd --from limit", is_anything, {width}, {}, uncertainty,
           [](const auto& x) { return wort::u_rectangular(x[0]); }),
    figure("sd --from middle", is_anything, {width}, {}, uncertainty,
           [](const auto& x) { return wort::u_triangular(x[0]); }),
    figure("sd --from digit", is_anything, {width}, {}, uncertainty,
           [](const auto& x) { return wort::u_resolution(x[0]); }),
    figure("sd --from r95", is_anything, {width}, {}, uncertainty, [](const auto& x) { return wort::sd_of_r95(x[0]); }),
    by_words("sd", is_anything, refuse_kind, uncertainty),
};

} // namespace

std::span<const Figure> instrument_figures() {
    return table;
}

} // namespace lotwort::verbs
