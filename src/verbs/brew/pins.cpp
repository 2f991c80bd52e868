#include "pins.hpp"
#include "shared.hpp"
#include "stock/lot_day.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace lotwort::verbs {

std::vector<Pin> parse_pins(const Call& call, const std::vector<LotState>& lots) {
    std::vector<Pin> pins = read_each(call, "pin", [&](const std::string& text) {
        auto of = parse_of_lot(text, lots);
        return Pin{std::move(of.lot), of.amount};
    });
    for (auto pin = pins.begin(); pin != pins.end(); ++pin)
        if (std::find_if(pins.begin(), pin, [&](const Pin& other) { return other.lot == pin->lot; }) != pin)
            throw Error(ErrorKind::refused, fmt::format("--pin names {} twice", pin->lot), "write it once");
    return pins;
}

} // namespace lotwort::verbs
