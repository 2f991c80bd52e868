#include "range.hpp"
#include <fmt/format.h>
#include <limits>

namespace lotwort::wort {

std::string number(double value) {
    return fmt::format("{:.6g}", value);
}

void require_range(double value, double least, double most, std::string_view what) {
    if (value >= least && value <= most) return;
    if (most == std::numeric_limits<double>::max() && value < least)
        throw Error(ErrorKind::refused, fmt::format("{}: {:.6g} is below {:.6g}", what, value, least),
                    "give a larger value; check the unit");
    throw Error(ErrorKind::refused, fmt::format("{}: {:.6g} is outside {:.6g} to {:.6g}", what, value, least, most),
                "give a value in that range; check the unit");
}

void require_extract(Plato extract) {
    require_range(extract.value(), least_plato, most_plato, "extract in Plato");
}

void require_temperature(Celsius at) {
    require_range(at.value(), least_wort_c, most_wort_c, "temperature in C");
}

} // namespace lotwort::wort
