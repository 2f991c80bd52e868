// One conversion: what was typed, what it is to be, and what belongs to it; each figure with the uncertainty that was
// typed behind it.
#pragma once

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
};

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
    // Error(refused) "`30g` into ibu needs the alpha acid" with an example of the option where it is not given.
    [[nodiscard]] Uncertain needed(std::string_view option, const Asked& asked, std::string_view example) const;
    [[nodiscard]] std::optional<Uncertain> temperature(std::string_view option) const; // 0 to 100 C

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

// An answer's unit for machines and for people, and the decimals its trade reads.
void in_unit(report::Converted& out, std::string_view unit, std::string_view shown, int decimals);

// Extract, degrees Plato, of the value as typed, with the stem, the sample's warmth and the wort factor that go with
// it; of an option. Error(refused) unless a gravity, and outside what the formulas hold for.
[[nodiscard]] bool is_gravity(const ConvertRequest& request);
[[nodiscard]] Uncertain plato_of_value(const ConvertRequest& request, std::vector<std::string>& remarks);
[[nodiscard]] std::optional<Uncertain> plato_of_option(const ConvertRequest& request, std::string_view option,
                                                       std::vector<std::string>& remarks);
[[nodiscard]] Uncertain plato_needed(const ConvertRequest& request, std::string_view option, std::string_view example,
                                     std::vector<std::string>& remarks);
// The wort factor, with its spread where nobody has stated it.
[[nodiscard]] Uncertain wort_factor_of(const ConvertRequest& request, std::vector<std::string>& remarks);

// An extract as `word` would have it (sg, plato, brix, kg/m3, ...); none where that is no word for a gravity.
[[nodiscard]] bool in_gravity_word(report::Converted& out, const ConvertRequest& request, std::string_view word,
                                   const Uncertain& plato);

// Minutes of boil that a stand or a course of temperatures is worth.
[[nodiscard]] Propagated boil_minutes_of_stand(const ConvertRequest& request, const Uncertain& minutes,
                                               const Uncertain& celsius, std::vector<std::string>& remarks);

// Each gives the answer, or nothing where value and `to` are not its kind.
using Conversion = std::optional<report::Converted> (*)(const ConvertRequest&);
[[nodiscard]] std::optional<report::Converted> convert_alcohol(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_beer(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_blend(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_hops(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_bitterness(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_course(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_extract(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_malt(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_gravity(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_hot_volume(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_volume(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_water(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_colour(const ConvertRequest& request);
[[nodiscard]] std::optional<report::Converted> convert_instrument(const ConvertRequest& request);
[[nodiscard]] report::Converted convert_unit(const ConvertRequest& request); // whatever else is typed with a unit

// All of it. Error(refused) also where an option was given that has no part in the answer.
[[nodiscard]] report::Converted convert(const ConvertWords& words);

// VALUE, and one option, as a range: 1.030..1.060/0.005. Every cell is a conversion of its own.
[[nodiscard]] report::ConvertedTable convert_table(const ConvertWords& words);
[[nodiscard]] bool is_range(std::string_view text);

[[noreturn]] void refuse_conversion(const ConvertRequest& request);
[[noreturn]] void refuse_target(const std::string& to); // no conversion knows it

} // namespace lotwort::verbs
