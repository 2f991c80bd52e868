// Units that differ by a factor, and temperatures.
#include "convert.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>

namespace lotwort::verbs {

namespace {

// Decimals for six figures at most, none beyond the sixth decimal.
int decimals_of(double value) {
    if (value == 0.0 || !std::isfinite(value)) return 2;
    const int leading = static_cast<int>(std::floor(std::log10(std::abs(value))));
    return std::clamp(4 - leading, 0, 6);
}

double number_of(const TypedValue& value) {
    return std::visit([](const auto& quantity) { return quantity.value(); }, value);
}

// "1UNIT" read by the parser of what people type: every unit it knows, and no table beside it.
TypedValue one_of(const ConvertRequest& request) {
    try {
        return parse_typed("1" + request.to).value;
    } catch (const Error&) {
        refuse_target(request.to);
    }
}

} // namespace

void refuse_target(const std::string& to) {
    const std::vector<std::string> known{"sg",
                                         "plato",
                                         "brix",
                                         "kg/m3",
                                         "sg-air",
                                         "sg-60f",
                                         "sg-15c",
                                         "index",
                                         "mark",
                                         "mark-plato",
                                         "ebc",
                                         "srm",
                                         "lovibond",
                                         "mcu",
                                         "kg",
                                         "g",
                                         "lb",
                                         "oz",
                                         "L",
                                         "ml",
                                         "hl",
                                         "galUS",
                                         "galUK",
                                         "qtUS",
                                         "qtUK",
                                         "ptUS",
                                         "ptUK",
                                         "bblUS",
                                         "bblUK",
                                         "C",
                                         "F",
                                         "min",
                                         "h",
                                         "cm",
                                         "in",
                                         "abv",
                                         "abw",
                                         "attenuation",
                                         "real-attenuation",
                                         "real-degree",
                                         "real-extract",
                                         "apparent-extract",
                                         "original-extract",
                                         "final-gravity",
                                         "liquor",
                                         "residual",
                                         "extract",
                                         "ibu",
                                         "utilisation",
                                         "boil-minutes",
                                         "bitterness-ratio",

                                         "alpha",
                                         "lost",
                                         "ppg",
                                         "l-per-kg",
                                         "fine-dry",
                                         "fine-as-is",
                                         "coarse-dry",
                                         "coarse-as-is",
                                         "iob",
                                         "congress",
                                         "congress-extract",
                                         "congress-wort",
                                         "lintner",
                                         "wk",
                                         "modification",
                                         "litre-degrees",
                                         "boiling-point",
                                         "wort-factor",
                                         "sd"};
    const std::string near = did_you_mean(to, known);
    throw Error(ErrorKind::refused, fmt::format("`{}` is nothing to convert to", to),
                near.empty() ? "lotwort convert --help lists the units" : near);
}

namespace {

// The temperature of 1.42@30C, with its sign; empty: it has none.
std::string behind_number(const std::string& given) {
    return given.substr(std::min(given.find('@'), given.size()));
}

[[noreturn]] void refuse_bare(const ConvertRequest& request) {
    if (!request.from.empty())
        throw Error(ErrorKind::refused,
                    fmt::format("{} from {} does not turn into {}", request.given, request.from, request.to),
                    "of a bare number --from may say sg, sg-air, sg-60f, sg-15c, index, a430, mcu, a275, hsi, lintner, "
                    "g/l, division, digit, limit, middle or r95");
    const double value = request.typed().value;
    std::string hint = "write its unit, such as 12P, 30L, 81.5% or 6EBC; a gravity alone lies between 0.98 and 1.2";
    if (value > believable_sg.most && value < 2.0)
        hint += "; " + points_as_gravity(value) + behind_number(request.given);
    throw Error(ErrorKind::refused, "`" + request.given + "` is a number without a unit", hint);
}

} // namespace

report::Converted convert_unit(const ConvertRequest& request) {
    if (request.is<Bare>()) refuse_bare(request);
    const TypedValue one = one_of(request);
    const TypedValue& value = request.value.value;
    if (one.index() != value.index()) refuse_conversion(request);
    report::Converted out;
    in_unit(out, request.to, request.to, 1);
    if (std::holds_alternative<Celsius>(one)) {
        const bool fahrenheit = number_of(one) != 1.0;
        out.shown = fahrenheit ? "°F" : "°C";
        answer(out, carried([&](const auto& x) { return fahrenheit ? x[0] * (9.0 / 5.0) + 32.0 : x[0]; },
                            std::array{request.typed()}));
        return out;
    }
    answer(out, carried([&](const auto& x) { return x[0] / number_of(one); }, std::array{request.typed()}));
    out.decimals = decimals_of(out.value);
    if (out.unit == "l") out.shown = "L";
    return out;
}

} // namespace lotwort::verbs
