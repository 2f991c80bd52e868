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

} // namespace

void demand_believable(std::string_view text, double value, const Asked& asked) {
    if (asked.believable.holds(value)) return;
    throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable {}", text, asked.what),
                fmt::format("from {} to {}{}{} is taken{}", shortest(asked.believable.least),
                            shortest(asked.believable.most), asked.unit.empty() ? "" : " ", asked.unit, asked.aside));
}

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
        demand_believable(*typed, number_of(read.value), asked);
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

} // namespace lotwort::verbs
