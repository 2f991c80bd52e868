#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/measure.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string number(const std::optional<double>& value, int decimals, std::string_view unit = {}) {
    if (!value) return "";
    return fixed(*value, decimals) + (unit.empty() ? "" : " " + std::string(unit));
}

} // namespace

std::string measure_text(const Measured& measured) {
    std::string text;
    if (measured.readings.empty())
        text = fmt::format("no readings of {} yet; next: lotwort measure {} kettle-full 28L@95C 1.040@20C\n",
                           measured.brew, measured.brew);
    else {
        const bool noted =
            std::ranges::any_of(measured.readings, [](const auto& m) { return !reading_note(m.reading).empty(); });
        Table table{{{"ID"},
                     {"POINT"},
                     {"READ", Align::left, true},
                     {"AT 20 °C", Align::right},
                     {"EXTRACT", Align::right},
                     {"IN ALL", Align::right}},
                    {}};
        if (noted) table.columns.push_back({"NOTE", Align::left, true});
        for (const auto& m : measured.readings) {
            table.rows.push_back({m.reading.id, std::string(word(m.reading.point)), reading_text(m.reading),
                                  number(m.volume_l, 2, "L"), number(m.extract_plato, 2, "°P"),
                                  number(m.extract_kg, 3, "kg")});
            if (noted) table.rows.back().push_back(reading_note(m.reading));
        }
        text = table_text(table);
    }
    for (const auto& remark : measured.remarks) text += wrapped(remark, 2);
    if (measured.booked != nullptr) text += booked_line(*measured.booked);
    return text;
}

std::string measure_csv(const Measured& measured) {
    std::string csv =
        csv_row({"brew", "id", "point", "read", "volume_20c_l", "extract_plato", "extract_kg", "set_aside"});
    for (const auto& m : measured.readings)
        csv += csv_row({measured.brew, m.reading.id, std::string(word(m.reading.point)), reading_text(m.reading),
                        number(m.volume_l, 4), number(m.extract_plato, 4), number(m.extract_kg, 5),
                        m.reading.set_aside.value_or("")});
    return csv;
}

std::string measure_json(const Measured& measured) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/measure/1").field("brew", measured.brew).key("readings").begin_array();
    for (const auto& m : measured.readings) {
        w.begin_object().key("reading");
        write_json(w, m.reading);
        w.field("volume_20c_l", m.volume_l).field("extract_plato", m.extract_plato).field("extract_kg", m.extract_kg);
        w.end_object();
    }
    w.end_array().field("remarks", measured.remarks);
    if (measured.booked != nullptr) booked_fields(w, *measured.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
