#include <doctest/doctest.h>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>

using namespace lotwort;

TEST_CASE("only a whole ISO date of a day that exists is a date") {
    CHECK(to_iso(*parse_iso_date("2026-02-28")) == "2026-02-28");
    CHECK(to_iso(*parse_iso_date("2024-02-29")) == "2024-02-29");
    for (const char* wrong : {"2026-2-3", "2026-02-30", "2026-02-03 ", "03.02.2026", "2026/02/03", "1899-12-31",
                              "2200-01-01", "", "20260203", "2026-13-01", "2026-00-10", "+026-01-01"})
        CHECK_MESSAGE(!parse_iso_date(wrong), wrong);
}

TEST_CASE("today and yesterday are taken from the day that is handed in") {
    const Date today = *parse_iso_date("2026-03-01");
    CHECK(to_iso(parse_date("today", today)) == "2026-03-01");
    CHECK(to_iso(parse_date("yesterday", today)) == "2026-02-28");
    CHECK_THROWS_WITH_AS((void)parse_date("tomorow", today), "`tomorow` is no date", Error);
    CHECK_THROWS_WITH_AS((void)parse_date("2024-02-30", today), "`2024-02-30` is no date: February 2024 has 29 days",
                         Error);
    CHECK_THROWS_WITH_AS((void)parse_date("2026-00-10", today), "`2026-00-10` is no date: there is no month 0", Error);
    CHECK_THROWS_WITH_AS((void)parse_date("1815-06-18", today),
                         "`1815-06-18` is no date: years from 1900 to 2199 are taken", Error);
}
