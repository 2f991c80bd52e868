// Colour: of beer in EBC and SRM, of malt in EBC and degrees Lovibond, and of the beer that a malt makes.
#include "convert.hpp"
#include <array>
#include <fmt/format.h>
#include <lotwort/wort/colour.hpp>

namespace lotwort::verbs {

namespace {

enum class Scale { ebc, srm, lovibond, mcu };

std::optional<Scale> scale_of(const std::string& word) {
    if (word == "ebc") return Scale::ebc;
    if (word == "srm") return Scale::srm;
    if (word == "lovibond" || word == "lov" || word == "°l" || word == "l") return Scale::lovibond;
    if (word == "mcu") return Scale::mcu;
    return std::nullopt;
}

void name_scale(report::Converted& out, Scale scale) {
    constexpr std::array<std::string_view, 4> units{"ebc", "srm", "lovibond", "mcu"};
    constexpr std::array<std::string_view, 4> shown{"EBC", "SRM", "°L", "MCU"};
    const auto i = static_cast<std::size_t>(scale);
    in_unit(out, units[i], shown[i], 1);
}

// An EBC colour on a scale.
template <class Real>
Real on_scale(Real ebc, Scale scale) {
    switch (scale) {
    case Scale::ebc:
        return ebc;
    case Scale::srm:
        return ebc / wort::ebc_per_srm;
    case Scale::lovibond:
        return wort::lovibond_of_ebc(ebc);
    case Scale::mcu:
        return wort::morey_colour_units(ebc);
    }
    LOTWORT_CHECK(false);
    return ebc;
}

void demand_colour(const ConvertRequest& request, double ebc) {
    if (!(ebc >= 0.0 && ebc <= 3000.0))
        throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable colour", request.given),
                    "from 0 to 3000 EBC is taken");
}

void say_beyond_morey(report::Converted& out, double ebc) {
    if (ebc > wort::morey_limit_srm * wort::ebc_per_srm)
        out.remarks.emplace_back("beyond 50 SRM Morey's curve is only carried on");
}

// A colour as typed, on any scale, to another.
report::Converted of_colour(const ConvertRequest& request, Scale to) {
    report::Converted out;
    const Uncertain typed = request.typed();
    const bool lovibond = request.is<Lovibond>() || request.is<Litres>(), srm = request.is<Srm>(); // 3L is 3 °L here
    const auto ebc = [&](auto x) {
        using Real = decltype(x);
        return lovibond ? Real(wort::ebc_of_lovibond(x)) : srm ? Real(x * wort::ebc_per_srm) : x;
    };
    const auto straight = [&](const auto& x) { return on_scale(ebc(x[0]), to); };
    demand_colour(request, ebc(typed.value));
    // there and back by the same line is where it was
    const bool same = lovibond && to == Scale::lovibond;
    answer(out, same ? carried([](const auto& x) { return x[0]; }, std::array{typed})
                     : carried(straight, std::array{typed}));
    name_scale(out, to);
    if (to == Scale::lovibond || lovibond)
        out.remarks.emplace_back("degrees Lovibond are of malt: EBC = 1.97 (1.3546 L - 0.76)");
    if (to == Scale::mcu) say_beyond_morey(out, ebc(typed.value));
    return out;
}

// Of beer, from its malts' colour units.
report::Converted of_colour_units(const ConvertRequest& request, const Propagated& units, Scale to) {
    report::Converted out;
    (void)wort::beer_colour(MaltColourUnits(units.value));
    if (to == Scale::mcu) {
        answer(out, units);
    } else {
        const Uncertain mcu = step(units, out.remarks);
        answer(out, carried([&](const auto& x) { return on_scale(wort::morey_ebc(x[0]), to); }, std::array{mcu}));
        say_beyond_morey(out, wort::morey_ebc(mcu.value));
        out.remarks.emplace_back("of beer, by Morey's curve");
    }
    (void)request;
    name_scale(out, to);
    return out;
}

// A malt's mass with its --colour, in a --volume of beer.
report::Converted of_malt(const ConvertRequest& request, Scale to) {
    const auto text = request.text("colour");
    if (!text)
        throw Error(ErrorKind::refused,
                    fmt::format("{} to {}: the malt's colour is not said", request.given, request.to),
                    "add it, such as --colour 7EBC");
    const TypedValue kind = parse_typed(*text, Dimension::colour).value;
    const Uncertain colour = *request.figure("colour", {Dimension::colour, {0.0, 3000.0}, "colour", ""});
    const bool lovibond = std::holds_alternative<Lovibond>(kind), srm = std::holds_alternative<Srm>(kind);
    const Uncertain litres = request.needed("volume", {Dimension::volume, {1e-3, 1e6}, "volume", "L"}, "20L");
    const auto units = [&](const auto& x) {
        using Real = std::decay_t<decltype(x[0])>;
        const Real degrees = lovibond ? x[1] : wort::lovibond_of_ebc(srm ? Real(x[1] * wort::ebc_per_srm) : x[1]);
        return wort::malt_colour_units(x[0], degrees, x[2]);
    };
    return of_colour_units(request, carried(units, std::array{request.typed(), colour, litres}), to);
}

// A bare number that --from names: the absorbance of beer at 430 nm, or malt colour units.
std::optional<report::Converted> of_number(const ConvertRequest& request, Scale to) {
    const Uncertain value = *request.bare();
    const auto same = [](const auto& x) { return x[0]; };
    if (request.from == "mcu") return of_colour_units(request, carried(same, std::array{value}), to);
    if (request.from != "a430" || (to != Scale::ebc && to != Scale::srm)) return std::nullopt;
    if (!(value.value >= 0.0 && value.value <= 20.0))
        throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable absorbance", request.given),
                    "from 0 to 20 is taken; dark beer is diluted first, and multiplied");
    report::Converted out;
    const double per = to == Scale::ebc ? 25.0 : 12.7;
    answer(out, carried([&](const auto& x) { return per * x[0]; }, std::array{value}));
    name_scale(out, to);
    return out;
}

} // namespace

std::optional<report::Converted> convert_colour(const ConvertRequest& request) {
    const auto to = scale_of(request.to);
    if (!to) return std::nullopt;
    if (request.bare() && (request.from == "mcu" || request.from == "a430")) return of_number(request, *to);
    if (request.is<Ebc>() || request.is<Srm>() || request.is<Lovibond>()) return of_colour(request, *to);
    if (request.is<Litres>() && (*to == Scale::ebc || *to == Scale::srm)) return of_colour(request, *to);
    if (request.is<Kilograms>() && *to != Scale::lovibond) return of_malt(request, *to);
    return std::nullopt;
}

} // namespace lotwort::verbs
