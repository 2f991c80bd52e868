#include "run.hpp"
#include "brew/weighing.hpp"
#include "stock/lot_day.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/packaged_beer.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/wort/carbonation.hpp>

namespace lotwort::verbs {

namespace {

constexpr double usual_g_per_l = 5.0; // of sugar, where one is shown how to write it
constexpr double most_gas = 12.0;     // g/L; 6 volumes, more than any bottle is sold for

// Of one gram of the lot.
double yeast_takes(const Lot& lot, const Book& book, Date on) {
    const Item& item = known_item(book, lot.item);
    const double share = fermentable_g(item, lot, Amount::of(Grams(1.0)), on);
    if (share > 0.0) return share;
    throw Error(ErrorKind::refused,
                fmt::format("{} of {} gives beer no gas: it is no sugar that yeast takes", lot.code, lot.item),
                "prime with a sugar, such as sucrose or dextrose");
}

// Whole grams where there are enough of them to weigh so.
Amount weighed(double grams) {
    return Amount::of(Grams(grams >= 20.0 ? std::round(grams) : std::round(grams * 10.0) / 10.0));
}

} // namespace

void parse_filled(const Call& call, Package& package) {
    const auto& words = call.args.all("WHAT");
    bool is_sized = false;
    for (const std::string& word : words) {
        if (word[0] >= '0' && word[0] <= '9') {
            if (is_sized)
                throw Error(ErrorKind::usage, fmt::format("`{}` is a second size", word),
                            "one run holds packages of one size; book the others as another run");
            package.each = parse_volume(word, range_of<Package>("each_l"));
            is_sized = true;
        } else {
            package.container = package.container ? *package.container + " " + word : parse_name(word, "container");
        }
    }
    if (!is_sized)
        throw Error(ErrorKind::usage, "how much is in each?",
                    fmt::format("write: lotwort package {} {} bottles 0.5L", shell_word(package.brew),
                                call.args.required("COUNT")));
    package.count = static_cast<int>(parse_whole(call.args.required("COUNT"), "number of packages", 1, 1'000'000));
}

double parse_gas(const std::string& text) {
    const auto unit = text.find_first_not_of("0123456789.,");
    const std::string figure = text.substr(0, unit), of = unit == std::string::npos ? "" : text.substr(unit);
    const bool grams = of == "g/L" || of == "g/l", volumes = of == "vol" || of == "vols" || of == "volumes";
    if (figure.empty() || (!grams && !volumes))
        throw Error(ErrorKind::refused, fmt::format("`{}` is no amount of carbon dioxide", text),
                    figure.empty() || !of.empty()
                        ? std::string("write it in a litre or in volumes, such as 5g/L or 2.5vol")
                        : fmt::format("write {0}g/L or {0}vol", figure));
    const double most = grams ? most_gas : most_gas / wort::carbon_dioxide_g_per_volume;
    const double value =
        parse_number(figure, grams ? "carbon dioxide in g/L" : "carbon dioxide in volumes", {0.1, most});
    return grams ? value : value * wort::carbon_dioxide_g_per_volume;
}

int parse_packages(const std::string& text, int there) {
    return text == "all" ? there : static_cast<int>(parse_whole(text, "number of packages", 1, 1'000'000));
}

std::vector<Addition> parse_priming(Call& call, const Package& package, const Book& book,
                                    const std::vector<LotState>& lots) {
    std::vector<Addition> additions;
    const auto typed = read_each(call, "prime", [&](const std::string& text) { return parse_of_lot(text, lots); });
    for (const OfLot& primed : typed) {
        const Lot& lot = lot_among(lots, primed.lot).lot;
        const double share = yeast_takes(lot, book, package.on);
        if (!primed.amount && typed.size() > 1)
            throw Error(ErrorKind::refused, fmt::format("how much of {}?", primed.lot),
                        "say it of each where there are several: --prime LOT=AMOUNT");
        if (!primed.amount && !package.carbon_dioxide)
            throw Error(ErrorKind::usage, fmt::format("how much of {}?", primed.lot),
                        fmt::format("write --prime {0}={1}, or what gas it is to give: --prime {0} --gas 5g/L",
                                    shell_word(primed.lot),
                                    typed_text(weighed(usual_g_per_l * packaged_volume(package).value()))));
        if (primed.amount && package.carbon_dioxide)
            throw Error(ErrorKind::refused, "--gas says how much to prime with, and --prime says it too",
                        fmt::format("write --prime {} --gas 5g/L, or leave --gas out", primed.lot));
        const Amount amount = primed.amount ? *primed.amount : weighed(priming_wanted_g(package) / share);
        if (amount.units == 0)
            throw Error(ErrorKind::refused,
                        fmt::format("nothing of {} is needed: the beer holds as much gas by itself", primed.lot),
                        "leave --prime out, or look at --warmest");
        additions.push_back({lot.code, Stage::fermenter, amount, {}, package.on, {}, {}, {}, package.code});
    }
    return additions;
}

} // namespace lotwort::verbs
