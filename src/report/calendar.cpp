#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/utf8.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/calendar.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

constexpr std::size_t most_lines = 24;
constexpr std::size_t square = 10, most_bytes = 75; // columns of a day; bytes of a line (RFC 5545, 3.1)
constexpr std::array<std::string_view, 7> days{"MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN"};

std::string in_square(std::string_view text) {
    std::string cut;
    std::size_t at = 0;
    const bool fits = display_width(text) <= square;
    while (at < text.size()) {
        const std::size_t length = std::max<std::size_t>(1, code_point_at(text, at).length);
        const std::string next = cut + std::string(text.substr(at, length));
        if (display_width(next) > (fits ? square : square - 1)) break;
        cut = next;
        at += length;
    }
    if (!fits) cut += "…";
    return cut + std::string(square - display_width(cut), ' ');
}

std::string line_of(const std::array<std::string, 7>& cells) {
    std::string line;
    for (const std::string& cell : cells) line += in_square(cell) + " ";
    return line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
}

// RFC 5545, 3.3.11
std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '\n') {
            out += "\\n";
            continue;
        }
        if (c == '\\' || c == ';' || c == ',') out += '\\';
        if (static_cast<unsigned char>(c) >= ' ') out += c;
    }
    return out;
}

// A line that goes on begins with a blank; no letter is broken.
std::string folded(std::string_view line) {
    std::string out;
    std::size_t used = 0;
    for (std::size_t at = 0; at < line.size();) {
        const std::size_t length = std::max<std::size_t>(1, code_point_at(line, at).length);
        if (used + length > most_bytes) {
            out += "\r\n ";
            used = 1;
        }
        out += line.substr(at, length);
        used += length;
        at += length;
    }
    return out + "\r\n";
}

std::string compact(Date day) {
    std::string text = to_iso(day);
    std::erase(text, '-');
    return text;
}

} // namespace

namespace {

Date last_of_month(Date first) {
    const std::chrono::year_month_day month(first);
    return Date(month.year() / month.month() / std::chrono::last);
}

// "B12 till 17, P3 from 18", days of the month alone.
std::string tank_line(const TankState& state, Date first, Date last) {
    std::vector<std::string> parts;
    const auto number = [](Date day) { return static_cast<unsigned>(std::chrono::year_month_day(day).day()); };
    for (const TankUse& use : state.uses) {
        if (use.from > last || (use.till && *use.till < first)) continue;
        std::string part = use.by;
        if (use.from >= first) part += fmt::format(" from {}", number(use.from));
        if (use.is_overdue)
            part += " still";
        else if (use.till && *use.till <= last)
            part += fmt::format(" till {}", number(*use.till));
        parts.push_back(std::move(part));
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

} // namespace

std::string month_text(const std::vector<CalendarEvent>& events, const std::vector<TankState>& tanks, Date first) {
    const Date last = last_of_month(first);
    std::array<std::string, 7> cells;
    for (std::size_t i = 0; i < 7; ++i) cells[i] = days[i];
    std::string text = to_iso(first).substr(0, 7) + "\n" + line_of(cells);
    const auto column = [](Date day) { return std::chrono::weekday(day).iso_encoding() - 1; };
    for (Date monday = first - std::chrono::days(column(first)); monday <= last; monday += std::chrono::days(7)) {
        std::array<std::array<std::string, 7>, 3> lines;
        for (std::size_t i = 0; i < 7; ++i) {
            const Date day = monday + std::chrono::days(i);
            if (day < first || day > last) continue;
            lines[0][i] = std::to_string(static_cast<unsigned>(std::chrono::year_month_day(day).day()));
            std::vector<std::string> of_day;
            for (const CalendarEvent& event : events)
                if (event.on == day) of_day.push_back(event.brief);
            if (!of_day.empty()) lines[1][i] = of_day[0];
            if (of_day.size() == 2) lines[2][i] = of_day[1];
            if (of_day.size() > 2) lines[2][i] = fmt::format("{} more", of_day.size() - 1);
        }
        for (std::size_t i = 0; i < 3; ++i)
            if (const std::string line = line_of(lines[i]); i == 0 || line != "\n") text += line;
    }
    Table table{{{"TANK"}, {"HOLDS", Align::left, true}}, {}};
    for (const TankState& state : tanks)
        if (std::string line = tank_line(state, first, last); !line.empty())
            table.rows.push_back({state.tank.name, std::move(line)});
    const std::size_t used = static_cast<std::size_t>(std::ranges::count(text, '\n')) + 1;
    const std::size_t room = most_lines - std::min(most_lines - 2, used);
    if (table.rows.size() > room) {
        const std::size_t more = table.rows.size() - room + 1;
        table.rows.resize(room - 1);
        table.rows.push_back({"...", fmt::format("{} more: lotwort tank", more)});
    }
    return table.rows.empty() ? text : text + table_text(table);
}

std::string events_csv(const std::vector<CalendarEvent>& events) {
    std::string csv = csv_row({"on", "id", "title", "details"});
    for (const CalendarEvent& event : events) csv += csv_row({to_iso(event.on), event.id, event.title, event.details});
    return csv;
}

std::string events_json(const std::vector<CalendarEvent>& events) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/calendar/1").key("calendar").begin_array();
    for (const CalendarEvent& event : events)
        w.begin_object(JsonWriter::Layout::one_line)
            .field("on", event.on)
            .field("id", event.id)
            .field("title", event.title)
            .field("details", event.details)
            .end_object();
    w.end_array().end_object();
    return std::move(w).text();
}

std::string calendar_file(const std::vector<CalendarEvent>& events, Date stamp) {
    std::string text = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//lotwort//plan//EN\r\n";
    for (const CalendarEvent& event : events) {
        text += "BEGIN:VEVENT\r\n";
        text += folded("UID:" + escaped(event.id) + "@lotwort");
        text += fmt::format("DTSTAMP:{}T000000Z\r\nDTSTART;VALUE=DATE:{}\r\n", compact(stamp), compact(event.on));
        text += folded("SUMMARY:" + escaped(event.title));
        if (!event.details.empty()) text += folded("DESCRIPTION:" + escaped(event.details));
        text += "TRANSP:TRANSPARENT\r\nEND:VEVENT\r\n";
    }
    return text + "END:VCALENDAR\r\n";
}

} // namespace lotwort::report
