// What the open plans of a ledger lack, and what may stand in for it: fill_shortage LEDGER TODAY
#include <cstdio>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/substitute_request.hpp>

using namespace lotwort;

int main(int argc, char** argv) try {
    const auto today = argc == 3 ? parse_iso_date(argv[2]) : std::nullopt;
    if (!today) {
        std::fprintf(stderr, "usage: fill_shortage LEDGER YYYY-MM-DD\n");
        return 2;
    }
    Ledger ledger(argv[1], Access::picture);
    const Book book = ledger.definitions();
    const Desk desk{ledger, *today};
    plan::SubstituteRequest request = substitute_request(desk, book, plans_to_fill(desk, book, {}));
    request.kinds = {plan::AnswerKind::nearest};

    const plan::Substitution found = plan::substitute(request);
    for (const plan::Shortage& lack : found.shortages.lines)
        std::printf("%s lacks %s of %s\n", lack.brew.c_str(), to_text(lack.missing).c_str(), lack.item.c_str());
    if (found.shortages.lines.empty()) std::printf("no brew lacks anything\n");
    for (const plan::SubstituteAnswer& answer : found.answers)
        for (const plan::AnswerLine& line : answer.lines)
            if (line.changed)
                std::printf("%s: %.3f kg of %s for %s\n", line.brew.c_str(), line.mass_kg, line.lot.c_str(),
                            line.recipe_item.c_str());
    for (const plan::NoAnswer& none : found.none) std::printf("no answer: %s\n", none.reason.c_str());
    return 0;
} catch (const Error& e) {
    std::fprintf(stderr, "%s\n", e.what());
    return 1;
}
