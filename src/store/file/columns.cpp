#include "columns.hpp"
#include <lotwort/core/utf8.hpp>

namespace lotwort::store {

void check_range(std::string_view whose, std::string_view field, double value, Range range) {
    if (range.holds(value)) return;
    throw Error(ErrorKind::refused,
                fmt::format("{}: {} is {}, which is not from {} to {}", whose, field, value, range.least, range.most));
}

void check_text(std::string_view whose, std::string_view field, std::string_view text) {
    if (const auto hidden = find_hidden(text))
        throw Error(ErrorKind::refused, fmt::format("{}: {} holds {}", whose, field, hidden_words(*hidden)),
                    "type it anew, on one line");
}

double in_range_unit(Amount amount) {
    return amount.measure == Measure::count ? static_cast<double>(amount.units)
                                            : static_cast<double>(amount.units) / 1e6;
}

Amount read_amount(Query& query) {
    Amount amount;
    for (const auto measure : {Measure::mass, Measure::volume, Measure::count})
        if (const auto units = query.read_integer_or_null()) amount = {measure, *units};
    return amount;
}

Date read_date(Query& query) {
    const auto text = query.read_text();
    const auto day = parse_iso_date(text);
    if (!day) query.refuse_value(text);
    return *day;
}

} // namespace lotwort::store
