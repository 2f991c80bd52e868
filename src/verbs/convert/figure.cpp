// The one table of figures, and what holds for every row of it.
#include "convert.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>

namespace lotwort::verbs {

namespace {

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    while (!text.empty()) {
        const auto blank = std::min(text.find(' '), text.size());
        words.emplace_back(text.substr(0, blank));
        text.remove_prefix(std::min(blank + 1, text.size()));
    }
    return words;
}

std::vector<std::span<const Figure>> tables() {
    return {blend_figures(),  beer_figures(), bitterness_figures(), hop_figures(),   instrument_figures(),
            colour_figures(), malt_figures(), gravity_figures(),    volume_figures()};
}

// Of "kg/m3 --from aerated" or "l --gravity": the words that a row answers to, and what must stand beside them.
struct Key {
    std::vector<std::string> words;
    std::string option, kind;
};

Key key_of(const Figure& figure) {
    Key key;
    for (auto& word : words_of(figure.to))
        if (word.starts_with("--"))
            key.option = word.substr(2);
        else
            (key.option.empty() ? key.words.emplace_back() : key.kind) = word;
    return key;
}

bool fits(const Figure& figure, const ConvertRequest& request) {
    const Key key = key_of(figure);
    const bool named = key.words.empty() || std::ranges::find(key.words, request.to) != key.words.end();
    return named && (key.option.empty() || request.has(key.option)) && (key.kind.empty() || key.kind == request.from) &&
           figure.of(request);
}

Numbers values_of(const Inputs<Uncertain>& inputs) {
    Numbers x{};
    std::ranges::transform(inputs, x.begin(), &Uncertain::value);
    return x;
}

Numbers by_formula(const Figure& figure, const ConvertRequest& request, report::Converted& out) {
    Inputs<Uncertain> inputs{};
    for (std::size_t i = 0; i < inputs.size() && figure.inputs[i].read; ++i)
        inputs[i] = figure.inputs[i].read(figure.inputs[i], request, out);
    if (figure.demand) figure.demand(values_of(inputs));
    answer(out, carried(figure.formula, inputs));
    if (figure.more.beside) figure.more.beside(inputs, out);
    return values_of(inputs);
}

void show(report::Converted& out, const Shown& shown) {
    if (!out.unit.empty()) return; // by words of its own
    out.unit = shown.unit;
    if (out.shown.empty()) out.shown = shown.shown;
    out.decimals = shown.decimals;
    if (shown.decimals == as_litres) out.decimals = out.value < 100.0 ? 3 : out.value < 1000.0 ? 2 : 1;
}

report::Converted answered(const Figure& figure, const ConvertRequest& request) {
    report::Converted out;
    const Numbers x = (figure.more.by ? figure.more.by : by_formula)(figure, request, out);
    show(out, figure.shown);
    if (!figure.remark.empty()) out.remarks.emplace_back(figure.remark);
    if (!request.text("compare")) return out;
    if (!figure.more.rules)
        throw Error(ErrorKind::refused, "--compare has no published rules for " + out.unit,
                    "it goes with --to plato, sg-air, abv and final-gravity, and with Noonan's coarse-as-is");
    figure.more.rules(x, out);
    return out;
}

// Decimals for six figures at most, none beyond the sixth decimal.
int decimals_of(double number) {
    if (number == 0.0 || !std::isfinite(number)) return 2;
    const int leading = static_cast<int>(std::floor(std::log10(std::abs(number))));
    return std::clamp(4 - leading, 0, 6);
}

double number_of(const TypedValue& typed) {
    return std::visit([](const auto& quantity) { return quantity.value(); }, typed);
}

[[noreturn]] void refuse_target(const ConvertRequest& request) {
    std::vector<std::string> known = words_of("kg g lb oz L ml hl galUS galUK qtUS qtUK ptUS ptUK bblUS bblUK C F min "
                                              "h cm in");
    for (const auto& table : tables())
        for (const Figure& figure : table)
            for (auto& word : key_of(figure).words) {
                if (word == request.to) refuse_conversion(request);
                if (figure.of(request)) known.push_back(std::move(word));
            }
    std::ranges::sort(known);
    known.erase(std::ranges::unique(known).begin(), known.end());
    const std::string near = did_you_mean(request.to, known);
    throw Error(ErrorKind::refused, fmt::format("`{}` is nothing to convert to", request.to),
                near.empty() ? "lotwort convert --help lists the units" : near);
}

[[noreturn]] void refuse_bare(const ConvertRequest& request) {
    if (!request.from.empty())
        throw Error(ErrorKind::refused,
                    fmt::format("{} from {} does not turn into {}", request.given, request.from, request.to),
                    "of a bare number --from may say sg, sg-air, sg-60f, sg-15c, index, a430, mcu, a275, hsi, lintner, "
                    "g/l, division, digit, limit, middle or r95");
    const double number = request.typed().value;
    std::string hint = "write its unit, such as 12P, 30L, 81.5% or 6EBC; a gravity alone lies between 0.98 and 1.2";
    if (number > believable_sg.most && number < 2.0) // 1.42@30C is 42 points at its temperature
        hint += "; " + points_as_gravity(number) +
                request.given.substr(std::min(request.given.find('@'), request.given.size()));
    throw Error(ErrorKind::refused, "`" + request.given + "` is a number without a unit", hint);
}

// Whatever else is typed with a unit: "1UNIT" read by the parser of what people type, and no table beside it.
report::Converted in_unit(const ConvertRequest& request) {
    if (request.is_course()) refuse_conversion(request, "a course of temperatures goes to boil-minutes");
    if (request.is<Bare>()) refuse_bare(request);
    TypedValue one;
    try {
        one = parse_typed("1" + request.to).value;
    } catch (const Error&) {
        refuse_target(request);
    }
    if (one.index() != request.value.value.index()) refuse_conversion(request);
    report::Converted out;
    out.unit = out.shown = request.to;
    if (!std::holds_alternative<Celsius>(one)) {
        answer(out, carried([&](const auto& x) { return x[0] / number_of(one); }, std::array{request.typed()}));
        out.decimals = decimals_of(out.value);
        if (out.unit == "l") out.shown = "L";
        return out;
    }
    const bool fahrenheit = number_of(one) != 1.0;
    out.shown = fahrenheit ? "°F" : "°C";
    out.decimals = 1;
    answer(out, carried([&](const auto& x) { return fahrenheit ? x[0] * (9.0 / 5.0) + 32.0 : x[0]; },
                        std::array{request.typed()}));
    return out;
}

report::Converted first_that_fits(const ConvertRequest& request) {
    for (const auto& table : tables())
        if (const auto figure = std::ranges::find_if(table, [&](const Figure& row) { return fits(row, request); });
            figure != table.end())
            return answered(*figure, request);
    return in_unit(request);
}

// --from says what a bare number is, that a share is alcohol by mass, or that water is aerated.
bool may_have_kind(const ConvertRequest& request) {
    return request.bare() || (request.is<Percent>() && request.from == "abw") ||
           (request.is<Celsius>() && request.from == "aerated");
}

} // namespace

bool is_bare(const ConvertRequest& request) {
    return request.bare().has_value();
}

bool is_anything(const ConvertRequest&) {
    return true;
}

Uncertain read_plainly(const Input& input, const ConvertRequest& request, report::Converted&) {
    if (input.option.empty()) {
        const Uncertain typed = request.typed();
        if (!input.asked.what.empty()) demand_believable(request.given, typed.value, input.asked);
        return {input.times * typed.value, input.times * typed.sd};
    }
    if (const auto there = request.figure(input.option, input.asked)) return *there;
    if (input.otherwise) return *input.otherwise;
    throw Error(ErrorKind::refused,
                fmt::format("{} to {}: the {} is not said", request.given, request.to, input.asked.what),
                fmt::format("add it, such as --{} {}", input.option, input.example));
}

void refuse_conversion(const ConvertRequest& request, std::string_view hint) {
    std::string with; // which figure is meant hangs on them: one too many, or one that is missing
    for (const std::string& option : request.unused())
        with += fmt::format("{} --{}", with.empty() ? " with" : ",", option);
    throw Error(ErrorKind::refused, fmt::format("{} does not turn into {}{}", request.given, request.to, with),
                hint.empty() && !with.empty() ? "lotwort convert --help says which options belong to which figure"
                                              : std::string(hint));
}

report::Converted convert(const ConvertWords& words) {
    const ConvertRequest request(words);
    report::Converted done = first_that_fits(request);
    auto idle = request.unused();
    if (!request.from.empty() && !may_have_kind(request)) idle.insert(idle.begin(), "from");
    if (!idle.empty())
        throw Error(ErrorKind::refused,
                    fmt::format("--{} has no part in turning {} into {}", idle.front(), request.given, request.to),
                    "leave it out; lotwort convert --help says which options belong to which figure");
    done.given = request.given;
    return done;
}

} // namespace lotwort::verbs
