// The words of a conversion, and the uncertainty that travels with them.
#include "convert.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/verbs/call.hpp>

namespace lotwort::verbs {

namespace {

double number_of(const TypedValue& value) {
    return std::visit([](const auto& quantity) { return quantity.value(); }, value);
}

void demand(std::string_view text, double value, Range believable, std::string_view what, std::string_view unit) {
    if (believable.holds(value)) return;
    throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable {}", text, what),
                fmt::format("from {} to {}{}{} is taken", shortest(believable.least), shortest(believable.most),
                            unit.empty() ? "" : " ", unit));
}

} // namespace

ConvertRequest::ConvertRequest(ConvertWords words) : given(words.given), today(words.today), words_(std::move(words)) {
    to = lowered(text("to").value_or(""));
    from = lowered(text("from").value_or(""));
    if (!is_course()) value = parse_typed(given);
}

std::optional<std::string> ConvertRequest::text(std::string_view option) const {
    const auto found = words_.options.find(option);
    if (found == words_.options.end()) return std::nullopt;
    used_.insert(std::string(option));
    return found->second;
}

std::optional<Uncertain> ConvertRequest::figure(std::string_view option, const Asked& asked) const {
    const auto typed = text(option);
    if (!typed) return std::nullopt;
    try {
        const Typed read = parse_typed(*typed, asked.dimension);
        if (read.at)
            throw Error(
                ErrorKind::refused, fmt::format("`{}`: no temperature is taken here", *typed),
                fmt::format("leave out what stands behind the number's unit: {}", typed->substr(0, typed->find('@'))));
        demand(*typed, number_of(read.value), asked.believable, asked.what, asked.unit);
        return Uncertain{number_of(read.value), read.sd.value_or(0.0)};
    } catch (const Error& fault) {
        throw of_option(option, fault);
    }
}

std::optional<Uncertain> ConvertRequest::number(std::string_view option, std::string_view what,
                                                Range believable) const {
    const auto typed = text(option);
    if (!typed) return std::nullopt;
    try {
        std::string_view plain = *typed;
        double sd = 0.0;
        for (const std::string_view sign : {"±", "+/-", "+-"})
            if (const auto at = plain.find(sign); at != std::string_view::npos) {
                sd = parse_number(plain.substr(at + sign.size()), what, {0.0, believable.most});
                plain = plain.substr(0, at);
                break;
            }
        return Uncertain{parse_number(plain, what, believable), sd};
    } catch (const Error& fault) {
        throw of_option(option, fault);
    }
}

Uncertain ConvertRequest::needed(std::string_view option, const Asked& asked, std::string_view example) const {
    if (const auto there = figure(option, asked)) return *there;
    throw Error(ErrorKind::refused, fmt::format("{} to {}: the {} is not said", given, to, asked.what),
                fmt::format("add it, such as --{} {}", option, example));
}

std::optional<Uncertain> ConvertRequest::temperature(std::string_view option) const {
    return figure(option, {Dimension::temperature, {0.0, 100.0}, "temperature", "C"});
}

Uncertain ConvertRequest::typed() const {
    return {number_of(value.value), value.sd.value_or(0.0)};
}

std::optional<Uncertain> ConvertRequest::bare() const {
    if (is<Bare>() || is<SpecificGravity>()) return typed();
    return std::nullopt;
}

std::vector<std::string> ConvertRequest::unused() const {
    std::vector<std::string> names;
    for (const auto& [name, value] : words_.options)
        if (!used_.contains(name)) names.push_back(name);
    return names;
}

namespace {

bool has_width(const Propagated& figure) {
    return figure.sd > 0.0 || figure.second_order_sd > 0.0 || !figure.first_order_enough;
}

double sd_of(const Propagated& figure) {
    return figure.estimate().sd;
}

} // namespace

void refuse_width(const Error& fault) {
    throw Error(ErrorKind::refused, fmt::format("the uncertainty reaches beyond what can be: {}", fault.what()),
                "state a narrower one; it is one standard deviation, and 1.7 of them are looked at either way");
}

void answer(report::Converted& out, const Propagated& figure) {
    out.value = figure.value;
    if (!has_width(figure)) return;
    out.sd = sd_of(figure);
    if (figure.first_order_enough) return;
    out.first_order_sd = figure.sd;
    if (std::isfinite(figure.second_order_mean)) out.mean = figure.second_order_mean;
}

Uncertain step(const Propagated& figure, std::vector<std::string>& remarks) {
    if (!figure.first_order_enough)
        remarks.emplace_back(
            "first order is not enough on the way: what was typed is too uncertain for a straight line");
    return {figure.value, has_width(figure) ? sd_of(figure) : 0.0};
}

Propagated with_own(Propagated figure, double sd) {
    figure.sd = std::hypot(figure.sd, sd);
    figure.second_order_sd = std::hypot(figure.second_order_sd, sd);
    return figure;
}

void in_unit(report::Converted& out, std::string_view unit, std::string_view shown, int decimals) {
    out.unit = unit;
    out.shown = shown;
    out.decimals = decimals;
}

void refuse_conversion(const ConvertRequest& request) {
    throw Error(ErrorKind::refused, fmt::format("{} does not turn into {}", request.given, request.to),
                "a gravity goes to sg, plato, brix or kg/m3; an extract (%, L/kg, ppg) with --basis to another basis; "
                "a colour to ebc, srm or lovibond; masses, volumes and temperatures to units of their kind; "
                "lotwort convert --help lists the rest");
}

namespace {

// --from says what a bare number is, that a share is alcohol by mass, or that water is aerated.
bool may_have_kind(const ConvertRequest& request) {
    return request.bare() || (request.is<Percent>() && request.from == "abw") ||
           (request.is<Celsius>() && request.from == "aerated");
}

} // namespace

report::Converted convert(const ConvertWords& words) {
    static constexpr Conversion conversions[] = {
        convert_course,  convert_blend,      convert_beer,   convert_alcohol, convert_bitterness,
        convert_hops,    convert_instrument, convert_colour, convert_malt,    convert_extract,
        convert_gravity, convert_hot_volume, convert_volume, convert_water,
    };
    const ConvertRequest request(words);
    std::optional<report::Converted> done;
    for (const Conversion conversion : conversions)
        if ((done = conversion(request))) break;
    if (!done) done = convert_unit(request);
    auto idle = request.unused();
    if (!request.from.empty() && !may_have_kind(request)) idle.insert(idle.begin(), "from");
    if (!idle.empty())
        throw Error(ErrorKind::refused,
                    fmt::format("--{} has no part in turning {} into {}", idle.front(), request.given, request.to),
                    "leave it out; lotwort convert --help says which options belong to which figure");
    done->given = request.given;
    return *done;
}

} // namespace lotwort::verbs
