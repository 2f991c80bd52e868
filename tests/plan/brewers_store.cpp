#include "plan/brewers_store.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <sstream>

namespace lotwort::test {

std::vector<Named> named_amounts(const std::string& words, char between) {
    std::vector<Named> all;
    std::istringstream in(words);
    for (std::string part; std::getline(in, part, between);) {
        Named one;
        const auto at = part.find('=');
        one.name = part.substr(0, at);
        one.grams = std::numeric_limits<double>::quiet_NaN();
        if (at != part.npos) {
            const auto tail = part.find_first_of("@~", at);
            one.grams = std::stod(part.substr(at + 1, tail - at - 1));
            if (tail != part.npos) one.tail = part.substr(tail + 1);
        }
        all.push_back(std::move(one));
    }
    return all;
}

std::string lot_named(std::string item) {
    std::ranges::replace(item, ' ', '-');
    return item;
}

plan::BrewToFill brew_in_words(const std::string& words, const char* code, const char* date) {
    plan::BrewToFill brew;
    brew.code = code;
    brew.date = day(date);
    brew.volume = brew.brewhouse.volume = brew.recipe.volume = Litres(20.0);
    brew.brewhouse.name = "house";
    brew.recipe.name = code;
    brew.recipe.boil = Minutes(60.0);
    const auto bar = words.find('|');
    for (const Named& malt : named_amounts(words.substr(0, bar))) {
        if (malt.name == "dextrose")
            brew.recipe.others.push_back({malt.name, Stage::kettle, {}, to_kilograms(Grams(malt.grams)), {}, {}});
        else
            brew.recipe.grist.push_back({malt.name, {}, to_kilograms(Grams(malt.grams))});
    }
    for (const Named& hop : named_amounts(words.substr(bar + 1))) {
        HopLine line;
        line.item = hop.name;
        line.mass = Grams(hop.grams);
        line.stage = hop.tail == "dry" ? Stage::dry : hop.tail == "stand" ? Stage::stand : Stage::boil;
        if (line.stage == Stage::boil) line.minutes = Minutes(std::stod(hop.tail));
        if (line.stage == Stage::stand) line.minutes = Minutes(20.0);
        brew.recipe.hops.push_back(line);
    }
    return brew;
}

plan::SubstituteRequest short_brew(const std::string& brew, const std::string& lacks, const std::string& beside) {
    plan::SubstituteRequest request;
    request.items = brewers_items();
    request.brews = {brew_in_words(brew, "P1", "2026-03-01")};
    request.today = day("2026-02-01");
    std::string all = brew;
    std::ranges::replace(all, '|', ',');
    for (Named& asked : named_amounts(all)) {
        for (const Named& lack : named_amounts(lacks))
            if (lack.name == asked.name) asked.grams -= lack.grams;
        if (asked.grams > 0.0)
            request.lots.push_back(lot(lot_named(asked.name).c_str(), asked.name.c_str(), asked.grams / 1000.0));
    }
    for (const Named& other : named_amounts(beside))
        request.lots.push_back(lot((lot_named(other.name) + "-B").c_str(), other.name.c_str(),
                                   std::isnan(other.grams) ? 25.0 : other.grams / 1000.0));
    return request;
}

} // namespace lotwort::test
