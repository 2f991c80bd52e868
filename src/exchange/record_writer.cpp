#include "record_writer.hpp"
#include <array>
#include <charconv>

namespace lotwort {

std::string decimal_text(std::int64_t units, int digits) {
    std::array<char, 24> buffer{};
    const auto written = std::to_chars(buffer.begin(), buffer.end(), units);
    std::string text(buffer.data(), written.ptr);
    const std::size_t sign = units < 0 ? 1 : 0;
    const auto places = static_cast<std::size_t>(digits);
    if (text.size() < sign + places + 1) text.insert(sign, sign + places + 1 - text.size(), '0');
    text.insert(text.size() - places, ".");
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

void write_amount(JsonWriter& w, Amount amount, bool in_grams) {
    switch (amount.measure) {
    case Measure::mass:
        w.key(in_grams ? "mass_g" : "mass_kg").number_text(decimal_text(amount.units, in_grams ? 3 : 6));
        return;
    case Measure::volume:
        w.key("volume_l").number_text(decimal_text(amount.units, 6));
        return;
    case Measure::count:
        w.key("count").value(amount.units);
        return;
    }
}

} // namespace lotwort
