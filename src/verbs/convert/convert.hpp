// One conversion: what was typed, what it is to be, and what belongs to it; each figure with the uncertainty that was
// typed behind it.
#pragma once

#include <functional>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/propagate.hpp>
#include <lotwort/core/typed.hpp>
#include <lotwort/report/convert.hpp>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lotwort::verbs {

// A figure with its standard uncertainty, in the unit of its type: degrees Plato, litres, per cent.
struct Uncertain {
    double value = 0.0;
    double sd = 0.0;
};

// The words of one conversion, as typed: VALUE and the options that were given.
struct ConvertWords {
    std::string given;
    std::map<std::string, std::string, std::less<>> options;
    Date today;
};

// What an option must be: its kind, the believable range in the unit named, and what to call it in a refusal.
struct Asked {
    Dimension dimension;
    Range believable;
    std::string_view what;
    std::string_view unit;
    std::string_view aside{}; // behind the range that is taken
};

// Error(refused) "`500C` is not a believable temperature" with the range that is taken.
void demand_believable(std::string_view text, double value, const Asked& asked);

// Options are read where a conversion asks for them. One that no step asked for has no part in the answer, and the
// conversion is refused: nothing that was typed is passed over in silence.
class ConvertRequest {
public:
    explicit ConvertRequest(ConvertWords words);

    std::string given;
    std::string to;   // lowered
    std::string from; // lowered; empty where --from was not given
    Typed value;      // a course of temperatures has none: given holds a colon
    Date today;

    [[nodiscard]] std::optional<std::string> text(std::string_view option) const; // marks it as used
    [[nodiscard]] bool has(std::string_view option) const { return words_.options.contains(option); }
    [[nodiscard]] std::optional<Uncertain> figure(std::string_view option, const Asked& asked) const;
    [[nodiscard]] std::optional<Uncertain> number(std::string_view option, std::string_view what,
                                                  Range believable) const;

    [[nodiscard]] bool is_course() const { return given.find(':') != std::string::npos; }
    template <class Value>
    [[nodiscard]] bool is() const {
        return !is_course() && std::holds_alternative<Value>(value.value);
    }
    [[nodiscard]] Uncertain typed() const;                 // the value in the unit of its type
    [[nodiscard]] std::optional<Uncertain> bare() const;   // a number without a unit, whatever its size
    [[nodiscard]] std::vector<std::string> unused() const; // options that no step has asked for

private:
    ConvertWords words_;
    mutable std::set<std::string, std::less<>> used_;
};

// An uncertainty so wide that the formula does not hold within it.
[[noreturn]] void refuse_width(const Error& fault);

// What `propagate` makes of f over these inputs. f takes std::array<Real, N>, Real double or Dual<N>. Without any
// uncertainty among the inputs f is called once.
template <std::size_t N, class F>
[[nodiscard]] Propagated carried(F&& f, const std::array<Uncertain, N>& inputs) {
    std::array<double, N> x{}, sd{};
    bool exact = true;
    for (std::size_t i = 0; i < N; ++i) {
        x[i] = inputs[i].value;
        sd[i] = inputs[i].sd;
        exact = exact && sd[i] == 0.0;
    }
    if (exact) {
        Propagated p;
        p.value = p.second_order_mean = f(x);
        return p;
    }
    try {
        return propagate(f, x, sd);
    } catch (const Error& fault) {
        refuse_width(fault);
    }
}

// The figure and its sd into the answer, by first order where that is enough, else by the second, and then said so.
void answer(report::Converted& out, const Propagated& figure);
// The same for what goes into a further step.
[[nodiscard]] Uncertain step(const Propagated& figure, std::vector<std::string>& remarks);

// With a part of its own that the method brings, in quadrature.
[[nodiscard]] Propagated with_own(Propagated figure, double sd);

// What a figure is worked out from: at most six numbers, VALUE most often the first.
template <class Real>
using Inputs = std::array<Real, 6>;
using Numbers = Inputs<double>;

// A formula over them, for numbers and for numbers with slopes: made of one generic lambda.
struct Formula {
    double (*plain)(const Numbers&) = nullptr;
    Dual<6> (*sloped)(const Inputs<Dual<6>>&) = nullptr;

    constexpr Formula() = default;
    template <class Lambda>
    constexpr Formula(Lambda lambda) : plain(lambda), sloped(lambda) {} // NOLINT: a lambda is a formula

    double operator()(const Numbers& x) const { return plain(x); }
    Dual<6> operator()(const Inputs<Dual<6>>& x) const { return sloped(x); }
};

// One input: how it is read, and for an option its name, range, an example where it must be given, and what is taken
// where it may be left out. Without an option it is VALUE, times what makes it the formula's unit.
struct Input {
    using Reader = Uncertain (*)(const Input&, const ConvertRequest&, report::Converted&);
    Reader read = nullptr; // none: no input
    std::string_view option{};
    Asked asked{};
    std::string_view example{};
    std::optional<Uncertain> otherwise{};
    double times = 1.0;
};

[[nodiscard]] Uncertain read_plainly(const Input&, const ConvertRequest& request, report::Converted& out);
[[nodiscard]] Uncertain read_gravity(const Input&, const ConvertRequest& request,
                                     report::Converted& out); // degrees Plato
[[nodiscard]] Uncertain read_extract(const Input&, const ConvertRequest& request, report::Converted& out); // of VALUE

inline constexpr Input the_value{.read = read_plainly};
inline constexpr Input the_extract{.read = read_extract};
[[nodiscard]] constexpr Input value_times(double factor) {
    return {.read = read_plainly, .times = factor};
}
// Error(refused) "`130%` is not a believable extract".
[[nodiscard]] constexpr Input value_within(Range believable, std::string_view what, std::string_view unit = {},
                                           std::string_view aside = {}) {
    return {.read = read_plainly, .asked = {Dimension::percent, believable, what, unit, aside}};
}
[[nodiscard]] constexpr Input needed(std::string_view option, const Asked& asked, std::string_view example) {
    return {.read = read_plainly, .option = option, .asked = asked, .example = example};
}
[[nodiscard]] constexpr Input gravity_of(std::string_view option, std::string_view example) {
    return {.read = read_gravity, .option = option, .example = example};
}
inline constexpr Asked beer_volume{Dimension::volume, {1e-3, 1e6}, "volume", "L"};
inline constexpr Asked alcohol_by_mass{Dimension::percent, {0.0, 20.0}, "alcohol by mass", "%"};
inline constexpr Asked warmth{Dimension::temperature, {0.0, 100.0}, "temperature", "C"};

// An answer's unit for machines and for people, and the decimals its trade reads.
struct Shown {
    std::string_view unit;
    std::string_view shown;
    int decimals = 2;
};
inline constexpr int as_litres = -1; // three decimals of a small volume, one of a large one

// What few figures have beside their formula.
struct More {
    // Second figures, and remarks that hang on the inputs.
    void (*beside)(const Inputs<Uncertain>&, report::Converted&) = nullptr;
    // The published rules, for --compare. Without them --compare is refused.
    void (*rules)(const Numbers&, report::Converted&) = nullptr;
    // The answer where words have a part in it, in place of inputs and formula; and what the rules are of.
    Numbers (*by)(const struct Figure&, const ConvertRequest&, report::Converted&) = nullptr;
};

// A figure: the row of a table. The first row that fits what was typed answers.
struct Figure {
    std::string_view to;               // the words of --to; behind them --from KIND or an option that must be there
    bool (*of)(const ConvertRequest&); // what VALUE must be
    Inputs<Input> inputs;              // read in this order
    void (*demand)(const Numbers&);    // Error where the formula does not hold
    Formula formula;
    Shown shown;
    std::string_view remark{};
    More more{};
};

[[nodiscard]] constexpr Figure figure(std::string_view to, bool (*of)(const ConvertRequest&), Inputs<Input> inputs,
                                      void (*demand)(const Numbers&), Shown shown, Formula formula,
                                      std::string_view remark = {}, More more = {}) {
    return {to, of, inputs, demand, formula, shown, remark, more};
}
[[nodiscard]] constexpr Figure by_words(std::string_view to, bool (*of)(const ConvertRequest&),
                                        Numbers (*by)(const Figure&, const ConvertRequest&, report::Converted&),
                                        Shown shown, Formula formula = {}, void (*demand)(const Numbers&) = nullptr,
                                        void (*rules)(const Numbers&, report::Converted&) = nullptr) {
    return {to, of, {}, demand, formula, shown, {}, {.rules = rules, .by = by}};
}

// What a function of the inputs in their order refuses: ranges_of<wort::boiling_point>.
template <class Answer, class... Quantities>
void call_with(Answer (*function)(Quantities...), const Numbers& x) {
    const auto of = [&]<std::size_t... i>(std::index_sequence<i...>) {
        (void)function(Quantities(x[i])...);
    };
    of(std::index_sequence_for<Quantities...>());
}
template <auto function>
void ranges_of(const Numbers& x) {
    call_with(function, x);
}

template <class... Values>
[[nodiscard]] bool is_a(const ConvertRequest& request) {
    return (request.is<Values>() || ...);
}
[[nodiscard]] bool is_bare(const ConvertRequest& request);
[[nodiscard]] bool is_anything(const ConvertRequest& request);
[[nodiscard]] bool is_gravity(const ConvertRequest& request);

// The rows by their subject. Where two fit, the one that stands first answers.
[[nodiscard]] std::span<const Figure> blend_figures();
[[nodiscard]] std::span<const Figure> instrument_figures();
[[nodiscard]] std::span<const Figure> beer_figures();
[[nodiscard]] std::span<const Figure> bitterness_figures();
[[nodiscard]] std::span<const Figure> hop_figures();
[[nodiscard]] std::span<const Figure> colour_figures();
[[nodiscard]] std::span<const Figure> malt_figures();
[[nodiscard]] std::span<const Figure> gravity_figures();
[[nodiscard]] std::span<const Figure> volume_figures();

// Extract, degrees Plato, of the value as typed, with the stem, the sample's warmth and the wort factor that go with
// it. Error(refused) outside what the formulas hold for.
[[nodiscard]] Uncertain plato_of_value(const ConvertRequest& request, std::vector<std::string>& remarks);
[[nodiscard]] std::optional<Uncertain> plato_of_option(const ConvertRequest& request, std::string_view option,
                                                       std::vector<std::string>& remarks);
[[nodiscard]] Uncertain wort_factor_of(const ConvertRequest& request, std::vector<std::string>& remarks);

// A volume of wort with --add; and the strength of the two together, the volume of them beside it.
[[nodiscard]] bool is_blended_wort(const ConvertRequest& request);
[[nodiscard]] Uncertain plato_of_blend(const ConvertRequest& request, report::Converted& out);

// All of it. Error(refused) also where an option was given that has no part in the answer.
[[nodiscard]] report::Converted convert(const ConvertWords& words);

// VALUE, and one option, as a range: 1.030..1.060/0.005. Every cell is a conversion of its own.
[[nodiscard]] report::ConvertedTable convert_table(const ConvertWords& words);
[[nodiscard]] bool is_range(std::string_view text);

[[noreturn]] void refuse_conversion(
    const ConvertRequest& request,
    std::string_view hint = "a gravity goes to sg, plato, brix or kg/m3; an extract (%, L/kg, ppg) with --basis to "
                            "another basis; a colour to ebc, srm or lovibond; masses, volumes and temperatures to "
                            "units of their kind; lotwort convert --help lists the rest");

} // namespace lotwort::verbs
