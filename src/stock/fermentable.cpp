#include <lotwort/stock/fermentable.hpp>
#include <lotwort/stock/kinds.hpp>

namespace lotwort {

Figure fermentable_share(const Item& sugar) {
    const KindOfItem* const kind = kind_within(sugar);
    const std::string_view family = kind != nullptr ? kind->family : std::string_view();
    if (family == "plain" || family == "maple") return {1.0, 0.01, Origin::typical};
    if (family == "honey") return {0.95, 0.03, Origin::typical};
    if (family == "dark") return {0.9, 0.07, Origin::typical};
    if (family == "malt extract") return {0.65, 0.06, Origin::typical};
    if (family == "unfermentable") return {0.0, 0.02, Origin::typical};
    return {0.95, 0.07, Origin::typical};
}

} // namespace lotwort
