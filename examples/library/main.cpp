// What a lot of malt gives: its certificate in, extract as is out with its uncertainty. Then how many lots a ledger
// holds and whether it is sound, where one is named.
#include <cstdio>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/store/ledger.hpp>

using namespace lotwort;

int main(int argc, char** argv) {
    Item item;
    item.name = "pale ale malt";
    Lot lot;
    lot.item = item.name;
    lot.received = *parse_iso_date("2026-03-01");
    lot.certificate.emplace();
    lot.certificate->extract = Percent(81.5);
    lot.certificate->extract_basis = ExtractBasis::fine_dry;
    lot.certificate->moisture = Percent(4.2);

    const MaltFigures figures = malt_figures(item, lot, lot.received);
    std::printf("extract as is: %.1f +- %.1f %%\n", 100.0 * figures.extract_as_is.value,
                100.0 * figures.extract_as_is.sd);

    if (argc > 1) try {
            const Ledger ledger(argv[1], Access::read);
            std::printf("%zu lots, %zu faults\n", ledger.lots().size(), ledger.verify().size());
        } catch (const Error& e) {
            std::fprintf(stderr, "%s\n", e.what());
            return 1;
        }
    return 0;
}
