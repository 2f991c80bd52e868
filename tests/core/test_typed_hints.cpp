#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/typed.hpp>
#include <random>
#include <regex>
#include <string>
#include <vector>

using namespace lotwort;

// What breaks if this breaks: a brewer types what the hint says, and another quantity is booked than was weighed.

namespace {

// The units of both trades once more, from their definitions: the test has its own arithmetic.
struct Unit {
    const char* spelling;
    char kind; // m mass, v volume, r volume per hour, q volume per mass, T temperature, t time, l length, p per cent,
               // g gravity in P, b bitterness, c colour
    double size;
    double offset = 0.0;
};

const std::vector<Unit>& units() {
    static const std::vector<Unit> all{{"kg", 'm', 1.0},
                                       {"g", 'm', 1e-3},
                                       {"lb", 'm', 0.45359237},
                                       {"lbs", 'm', 0.45359237},
                                       {"oz", 'm', 0.45359237 / 16.0},
                                       {"t", 'm', 1000.0},
                                       {"L", 'v', 1.0},
                                       {"ml", 'v', 1e-3},
                                       {"hl", 'v', 100.0},
                                       {"dl", 'v', 0.1},
                                       {"galUS", 'v', 3.785411784},
                                       {"gal(UK)", 'v', 4.54609},
                                       {"gal", 'v', 0.0}, // which?
                                       {"L/h", 'r', 1.0},
                                       {"L/min", 'r', 60.0},
                                       {"hl/h", 'r', 100.0},
                                       {"galUS/h", 'r', 3.785411784},
                                       {"gal/h", 'r', 0.0},
                                       {"L/kg", 'q', 1.0},
                                       {"qtUS/lb", 'q', 3.785411784 / 4.0 / 0.45359237},
                                       {"C", 'T', 1.0},
                                       {"F", 'T', 5.0 / 9.0, -32.0},
                                       {"min", 't', 1.0},
                                       {"h", 't', 60.0},
                                       {"days", 't', 1440.0},
                                       {"cm", 'l', 1.0},
                                       {"in", 'l', 2.54},
                                       {"%", 'p', 1.0},
                                       {"P", 'g', 1.0},
                                       {"IBU", 'b', 1.0},
                                       {"EBC", 'c', 1.0},
                                       {"stone", '?', 0.0},
                                       {"kq", '?', 0.0},
                                       {"", '?', 0.0}};
    return all;
}

// A reader of one kind of quantity, and its answer in the size above.
struct Reader {
    const char* name;
    char kind;
    double (*read)(std::string_view);
};

const std::vector<Reader>& readers() {
    static const std::vector<Reader> all{
        {"mass", 'm', [](std::string_view t) { return parse_mass(t).value(); }},
        {"volume", 'v', [](std::string_view t) { return parse_volume(t).value(); }},
        {"volume with its heat", 'v', [](std::string_view t) { return parse_volume_at(t).value.value(); }},
        {"temperature", 'T', [](std::string_view t) { return parse_temperature(t).value(); }},
        {"per cent", 'p', [](std::string_view t) { return parse_percent(t).value(); }},
        {"minutes", 't', [](std::string_view t) { return parse_minutes(t).value(); }},
        {"days", 't', [](std::string_view t) { return 1440.0 * parse_days(t); }},
        {"length", 'l', [](std::string_view t) { return parse_length(t).value(); }},
        {"per mass", 'q', [](std::string_view t) { return parse_litres_per_kilogram(t).value(); }},
        {"per hour", 'r', [](std::string_view t) { return parse_litres_per_hour(t).value(); }},
        {"bitterness", 'b', [](std::string_view t) { return parse_bitterness(t).value(); }},
    };
    return all;
}

// A number, how it is written, and what it may mean: 1250 as 1,250 may be 1.25 as well.
struct Written {
    std::string text;
    std::vector<double> meanings;
};

std::string with_commas(int whole, char separator) {
    std::string text = std::to_string(whole);
    for (int at = static_cast<int>(text.size()) - 3; at > 0; at -= 3)
        text.insert(static_cast<std::size_t>(at), 1, separator);
    return text;
}

Written random_number(std::mt19937& random) {
    const int whole = std::uniform_int_distribution<int>(0, 3)(random) == 0
                          ? std::uniform_int_distribution<int>(1000, 99999)(random)
                          : std::uniform_int_distribution<int>(1, 200)(random);
    const int tenths = std::uniform_int_distribution<int>(1, 9)(random);
    const double both = whole + tenths / 10.0;
    switch (std::uniform_int_distribution<int>(0, 5)(random)) {
    case 0:
        return {std::to_string(whole), {1.0 * whole}};
    case 1:
        return {fmt::format("{}.{}", whole, tenths), {both}};
    case 2:
        return {fmt::format("{},{}", whole, tenths), {both}};
    case 3: // 1,250: the decimal sign of half the world
        return {with_commas(whole, ','),
                whole >= 1000 ? std::vector{1.0 * whole, whole / 1000.0} : std::vector{1.0 * whole}};
    case 4:
        return {with_commas(whole, ' '), {1.0 * whole}};
    default:
        return {
            fmt::format("{}{}{}", with_commas(whole, whole % 2 == 0 ? '.' : ','), whole % 2 == 0 ? ',' : '.', tenths),
            {both}};
    }
}

std::string in_other_capitals(std::string text, std::mt19937& random) {
    if (random() % 2 == 0)
        for (char& c : text) c = static_cast<char>(random() % 2 == 0 ? std::toupper(c) : std::tolower(c));
    return text;
}

// The spellings that a hint says to write; what stands behind "such as" shows the form of one.
std::vector<std::string> offers_of(const std::string& hint) {
    static const std::regex offer(R"(-?[0-9][0-9.,]*[A-Za-z%(][A-Za-z%/()]*|\b[0-9]+\.[0-9]+\b)");
    const std::string said = std::regex_replace(hint, std::regex(R"(such as [^;]*|from \S+ to .*)"), "");
    std::vector<std::string> offers;
    for (auto at = std::sregex_iterator(said.begin(), said.end(), offer); at != std::sregex_iterator(); ++at)
        offers.push_back(at->str());
    return offers;
}

bool is_one_of(double value, const std::vector<double>& meant) {
    return std::ranges::any_of(meant, [&](double m) { return std::abs(value - m) <= 1e-3 * std::abs(m) + 1e-9; });
}

// What the number is in the unit, in the reader's size; empty where no unit is said or it has another kind.
std::vector<double> meant_by(const Written& number, const Unit& unit, char kind) {
    std::vector<double> meant;
    if (unit.kind == kind || (unit.kind == 'v' && kind == 'r')) // a boil-off of 3 L is so much in an hour
        for (const double m : number.meanings)
            for (const double size : unit.size == 0.0 ? std::vector{3.785411784, 4.54609} : std::vector{unit.size})
                meant.push_back((m + unit.offset) * size);
    return meant;
}

// Where no unit was typed, each unit of the kind may have been meant.
std::vector<double> meant_without_unit(const Written& number, char kind) {
    std::vector<double> meant;
    for (const Unit& unit : units())
        if (unit.kind == kind)
            for (const double m : number.meanings) meant.push_back((m + unit.offset) * unit.size);
    for (const double m : number.meanings)
        if (kind == 'p') meant.push_back(100.0 * m); // 0.05 as a share of one
    return meant;
}

} // namespace

TEST_CASE("any number in any unit is taken as what it means, or its hint holds that, or no figure") {
    const unsigned seed = std::random_device{}();
    CAPTURE(seed);
    std::mt19937 random(seed);
    int taken = 0, offered = 0;
    for (int i = 0; i < 20'000; ++i) {
        const Unit& unit = units()[random() % units().size()];
        const Reader& reader = readers()[random() % readers().size()];
        const Written number = random_number(random);
        const std::string text =
            number.text + (random() % 4 == 0 ? " " : "") + in_other_capitals(unit.spelling, random);
        const auto meant =
            *unit.spelling == '\0' ? meant_without_unit(number, reader.kind) : meant_by(number, unit, reader.kind);
        INFO(reader.name << " from `" << text << "`");
        try {
            CHECK(is_one_of(reader.read(text), meant));
            CHECK(unit.size > 0.0);
            ++taken;
        } catch (const Error& fault) {
            INFO(fault.what() << " | " << fault.hint());
            CHECK(fault.hint() != "");
            for (const auto& offer : offers_of(fault.hint())) {
                INFO("offered " << offer);
                double value = std::nan("");
                CHECK_NOTHROW(value = reader.read(offer));
                CHECK(is_one_of(value, meant));
                ++offered;
            }
        }
    }
    CHECK(taken > 500); // else nothing is tried
    CHECK(offered > 500);
}

TEST_CASE("a price with any signs between its digits is that price, or its hint holds it") {
    const unsigned seed = std::random_device{}();
    CAPTURE(seed);
    std::mt19937 random(seed);
    for (int i = 0; i < 5'000; ++i) {
        const Written number = random_number(random);
        const std::string text = number.text + (random() % 3 == 0 ? "EUR" : "");
        INFO(text);
        try {
            CHECK(is_one_of(static_cast<double>(parse_money_minor(text, "EUR")) / 100.0, number.meanings));
        } catch (const Error& fault) {
            INFO(fault.hint());
            std::smatch found;
            const std::string hint = fault.hint();
            REQUIRE(std::regex_search(hint, found, std::regex("^write ([0-9.]+)(?: or ([0-9.]+))?; ")));
            for (std::size_t k = 1; k < found.size(); ++k)
                if (found[k].matched)
                    CHECK(is_one_of(static_cast<double>(parse_money_minor(found[k].str(), "EUR")) / 100.0,
                                    number.meanings));
        }
    }
}
