// A month of brews, orders and dates as a page.
#include "html_page.hpp"
#include "html_text.hpp"
#include <lotwort/report/calendar.hpp>
#include <lotwort/report/tank.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

std::string month_page(const std::vector<CalendarEvent>& events, const std::vector<TankState>& tanks, Date first) {
    Table table{{{"Day"}, {""}, {"What"}, {"More"}}, {}};
    for (const CalendarEvent& event : events)
        table.rows.push_back({to_iso(event.on), std::string(weekday_of(event.on)), event.title, event.details});
    return html::whole(
        {"The month", to_iso(first).substr(0, 7),
         (events.empty() ? html::of_text("p", "Nothing is planned, due or to be used up.")
                         : html::table(table, "By day")) +
             (tanks.empty() ? "" : html::section("Tanks", html::table(tank_table(tanks), "Who is where")))});
}

} // namespace lotwort::report
