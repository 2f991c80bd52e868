#include "us_units.hpp"
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <lotwort/core/format.hpp>
#include <optional>
#include <tuple>

namespace lotwort::report {

namespace {

constexpr double pound_kg = 0.45359237, gallon_l = 3.785411784; // exact
constexpr double inch_cm = 2.54, psi_of_bar = 14.5037738, ebc_of_srm = 1.97;
constexpr double fluid_ounces = 128.0, ounces = 16.0, quarts = 4.0; // of a gallon, a pound, a gallon

// What a quantity is called there, and how it is reckoned from the metric unit.
struct Measured {
    std::string_view us, typed; // as it is printed, and as it is typed behind its number
    double factor = 1.0, offset = 0.0;
    int decimals = 2;          // at most
    double least_change = 0.0; // in the metric unit: what is typed is meant no finer; 0: than 1 in 2000
    std::string_view small{};  // of less than `small_below` of them
    double in_small = 1.0, small_below = 0.0;
};

struct Unit {
    std::string_view metric;
    Measured as;
};

constexpr Measured mass(double kg) {
    return {"lb", "lb", kg / pound_kg, 0.0, 2, 0.5e-6 / kg, "oz", ounces, 1.0};
}
constexpr Measured volume(double litres) {
    return {"gal(US)", "galUS", litres / gallon_l, 0.0, 2, 0.5e-6 / litres, "fl oz", fluid_ounces, 0.25};
}
constexpr Measured degrees{"°F", "F", 1.8, 32.0, 1, 1e-6};

// The longer before what it begins with.
constexpr std::array units{
    Unit{"L/kg", {"qt/lb", "qtUS/lb", quarts* pound_kg / gallon_l, 0.0, 2}},
    Unit{"L/h", {"gal(US)/h", "galUS/h", 1.0 / gallon_l, 0.0, 2}},
    Unit{"g/L", {"oz/gal(US)", "oz/galUS", 1e-3 / pound_kg* ounces* gallon_l, 0.0, 2, 1e-6}},
    Unit{"kilograms", mass(1.0)},
    Unit{"kg", mass(1.0)},
    Unit{"grams", mass(1e-3)},
    Unit{"g", mass(1e-3)},
    Unit{"hl", volume(100.0)},
    Unit{"hL", volume(100.0)},
    Unit{"ml", volume(1e-3)},
    Unit{"mL", volume(1e-3)},
    Unit{"litres", volume(1.0)},
    Unit{"litre", volume(1.0)},
    Unit{"L", volume(1.0)},
    Unit{"°C", degrees},
    Unit{"C", degrees},
    Unit{"EBC", {"SRM", "SRM", 1.0 / ebc_of_srm, 0.0, 1}},
    Unit{"cm", {"in", "in", 1.0 / inch_cm, 0.0, 1}},
    Unit{"bar", {"psi", "psi", psi_of_bar, 0.0, 1}},
};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) > 127;
}

// A number as it stands: its bytes, value and decimals.
struct Number {
    std::size_t from = 0, to = 0;
    double value = 0.0;
    int decimals = 0;
    bool has_plus = false;
};

std::optional<Number> number_at(std::string_view text, std::size_t at) {
    Number n;
    n.from = n.to = at;
    n.has_plus = n.to < text.size() && text[n.to] == '+';
    if (n.to < text.size() && (text[n.to] == '-' || n.has_plus)) ++n.to;
    if (n.to >= text.size() || !is_digit(text[n.to])) return std::nullopt;
    while (n.to < text.size() && is_digit(text[n.to])) ++n.to;
    if (n.to + 1 < text.size() && text[n.to] == '.' && is_digit(text[n.to + 1])) {
        const std::size_t point = n.to++;
        while (n.to < text.size() && is_digit(text[n.to])) ++n.to;
        n.decimals = static_cast<int>(n.to - point) - 1;
    }
    std::from_chars(text.data() + n.from + (n.has_plus ? 1 : 0), text.data() + n.to, n.value);
    return n;
}

// Not part of a code, a date, a clock or another number; the packs of 4x25kg are none of these.
bool is_free(std::string_view text, std::size_t at) {
    if (at == 0) return true;
    const char before = text[at - 1];
    if (before == 'x' && at > 1 && is_digit(text[at - 2])) return true;
    return !is_letter(before) && !is_digit(before) && before != '.' && before != ':' && before != '-' && before != '_';
}

const Unit* unit_at(std::string_view text, std::size_t at, bool is_typed) {
    for (const Unit& unit : units) {
        if (!text.substr(at).starts_with(unit.metric) || (unit.metric == "C" && !is_typed)) continue;
        const std::size_t end = at + unit.metric.size();
        const char after = end < text.size() ? text[end] : ' ';
        if (!is_letter(after) && !is_digit(after) && after != '/' && after != '_') return &unit;
    }
    return nullptr;
}

constexpr std::string_view plus_minus = "±";
constexpr std::array<std::string_view, 6> joints{" ± ", " to ", " and ", " or ", plus_minus, "–"};

// Figures that share a unit, "24.1 to 26.3 L": each with what stands before it.
struct Figures {
    std::vector<Number> numbers;
    std::vector<std::string_view> joined_by; // one fewer
    const Measured* as = nullptr;
    std::size_t end = 0;
    bool is_typed = false; // without a blank before its unit
    [[nodiscard]] bool has_sd() const {
        return numbers.size() == 2 && joined_by.front().find(plus_minus) != std::string_view::npos;
    }
};

std::optional<Figures> figures_at(std::string_view text, std::size_t at) {
    Figures figures;
    auto number = number_at(text, at);
    while (number) {
        figures.numbers.push_back(*number);
        const std::size_t end = number->to;
        const bool has_blank = end < text.size() && (text[end] == ' ' || text[end] == '\n');
        figures.is_typed = !has_blank;
        const std::size_t unit_from = has_blank ? text.find_first_not_of(" \n", end) : end;
        if (unit_from != std::string_view::npos)
            if (const Unit* unit = unit_at(text, unit_from, !has_blank)) {
                figures.as = &unit->as;
                figures.end = unit_from + unit->metric.size();
                return figures;
            }
        const auto joint =
            std::ranges::find_if(joints, [&](std::string_view word) { return text.substr(end).starts_with(word); });
        if (joint == joints.end()) return std::nullopt;
        figures.joined_by.push_back(*joint);
        number = number_at(text, end + joint->size());
    }
    return std::nullopt;
}

// Of temperatures alone it matters: 2 °C more are 3.6 °F more.
bool is_difference(std::string_view text, const Figures& figures) {
    constexpr std::array before{"± ", "by ", "within ", "off (", "low (", "high ("};
    constexpr std::array behind{" low", " high", " off", " too ", " warmer", " colder", " cooler", " more", " less"};
    const std::string_view ahead = text.substr(0, figures.numbers.front().from), rest = text.substr(figures.end);
    return figures.numbers.front().has_plus ||
           std::ranges::any_of(before, [&](std::string_view word) { return ahead.ends_with(word); }) ||
           std::ranges::any_of(behind, [&](std::string_view word) { return rest.starts_with(word); });
}

// 25.00 lb is what was typed as 25 lb.
std::string whole(std::string text) {
    const auto point = text.find('.');
    if (point != std::string::npos && text.find_first_not_of('0', point + 1) == std::string::npos) text.erase(point);
    return text;
}

// The shortest decimal that is the same metric amount, or the same metric figure where that has many digits itself: it
// was typed in these units.
std::string typed_number(const Number& number, const Measured& as, double offset) {
    constexpr int most = 9, many = 4;
    const double metric = number.value, us = metric * as.factor + offset;
    const double of_amount = as.least_change > 0.0 ? as.least_change : 5e-4 * std::abs(metric);
    const double least =
        number.decimals >= many ? std::max(of_amount, 0.5001 * std::pow(10.0, -number.decimals)) : of_amount;
    for (int decimals = 0; decimals < most; ++decimals) {
        const double shown = std::round(us * std::pow(10.0, decimals)) / std::pow(10.0, decimals);
        if (std::abs((shown - offset) / as.factor - metric) <= least) return fixed(shown, decimals);
    }
    return fixed(us, most);
}

std::string typed_in_us(const Figures& figures) {
    std::string out;
    for (std::size_t i = 0; i < figures.numbers.size(); ++i) {
        if (i > 0) out += figures.joined_by[i - 1];
        const bool is_sd = i > 0 && figures.has_sd();
        out += typed_number(figures.numbers[i], *figures.as, is_sd ? 0.0 : figures.as->offset);
    }
    return out.append(figures.as->typed);
}

// No finer than the metric figure; whole numbers of kilograms are weighed finer than that.
int decimals_of(const Measured& as, double factor, const Number& number) {
    const double step = factor * std::pow(10.0, -number.decimals);
    const bool is_amount = as.decimals == 2 && number.decimals == 0;
    int kept =
        is_amount ? as.decimals : std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, as.decimals);
    const double size = std::abs(number.value * factor);
    if (size > 0.0 && size < 0.095 && !as.small.empty()) kept = 1 - static_cast<int>(std::floor(std::log10(size)));
    return kept;
}

std::string told_in_us(std::string_view text, const Figures& figures, bool stands_alone = true) {
    const Measured& as = *figures.as;
    double largest = 0.0;
    for (const Number& number : figures.numbers) largest = std::max(largest, std::abs(number.value * as.factor));
    const bool is_small = stands_alone && largest > 0.0 && largest < as.small_below;
    const double factor = is_small ? as.factor * as.in_small : as.factor;
    const double offset = as.offset != 0.0 && is_difference(text, figures) ? 0.0 : as.offset;
    const std::string unit = " " + std::string(is_small ? as.small : as.us);
    const auto in_us = [&](std::size_t i) { return figures.numbers[i].value * factor; };
    if (figures.has_sd() && in_us(1) > 0.0) return with_sd(in_us(0) + offset, in_us(1), "", as.decimals) + unit;
    std::string out;
    for (std::size_t i = 0; i < figures.numbers.size(); ++i) {
        if (i > 0) out += figures.joined_by[i - 1];
        const std::string figure = fixed(in_us(i) + offset, decimals_of(as, factor, figures.numbers[i]));
        if (figures.numbers[i].has_plus) out += '+';
        out += figures.numbers.size() == 1 && stands_alone ? whole(figure) : figure;
    }
    return out + unit;
}

struct Word {
    std::string_view metric, us;
};
constexpr std::array words{
    Word{"litres", "gallons"}, Word{"Litres", "Gallons"},   Word{"LITRES", "GALLONS"},
    Word{"litre", "gallon"},   Word{"kilograms", "pounds"}, Word{"kilogram", "pound"},
    Word{"KG", "LB"},          Word{"EBC", "SRM"},          Word{"°C", "°F"},
    Word{"kg", "lb"},          Word{"L/h", "gal(US)/h"},    Word{"L/kg", "qt/lb"},
    Word{"cm", "in"},          Word{"L", "gal(US)"},
};

// Units that stand alone, in a heading or in a sentence: "BEER, L", "extract in kilograms".
const Word* word_at(std::string_view text, std::size_t at) {
    if (at > 0 && text[at - 1] == '/') return nullptr; // of L°/kg
    const auto found = std::ranges::find_if(words, [&](const Word& known) {
        const std::size_t end = at + known.metric.size();
        if (!text.substr(at).starts_with(known.metric)) return false;
        if (known.metric == "L" && (at < 2 || text.substr(at - 2, 2) != ", ")) return false; // behind a comma alone
        return end >= text.size() || (!is_letter(text[end]) && !is_digit(text[end]) && text[end] != '_' &&
                                      text[end] != '-' && text[end] != '/');
    });
    return found == words.end() ? nullptr : &*found;
}

// What is told by the metric unit: "0.56 a litre", "2.10 a kilogram", "0.0001 per °C".
std::optional<std::pair<std::string, std::size_t>> rate_at(std::string_view text, std::size_t at) {
    const auto number = number_at(text, at);
    if (!number) return std::nullopt;
    for (const auto& [metric, us, factor] :
         {std::tuple{" a litre", " a gallon", gallon_l}, std::tuple{" a kilogram", " a pound", pound_kg},
          std::tuple{" a kg", " a lb", pound_kg}, std::tuple{" per °C", " per °F", 1.0 / degrees.factor}}) {
        if (!text.substr(number->to).starts_with(metric)) continue;
        const double us_value = number->value * factor;
        return std::pair{(number->decimals == 2 ? fixed(us_value, 2) : readable(us_value)) + us,
                         number->to + std::string_view(metric).size()};
    }
    return std::nullopt;
}

// Units that are the trade's in every country: hop oil.
std::size_t past_kept(std::string_view text, std::size_t at) {
    constexpr std::array<std::string_view, 3> kept{"ml/100 g", "ml per 100 g", "per 100 g"};
    const auto number = number_at(text, at);
    std::size_t unit = number ? std::min(text.find_first_not_of(' ', number->to), text.size()) : at;
    for (const std::string_view phrase : kept)
        if (text.substr(unit).starts_with(phrase)) return unit + phrase.size();
    return at;
}

// Where the name or the words end that begin here; `at` itself where none do.
std::size_t past_quoted(std::string_view text, std::size_t at) {
    const char mark = text[at];
    if (mark != '"' && mark != '`') return at;
    if (mark == '`' && text.substr(at).starts_with("`lotwort ")) return at;
    const std::size_t line = std::min(text.find('\n', at), text.size()), end = text.find(mark, at + 1);
    if (end == std::string_view::npos || end > line) return at;
    return end + 1;
}

class Rewriter {
public:
    Rewriter(std::string_view text, Saying saying) : text_(text), saying_(saying) {
        out_.reserve(text.size() + text.size() / 8);
    }

    std::string run() {
        while (at_ < text_.size())
            if (!take_quoted() && !take_quantity()) copy_one();
        return std::move(out_);
    }

private:
    bool take(std::string_view as, std::size_t end) {
        out_ += as;
        at_ = end;
        return true;
    }
    // A command goes to the end of its line, or to the backtick behind it.
    void copy_one() {
        const std::string_view rest = text_.substr(at_);
        const char c = text_[at_];
        if (c == '\n' || c == '`' || c == ';') in_command_ = false;
        if (rest.starts_with("lotwort ") || rest.starts_with("--")) in_command_ = true;
        out_ += text_[at_++];
    }
    bool take_quoted() {
        if (in_command_) return false;
        const std::size_t end = past_quoted(text_, at_);
        return end > at_ && take(text_.substr(at_, end - at_), end);
    }
    bool take_quantity() {
        if (!is_free(text_, at_)) return false;
        if (const std::size_t end = past_kept(text_, at_); end > at_) return take(text_.substr(at_, end - at_), end);
        if (const auto rate = rate_at(text_, at_)) return take(rate->first, rate->second);
        if (const auto figures = figures_at(text_, at_)) {
            if (!figures->is_typed) return take(told_in_us(text_, *figures), figures->end);
            return (in_command_ || saying_ == Saying::answer) && take(typed_in_us(*figures), figures->end);
        }
        if (saying_ == Saying::refusal || in_command_) return false;
        const Word* word = word_at(text_, at_);
        return word != nullptr && take(word->us, at_ + word->metric.size());
    }

    std::string_view text_;
    Saying saying_;
    std::string out_;
    std::size_t at_ = 0;
    bool in_command_ = false;
};

} // namespace

std::string in_us_units(std::string_view text, Saying saying) {
    return Rewriter(text, saying).run();
}

std::string bare_in_us_units(std::string_view figures, std::string_view unit) {
    std::string text(figures);
    const std::size_t at = std::min(text.find_first_of("0123456789"), text.size());
    const std::size_t from = at > 0 && (text[at - 1] == '-' || text[at - 1] == '+') ? at - 1 : at;
    text.append(" ").append(unit);
    const auto found = figures_at(text, from);
    if (!found) return std::string(figures);
    const std::string told = told_in_us(text, *found, false);
    return text.substr(0, from) + told.substr(0, told.rfind(' '));
}

ShownNumber in_us_units(double value, std::string_view unit) {
    const auto* const found = std::ranges::find(units, unit, &Unit::metric);
    if (found == units.end()) return {value, unit};
    return ShownNumber{value * found->as.factor + found->as.offset, found->as.us};
}

} // namespace lotwort::report
