#include <lotwort/brew/late_extract.hpp>
#include <lotwort/stock/fermentable.hpp>

namespace lotwort {

bool counts_late(const Item& item, const Lot* lot) {
    if (item.kind == ItemKind::sugar) return true;
    const bool on_paper = lot != nullptr && lot->certificate && lot->certificate->extract;
    return item.kind == ItemKind::other && (item.extract || on_paper);
}

void add_late(wort::LateExtract& late, const Item& item, double kg, double extract_as_is) {
    const double extract = kg * extract_as_is;
    late.extract_kg += extract;
    late.fermentable_kg += extract * fermentable_share(item).value;
    late.water_kg += kg - extract;
}

} // namespace lotwort
