// How long substitutions take: 8 planned brews with 40 lots, 52 with 200 (argument `large`, then how plentiful the
// stock is, 1.25 unless given, the seed, and a kind), a line a kind; and the solver called by us beside the solver's
// own program on the model written out, in turns (`raw`; needs Debian's coinor-cbc).
#include "plan/brewery.hpp"
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <lotwort/plan/verify_substitution.hpp>
#include <random>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

// Brews a week apart, each of four malts and three hops; lots of 12 items that hold about as much as is asked for.
SubstituteRequest drawn(std::size_t brews, std::size_t lots, unsigned seed, double plenty) {
    std::mt19937 engine(seed);
    const auto chance = [&](double low, double high) { return low + (high - low) * double(engine() % 100001U) / 1e5; };
    SubstituteRequest request;
    request.items = {malt("pale", "base", 81.5, 4.0, 6.0, 160.0),
                     malt("lager", "base", 81.0, 4.5, 3.5, 260.0),
                     malt("mild", "base", 80.0, 4.5, 7.0, 140.0),
                     malt("munich", "high-kilned", 80.0, 4.5, 16.0, 80.0),
                     malt("vienna", "high-kilned", 80.5, 4.5, 9.0, 110.0),
                     malt("crystal", "caramel", 75.0, 5.0, 120.0, 0.0),
                     malt("dark crystal", "caramel", 74.0, 5.0, 150.0, 0.0),
                     hop("bitter", 12.0, "resin"),
                     hop("bold", 9.0, "resin"),
                     hop("floral", 5.0, "floral"),
                     hop("blossom", 4.2, "floral"),
                     hop("meadow", 6.0, "floral")};
    for (std::size_t b = 0; b < brews; ++b) {
        BrewToFill brew = pale_ale(("P" + std::to_string(b + 1)).c_str(), "2026-03-01");
        brew.date += std::chrono::days(7 * b);
        const double kg = 0.1 * std::round(chance(120.0, 240.0));
        brew.recipe.grist = {{request.items[b % 3].name, {}, Kilograms(kg)},
                             {request.items[3 + b % 2].name, {}, Kilograms(0.1 * std::round(kg))},
                             {request.items[5 + b % 2].name, {}, Kilograms(0.05 * std::round(kg))}};
        brew.recipe.hops[0].item = request.items[7 + b % 2].name;
        brew.recipe.hops[1].item = request.items[9 + b % 3].name;
        request.brews.push_back(brew);
    }
    for (std::size_t l = 0; l < lots; ++l) {
        const Item& item = request.items[l % 12];
        // of each sort one item runs short, and its like are there
        const bool scarce = l % 12 == 0 || l % 12 == 3 || l % 12 == 5 || l % 12 == 7 || l % 12 == 9;
        const double share = item.kind == ItemKind::hop ? 0.13 : l % 12 < 3 ? 6.5 : l % 12 < 5 ? 1.2 : 0.6;
        const double kg = 0.01 * std::round(100.0 * share * chance(0.5, 1.5) * plenty * (scarce ? 0.2 : 1.5) *
                                            double(brews) * 12.0 / double(lots));
        LotState state = lot(("L" + std::to_string(l + 1)).c_str(), item.name.c_str(), kg);
        state.lot.best_before = day("2027-06-01") + std::chrono::days(int(chance(0.0, 300.0)));
        state.lot.price = Money{std::llround(kg * chance(80.0, 160.0))};
        Certificate paper;
        if (item.colour) paper.colour = Ebc(item.colour->value() * chance(0.9, 1.1));
        if (item.alpha) paper.alpha = Percent(item.alpha->value() * chance(0.9, 1.1));
        state.lot.certificate = paper;
        request.lots.push_back(state);
    }
    request.today = day("2026-02-01");
    return request;
}

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
    return std::chrono::duration<double>(Clock::now() - start).count();
}

void time_kinds(const char* name, SubstituteRequest request, double seconds, const char* only) {
    request.limits.seconds = seconds;
    for (const AnswerKind kind :
         {AnswerKind::nearest, AnswerKind::cheapest, AnswerKind::oldest, AnswerKind::smaller, AnswerKind::reschedule}) {
        if (only != nullptr && word(kind) != only) continue;
        request.kinds = {kind};
        SubstituteRequest hasty = request; // what is there at once
        hasty.limits.seconds = 0.1;
        auto start = Clock::now();
        const auto soon = substitute(hasty);
        const double first = seconds_since(start);
        const std::clock_t used = std::clock();
        start = Clock::now();
        const auto found = substitute(request);
        const double took = seconds_since(start), processor = double(std::clock() - used) / CLOCKS_PER_SEC;
        if (found.answers.empty())
            std::printf("%-8s %-9s %6.2f s  none: %s\n", name, std::string(word(kind)).c_str(), took,
                        found.none.at(0).reason.c_str());
        else
            std::printf("%-8s %-9s first %5.2f s (gap %.2f %%), all %6.2f s (processor %.2f s)  objective %.4f gap "
                        "%.4f %% breaches %zu short "
                        "%zu brews %zu left %zu\n",
                        name, std::string(word(kind)).c_str(), first,
                        soon.answers.empty() ? 100.0 : 100.0 * soon.answers[0].gap, took, processor,
                        found.answers[0].objective, 100.0 * found.answers[0].gap,
                        breaches(request, found.answers[0]).size(), found.shortages.lines.size(),
                        found.answers[0].effect.size(), found.answers[0].left.size());
        std::fflush(stdout);
    }
}

// Both to a gap of 0.01 %, preprocessing on, one thread; theirs has the file to read besides.
void beside_raw() {
    const auto request = drawn(8, 40, 1, 1.25);
    for (const AnswerKind kind : {AnswerKind::nearest, AnswerKind::cheapest, AnswerKind::oldest}) {
        const Mip model = substitution_mip(request, kind);
        const char* path = "/tmp/substitute_speed.mps";
        std::FILE* file = std::fopen(path, "w");
        if (file == nullptr) return;
        const std::string text = to_mps(model, std::string(word(kind)));
        std::fwrite(text.data(), 1, text.size(), file);
        std::fclose(file);
        const std::string raw =
            std::string("cbc ") + path + " -preprocess on -ratioGap 1e-4 -solve -quit >/dev/null 2>&1";
        MipOptions options;
        options.relative_gap = options.absolute_gap = 1e-4;
        double ours = 1e9, theirs = 1e9;
        for (int round = 0; round < 7; ++round) {
            auto start = Clock::now();
            (void)solve(model, options);
            ours = std::min(ours, seconds_since(start));
            start = Clock::now();
            if (std::system(raw.c_str()) != 0) return (void)std::puts("cbc is not installed");
            theirs = std::min(theirs, seconds_since(start));
        }
        std::printf("%-9s ours %.3f s, the solver's own program %.3f s: %.2f times (least of 7, in turns)\n",
                    std::string(word(kind)).c_str(), ours, theirs, ours / theirs);
    }
}

} // namespace

int main(int argc, char** argv) {
    if (argc > 1 && std::strcmp(argv[1], "raw") == 0) {
        beside_raw();
        return 0;
    }
    if (argc < 2) time_kinds("8x40", drawn(8, 40, 1, 1.25), 10.0, nullptr);
    if (argc > 1 && std::strcmp(argv[1], "large") == 0)
        time_kinds("52x200",
                   drawn(52, 200, argc > 3 ? unsigned(std::atoi(argv[3])) : 2, argc > 2 ? std::atof(argv[2]) : 1.25),
                   25.0, argc > 4 ? argv[4] : nullptr);
    return 0;
}
