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
    CHECK(to_iso(parse_date("Yesterday", today)) == "2026-02-28");
    CHECK_THROWS_WITH_AS((void)parse_date("tomorrow", today), "`tomorrow` is no date", Error);
    CHECK_THROWS_WITH_AS((void)parse_date("tomorow", today), "`tomorow` is no date", Error);
    CHECK_THROWS_WITH_AS((void)parse_date("2024-02-30", today), "`2024-02-30` is no date: February 2024 has 29 days",
                         Error);
    CHECK_THROWS_WITH_AS((void)parse_date("2026-00-10", today), "`2026-00-10` is no date: there is no month 0", Error);
    CHECK_THROWS_WITH_AS((void)parse_date("1815-06-18", today),
                         "`1815-06-18` is no date: years from 1900 to 2199 are taken", Error);
}

namespace {

// What is taken, or the refusal with its hint, for who stands on Tuesday 2026-03-10.
std::string taken_as(std::string_view typed, Looks looks = Looks::back) {
    try {
        return to_iso(parse_date(typed, *parse_iso_date("2026-03-10"), looks));
    } catch (const Error& fault) {
        return std::string(fault.what()) + ": " + fault.hint();
    }
}

} // namespace

TEST_CASE("a day may be written in any way that means one day") {
    for (const char* typed : {"17.01.2026", "17.1.2026", "17. 1. 2026", "17 Jan 2026", "17 January 2026", "17Jan2026",
                              "17-Jan-2026", "Jan 17, 2026", "january 17 2026", "2026-1-17", "2026/01/17", "2026.1.17",
                              "17/01/2026", "01/17/2026", "17 01 2026"})
        CHECK_MESSAGE(taken_as(typed) == "2026-01-17", typed);
    CHECK(taken_as("02/02/2026") == "2026-02-02"); // either way round
    CHECK(taken_as("01.02.2026") == "2026-02-01"); // with points the day comes first
}

TEST_CASE("what may be two days is refused, and both are shown") {
    CHECK(taken_as("01/02/2026") == "`01/02/2026` may be either of two days: write 2026-02-01 or 2026-01-02");
    CHECK(taken_as("tuesday") == "`tuesday` may be today, or a week ago: write 2026-03-10 or 2026-03-03");
    CHECK(taken_as("tue", Looks::ahead) == "`tue` may be today, or in a week: write 2026-03-10 or 2026-03-17");
}

TEST_CASE("a weekday is the last one, or the next where one looks ahead") {
    CHECK(taken_as("monday") == "2026-03-09");
    CHECK(taken_as("Wed") == "2026-03-04");
    CHECK(taken_as("saturday") == "2026-03-07");
    CHECK(taken_as("saturday", Looks::ahead) == "2026-03-14");
    CHECK(taken_as("mon", Looks::ahead) == "2026-03-16");
    CHECK(taken_as("tomorrow", Looks::ahead) == "2026-03-11");
}

TEST_CASE("a sack's month is best before its last day, and no day of anything else") {
    for (const char* typed : {"03/2027", "3/2027", "03.2027", "2027-03", "Mar 2027", "march 2027"}) {
        CHECK_MESSAGE(taken_as(typed, Looks::best_before) == "2027-03-31", typed);
        CHECK_MESSAGE(taken_as(typed).find("is a month where a day is asked for") != std::string::npos, typed);
    }
    CHECK(taken_as("02/2028", Looks::best_before) == "2028-02-29");
}

TEST_CASE("what is no day is none in any spelling") {
    for (const char* typed : {"30.02.2026", "32 Jan 2026", "2026-13-1", "13/2027", "17.01.26", "1.2.3", "17 Janus 2026",
                              "2026", "17.01", "1e3.1.2026", "-1.1.2026x", "99/99/2026", "17.01.20266", "", " ", "mo"})
        for (const Looks looks : {Looks::back, Looks::ahead, Looks::best_before})
            CHECK_MESSAGE(taken_as(typed, looks).find("is no date") != std::string::npos, typed);
}

TEST_CASE("years from 1900 to 2199 are taken, both with all their days") {
    CHECK(parse_iso_date("1900-01-01"));
    CHECK(parse_iso_date("2199-12-31"));
    CHECK_FALSE(parse_iso_date("1899-12-31"));
    CHECK_FALSE(parse_iso_date("2200-01-01"));
}
