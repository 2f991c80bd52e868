#include "efficiency.hpp"
#include "given.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

namespace {

// The call as it was typed, with the efficiency's place behind it.
std::string typed_with(const Call& call, std::string_view typed, std::string_view efficiency, std::string_view where) {
    std::string line = fmt::format("lotwort {}", call.command().name);
    for (const Positional& positional : call.command().positionals)
        for (const std::string& word : call.args.all(positional.name)) line += " " + shell_word(word);
    const std::string as_typed = " --efficiency " + shell_word(std::string(typed));
    std::string options = options_given(call);
    std::string in_one_word(efficiency); // 72% of "72 %"
    std::erase(in_one_word, ' ');
    if (const auto at = options.find(as_typed); at != std::string::npos)
        options.replace(at, as_typed.size(), fmt::format(" --efficiency {}@{}", in_one_word, where));
    return line + options;
}

std::string_view where_in(std::string_view text) {
    const auto at = text.find('@');
    return at == std::string_view::npos ? std::string_view{} : text.substr(at + 1);
}

bool parse_where(const Call& call, std::string_view efficiency, const std::string& typed) {
    const std::string_view where = where_in(typed);
    if (const auto in_kettle = efficiency_in_kettle(typed)) return *in_kettle;
    if (where.empty() && call.surroundings.ask) {
        const auto answer = call.surroundings.ask(fmt::format(
            "{} of the malt's extract: in the fermenter, or in the kettle? (fermenter or kettle) ", efficiency));
        if (answer && (*answer == "kettle" || *answer == "fermenter")) return *answer == "kettle";
    }
    throw Error(ErrorKind::refused,
                where.empty() ? fmt::format("{} of the malt's extract may be what is in the fermenter or in the kettle",
                                            efficiency)
                              : fmt::format("`{}` is neither fermenter nor kettle", where),
                fmt::format("write: {}\nor: {}", typed_with(call, typed, efficiency, "fermenter"),
                            typed_with(call, typed, efficiency, "kettle")));
}

} // namespace

std::optional<bool> efficiency_in_kettle(const std::string& text) {
    const std::string_view where = where_in(text);
    return where == "kettle" || where == "fermenter" ? std::optional(where == "kettle") : std::nullopt;
}

TypedEfficiency parse_efficiency_figure(const std::string& text) {
    const std::string efficiency = text.substr(0, text.find('@'));
    TypedEfficiency typed;
    const Typed figure = parse_typed(efficiency, Dimension::percent);
    typed.value = std::get<Percent>(figure.value);
    if (figure.sd) typed.sd = Percent(*figure.sd);
    const Range believable = range_of<Brewhouse>("efficiency_fermenter_pct"),
                believable_sd = range_of<Brewhouse>("efficiency_sd_pct");
    if (!believable.holds(typed.value.value()))
        throw Error(ErrorKind::refused, fmt::format("{} is no brewhouse's efficiency", efficiency),
                    fmt::format("from {} to {} % is taken", readable(believable.least), readable(believable.most)));
    if (typed.sd && !believable_sd.holds(typed.sd->value()))
        throw Error(
            ErrorKind::refused, fmt::format("± {} is not believable", readable(typed.sd->value())),
            fmt::format("from {} to {} points are taken", readable(believable_sd.least), readable(believable_sd.most)));
    return typed;
}

std::optional<TypedEfficiency> parse_efficiency(const Call& call) {
    auto typed = read_option(call, "efficiency", parse_efficiency_figure);
    if (!typed) return std::nullopt;
    const std::string text = *call.args.text("efficiency");
    typed->in_kettle = parse_where(call, text.substr(0, text.find('@')), text);
    return typed;
}

} // namespace lotwort::verbs
