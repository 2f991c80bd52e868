// Fifty-eight shortages with the answer an experienced brewer would give, written down before the program was asked
// (tests/golden/brewers_panel.tsv: which lines stay, who stands in, about how much, and why).
#include "golden.hpp"
#include "near.hpp"
#include "plan/brewers_store.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/verify_substitution.hpp>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

struct PanelRow {
    std::string id, brew, lacks, beside, answer, why;
};

std::vector<PanelRow> panel() {
    std::vector<PanelRow> rows;
    std::istringstream in(project_file("tests/golden/brewers_panel.tsv"));
    std::string line;
    std::getline(in, line); // the header
    while (std::getline(in, line)) {
        std::vector<std::string> cells;
        std::istringstream parts(line);
        for (std::string cell; std::getline(parts, cell, '\t');) cells.push_back(cell);
        REQUIRE(cells.size() == 6);
        rows.push_back({cells[0], cells[1], cells[2], cells[3], cells[4], cells[5]});
    }
    return rows;
}

std::map<std::string, double> changed_grams(const SubstituteRequest& request, const SubstituteAnswer& answer) {
    std::map<std::string, double> grams;
    for (const AnswerLine& line : answer.lines) {
        if (!line.changed) continue;
        const auto state = std::ranges::find(request.lots, line.lot, [](const LotState& s) { return s.lot.code; });
        grams[state->lot.item] += 1000.0 * line.mass_kg;
    }
    return grams;
}

bool is_as_written(const std::map<std::string, double>& grams, const std::string& answer) {
    const auto wanted = named_amounts(answer, '+');
    if (wanted.size() != grams.size()) return false;
    return std::ranges::all_of(wanted, [&](const Named& one) {
        const auto at = grams.find(one.name);
        return at != grams.end() && std::abs(at->second - one.grams) <= std::stod(one.tail);
    });
}

} // namespace

TEST_CASE("a panel of shortages is answered as an experienced brewer would") {
    int rows = 0;
    for (const PanelRow& row : panel()) {
        CAPTURE(row.id);
        CAPTURE(row.why);
        ++rows;
        auto request = short_brew(row.brew, row.lacks, row.beside);
        request.kinds = {AnswerKind::nearest};
        const Substitution found = substitute(request);
        REQUIRE(found.shortages.lines.size() == 1);
        if (row.answer == "none") {
            CHECK(found.answers.empty());
            CHECK(found.none.size() == 1);
            continue;
        }
        if (found.answers.empty()) {
            FAIL_CHECK(found.none[0].reason);
            continue;
        }
        const SubstituteAnswer& answer = found.answers[0];
        for (const auto& breach : breaches(request, answer)) FAIL_CHECK(breach);
        const auto grams = changed_grams(request, answer);
        std::string given;
        for (const auto& [name, g] : grams) given += name + " " + std::to_string(g) + " ";
        CAPTURE(given);
        bool any = false;
        std::istringstream choices(row.answer);
        for (std::string choice; std::getline(choices, choice, '|');) any = any || is_as_written(grams, choice);
        CHECK_MESSAGE(any, row.answer);
    }
    CHECK(rows >= 40);
}
