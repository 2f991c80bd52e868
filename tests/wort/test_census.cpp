// How much of what is published this library is held to: rows, functions and sources, counted and printed. A table that
// loses rows, a row without a source, or a source the manual does not name fails here.
#include "golden.hpp"
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <map>
#include <set>
#include <string>

using namespace lotwort::test;

namespace {

// The tables of wort and malt, and how many published values each holds at least.
const std::map<std::string, std::size_t> tables{
    {"water_density.tsv", 38}, {"sucrose_density.tsv", 42}, {"nbs440.tsv", 96},        {"plato_sg.tsv", 36},
    {"hydrometer.tsv", 76},    {"alcohol.tsv", 144},        {"refractometer.tsv", 24}, {"colour.tsv", 11},
    {"tinseth.tsv", 148},      {"isomerisation.tsv", 27},   {"hops.tsv", 19},          {"malt.tsv", 30},
    {"malt_ranges.tsv", 42},   {"textbook.tsv", 19},        {"instruments.tsv", 14},   {"precision.tsv", 45},
    {"boiling_point.tsv", 43},
};

std::string manual() {
    std::string text;
    for (const char* page : {"wort", "alcohol", "bitterness", "instruments", "malt"})
        text += project_file(std::string("docs/methods/") + page + ".md");
    return text;
}

bool names(const std::string& text, const std::string& key) {
    for (std::size_t at = text.find(key); at != std::string::npos; at = text.find(key, at + 1)) {
        const auto after = at + key.size();
        if (after == text.size() || (!std::isalnum(static_cast<unsigned char>(text[after])) && text[after] != '_'))
            return true;
    }
    return false;
}

} // namespace

TEST_CASE("what is published, counted") {
    std::set<std::string> ids, functions, sources;
    std::map<std::string, int> statuses;
    std::size_t rows = 0;
    for (const auto& [table, least] : tables) {
        CAPTURE(table);
        const auto found = golden_rows(table);
        CHECK(found.size() >= least);
        rows += found.size();
        for (const auto& row : found) {
            CAPTURE(row.id);
            CHECK(ids.insert(row.id).second); // no row twice
            functions.insert(row.function);
            CHECK_FALSE(row.source.empty());
            sources.insert(row.source);
            ++statuses[row.status];
            CHECK(row.tolerance > 0.0);
        }
    }
    MESSAGE(fmt::format(
        "{} published values of {} functions from {} sources: {} confirmed, {} computed from a published "
        "formula, {} recalled",
        rows, functions.size(), sources.size(), statuses["confirmed"], statuses["computed"], statuses["memory"]));
    CHECK(statuses.size() == 3); // and no other word
    const std::string text = manual();
    for (const auto& source : sources)
        CHECK_MESSAGE(names(text, source), source, " is not among docs/methods' sources");
}
