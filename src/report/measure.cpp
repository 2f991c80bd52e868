#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/measure.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string number(const std::optional<Estimate>& e, int decimals, std::string_view unit = {}) {
    if (!e) return "";
    return fixed(e->value, decimals) + (unit.empty() ? "" : " " + std::string(unit));
}

std::string sd_number(const std::optional<Estimate>& e, int decimals) {
    return e ? fixed(e->sd, decimals) : "";
}

// A stick shows centimetres: what they came to, before the stick is dry.
std::string depth_text(const MeasuredReading& m) {
    if (!m.reading.depth || !m.means.volume_as_read_l) return "";
    const Estimate &read = *m.means.volume_as_read_l, &cold = *m.means.volume_20c_l;
    const std::string at_20 = fmt::format("{} at 20 °C", with_sd(cold.value, cold.sd, "L", 2));
    std::string text = fmt::format("{}: {} cm by the dip table of {}{} is ", m.reading.id,
                                   readable(m.reading.depth->value()), word(m.reading.point),
                                   m.reading.volume_instrument ? ", read by " + *m.reading.volume_instrument : "");
    if (m.reading.volume_at && m.reading.volume_at->value() != 20.0)
        text +=
            fmt::format("{} at {} °C, ", with_sd(read.value, read.sd, "L", 2), readable(m.reading.volume_at->value()));
    return wrapped(text + at_20, 4);
}

} // namespace

namespace {

bool reads_both(const Reading& r) {
    return (r.volume || r.depth || r.mass) && (r.gravity_sg || r.gravity_plato || r.brix);
}

Reading volume_of(Reading r) {
    r.gravity_sg.reset();
    r.gravity_plato.reset();
    r.brix.reset();
    r.gravity_at.reset();
    return r;
}

Reading gravity_of(Reading r) {
    r.volume.reset();
    r.depth.reset();
    r.mass.reset();
    r.volume_at.reset();
    r.temperature.reset();
    r.ph.reset();
    return r;
}

// apart: a volume and a gravity of one reading stand in two rows.
Table readings_table(const std::vector<MeasuredReading>& readings, bool apart) {
    Table table{{{"ID"},
                 {"POINT"},
                 {"READ", Align::left, apart},
                 {"AT 20 °C", Align::right},
                 {"EXTRACT", Align::right},
                 {"IN ALL", Align::right}},
                {}};
    for (const auto& m : readings) {
        const Reading& r = m.reading;
        const std::string litres = number(m.means.volume_20c_l, 2, "L"),
                          extract = number(m.means.extract_plato, 2, "°P"),
                          in_all = number(m.means.extract_kg, 3, "kg"), point(word(r.point));
        if (apart && reads_both(r)) {
            table.rows.push_back({r.id, point, reading_text(volume_of(r)), litres});
            table.rows.push_back({"", "", reading_text(gravity_of(r)), "", extract, in_all});
        } else {
            table.rows.push_back({r.id, point, reading_text(r), litres, extract, in_all});
        }
    }
    return table;
}

std::string readings_text(const std::vector<MeasuredReading>& readings) {
    std::string text = table_text(readings_table(readings, false));
    if (display_width(text.substr(0, text.find('\n'))) > line_width()) text = table_text(readings_table(readings, true));
    // notes beside the figures would cut them short
    for (const auto& m : readings)
        if (const std::string note = reading_note(m.reading); !note.empty())
            text += wrapped(fmt::format("{}: {}", m.reading.id, note), 4);
    for (const auto& m : readings)
        text += m.fault.empty() ? depth_text(m) : wrapped(m.fault + ": it has no figures", 4);
    return text;
}

} // namespace

std::string measure_text(const Measured& measured) {
    std::string text = measured.readings.empty()
                           ? fmt::format("no readings of {} yet; next: lotwort measure {} kettle-full VOLUME GRAVITY\n",
                                         measured.brew, shell_word(measured.brew))
                           : readings_text(measured.readings);
    for (const auto& remark : measured.remarks) text += wrapped(remark, 2);
    if (measured.booked != nullptr) text += booked_line(*measured.booked);
    return text;
}

std::string measure_csv(const Measured& measured) {
    std::string csv =
        csv_row({"brew", "id", "point", "read", "volume_20c_l", "extract_plato", "extract_kg", "set_aside",
                 "volume_as_read_l", "volume_20c_sd_l", "extract_sd_plato", "extract_sd_kg"});
    for (const auto& m : measured.readings)
        csv += csv_row({measured.brew, m.reading.id, std::string(word(m.reading.point)), reading_text(m.reading),
                        number(m.means.volume_20c_l, 4), number(m.means.extract_plato, 4),
                        number(m.means.extract_kg, 5), m.reading.set_aside.value_or(""),
                        number(m.means.volume_as_read_l, 4), sd_number(m.means.volume_20c_l, 4),
                        sd_number(m.means.extract_plato, 4), sd_number(m.means.extract_kg, 5)});
    return csv;
}

std::string measure_json(const Measured& measured) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/measure/1").field("brew", measured.brew).key("readings").begin_array();
    for (const auto& m : measured.readings) {
        w.begin_object().key("reading");
        write_json(w, m.reading);
        const auto figure = [&](std::string_view name, std::string_view sd_name, const std::optional<Estimate>& e) {
            if (e) w.field(name, e->value).field(sd_name, e->sd);
        };
        figure("volume_as_read_l", "volume_as_read_sd_l", m.means.volume_as_read_l);
        figure("volume_20c_l", "volume_20c_sd_l", m.means.volume_20c_l);
        figure("extract_plato", "extract_sd_plato", m.means.extract_plato);
        figure("extract_kg", "extract_sd_kg", m.means.extract_kg);
        w.end_object();
    }
    w.end_array().field("remarks", measured.remarks);
    if (measured.booked != nullptr) booked_fields(w, *measured.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
