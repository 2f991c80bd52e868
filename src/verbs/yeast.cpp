#include "yeast.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/stock/yeast.hpp>

namespace lotwort::verbs {

namespace {

[[noreturn]] void refuse_cells(const std::string& text) {
    throw Error(ErrorKind::refused, fmt::format("`{}` is no number of yeast cells", text),
                "write such as 100billion/pack, 10billion/g or 1.2billion/mL");
}

} // namespace

std::string packs_counted(const std::string& typed) {
    const auto digits = typed.find_first_not_of("0123456789");
    if (digits == 0 || digits == std::string::npos) return typed;
    const auto from = typed.find_first_not_of(' ', digits);
    const std::string unit = lowered(from == std::string::npos ? "" : typed.substr(from));
    constexpr std::string_view packs[] = {"pack", "packet", "sachet", "vial", "pouch"};
    const bool is_packs = std::ranges::any_of(packs, [&](std::string_view one) {
        return unit == one || unit == fmt::format("{}s", one) || unit == fmt::format("{}es", one);
    });
    return is_packs ? typed.substr(0, digits) + "pieces" : typed;
}

TypedCells parse_cells(const std::string& text) {
    constexpr std::string_view unit = "billion/";
    const auto at = text.find(unit);
    if (at == std::string::npos || at == 0) refuse_cells(text);
    const auto per = from_word<CellsPer>(lowered(text.substr(at + unit.size())));
    if (!per) refuse_cells(text);
    return {parse_number(text.substr(0, at), "number of billions", range_of<Item>("cells_billion")), *per};
}

double cells_of_lot(const TypedCells& typed, const Lot& lot) {
    const Measure measure = lot.received_amount.measure;
    if (measure_of(typed.per) != measure)
        throw Error(
            ErrorKind::refused,
            fmt::format("--cells: {} is received, and its cells are stated otherwise", to_text(lot.received_amount)),
            measure == Measure::mass     ? "write such as --cells 10billion/g"
            : measure == Measure::volume ? "write such as --cells 1.2billion/mL"
                                         : "write such as --cells 100billion/pack");
    return typed.billion;
}

double parse_pitch(const std::string& text) {
    return parse_number(text, "number of million cells per mL and °P", range_of<Item>("pitch_million_per_ml_plato"));
}

} // namespace lotwort::verbs
