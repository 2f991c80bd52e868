// What is to come, as a month and as a calendar file that other programs read.
#include "brewery.hpp"
#include <algorithm>
#include <cstdio>
#include <map>
#include <set>
#include <sstream>

using namespace lotwort::test;

namespace {

struct Planned : Brewery {
    Planned() {
        done("init");
        done("brewhouse add garage 25L");
        done("receive \"pale ale malt\" 25kg --lot A --best-before 2026-04-30");
        done("receive \"aroma hop\" 500g --lot H");
        done("recipe add \"pale; dry, strong\" 20L --malt \"pale ale malt=4kg\" --hop \"aroma hop=50g@dry,4\"");
        done("plan \"pale; dry, strong\" --on 2026-04-02");
        done("order add \"Höhenmälzerei am langen Hang, Söhne und Töchter, Nachfolger\" --line \"pale ale "
             "malt=4x25kg@120\" "
             "--arrives 2026-04-08");
    }
    [[nodiscard]] std::string calendar() const {
        done("plan --calendar FOLDER/cellar.ics");
        return read("cellar.ics");
    }
};

using Event = std::map<std::string, std::string>;

// RFC 5545 as its grammar has it, and no further: unfolded, names before colons, text unescaped. Throws what breaks it.
std::vector<Event> events_in(const std::string& file) {
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < file.size();) {
        const auto end = file.find("\r\n", at);
        REQUIRE(end != std::string::npos); // every line ends in CR LF
        const std::string line = file.substr(at, end - at);
        CHECK(line.size() <= 75);
        CHECK(line.find_first_of("\r\n") == std::string::npos);
        if (line.starts_with(" ")) {
            REQUIRE(!lines.empty());
            lines.back() += line.substr(1);
        } else {
            lines.push_back(line);
        }
        at = end + 2;
    }
    REQUIRE(lines.size() > 4);
    CHECK(lines.front() == "BEGIN:VCALENDAR");
    CHECK(lines.back() == "END:VCALENDAR");
    CHECK(std::ranges::count(lines, "VERSION:2.0") == 1);
    std::vector<Event> events;
    bool inside = false;
    for (std::size_t i = 1; i + 1 < lines.size(); ++i) {
        const auto colon = lines[i].find(':');
        REQUIRE(colon != std::string::npos);
        const std::string name = lines[i].substr(0, colon);
        std::string text;
        for (std::size_t k = colon + 1; k < lines[i].size(); ++k) {
            const char c = lines[i][k];
            if (name == "SUMMARY" || name == "DESCRIPTION" || name == "UID") {
                CHECK((c != ';' && c != ',')); // else it would have been escaped
                if (c == '\\') {
                    REQUIRE(k + 1 < lines[i].size());
                    text += lines[i][++k] == 'n' ? '\n' : lines[i][k];
                    continue;
                }
            }
            text += c;
        }
        if (name == "BEGIN") {
            CHECK_FALSE(inside);
            events.emplace_back();
            inside = true;
        } else if (name == "END") {
            CHECK(inside);
            for (const char* needed : {"UID", "DTSTAMP", "DTSTART;VALUE=DATE", "SUMMARY"})
                CHECK_MESSAGE(events.back().contains(needed), needed);
            inside = false;
        } else if (inside) {
            CHECK(events.back().emplace(name, text).second); // each once
        }
    }
    return events;
}

std::string printed_by(const std::string& command) {
    std::FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string out;
    for (int c = 0; (c = std::fgetc(pipe)) != EOF;) out += static_cast<char>(c);
    return pclose(pipe) == 0 ? out : "";
}

} // namespace

TEST_CASE("the calendar file holds brews, dry hops, orders, deliveries and best-before dates") {
    const Planned b;
    std::map<std::string, Event> by_id;
    for (const Event& event : events_in(b.calendar())) CHECK(by_id.emplace(event.at("UID"), event).second);
    CHECK(by_id.size() == 5);
    CHECK(by_id.at("plan-P1@lotwort").at("DTSTART;VALUE=DATE") == "20260402");
    CHECK(by_id.at("plan-P1@lotwort").at("SUMMARY") == "Brew pale; dry, strong (P1)");
    CHECK(by_id.at("dry-hops-P1@lotwort").at("DTSTART;VALUE=DATE") == "20260409");
    CHECK(by_id.at("delivery-O1@lotwort").at("DTSTART;VALUE=DATE") == "20260408");
    CHECK(by_id.at("delivery-O1@lotwort").at("SUMMARY").ends_with("Söhne und Töchter, Nachfolger"));
    CHECK(by_id.at("delivery-O1@lotwort").at("DESCRIPTION") == "100 kg of pale ale malt");
    CHECK(by_id.at("order-O1@lotwort").at("DTSTART;VALUE=DATE") == "20260314");
    CHECK(by_id.at("best-before-A@lotwort").at("DTSTART;VALUE=DATE") == "20260430");
}

TEST_CASE("written again, an event has the name it had, on its new day") {
    const Planned b;
    const std::string before = b.calendar();
    b.done("plan P1 --move 2026-04-03");
    b.done("plan --calendar FOLDER/cellar.ics --force");
    std::set<std::string> ids, again;
    for (const Event& event : events_in(before)) ids.insert(event.at("UID"));
    for (const Event& event : events_in(b.read("cellar.ics"))) {
        again.insert(event.at("UID"));
        if (event.at("UID") == "plan-P1@lotwort") CHECK(event.at("DTSTART;VALUE=DATE") == "20260403");
    }
    CHECK(ids == again);
}

TEST_CASE("a calendar library reads the file, and finds the same events") {
    const Planned b;
    (void)b.calendar();
    const std::string file = b.ledger_path().substr(0, b.ledger_path().rfind('/')) + "/cellar.ics";
    const std::string program = "import icalendar, sys\n"
                                "calendar = icalendar.Calendar.from_ical(open(sys.argv[1], 'rb').read())\n"
                                "for event in calendar.walk('VEVENT'):\n"
                                "    assert not event.errors, event.errors\n"
                                "    print(event['UID'], event['DTSTART'].dt.isoformat(), event['SUMMARY'])\n";
    b.write("read.py", program);
    const std::string script = file.substr(0, file.rfind('/')) + "/read.py";
    std::string reader; // the distribution's own, where another python comes first in the path
    for (const std::string python : {"python3", "/usr/bin/python3"})
        if (reader.empty() && !printed_by(python + " -c 'import icalendar' 2>/dev/null && echo there || true").empty())
            reader = python;
    if (reader.empty()) {
        MESSAGE("SKIPPED: there is no calendar library here to read the file; apt-get install python3-icalendar");
        return;
    }
    const std::string said = printed_by(reader + " '" + script + "' '" + file + "'");
    CHECK(std::ranges::count(said, '\n') == 5);
    CHECK(said.find("plan-P1@lotwort 2026-04-02 Brew pale; dry, strong (P1)\n") != std::string::npos);
}

TEST_CASE("the month fits a terminal, with each event in the square of its day") {
    Planned b;
    const std::string text = b.done("plan --month 2026-04");
    CHECK(std::ranges::count(text, '\n') <= 24);
    std::istringstream in(text);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    CHECK(lines[1].starts_with("MON        TUE        WED        THU"));
    // the second is a Thursday, in the fourth square
    CHECK(lines[2].substr(33, 1) == "2");
    CHECK(lines[3].substr(33, 7) == "P1 pale");
    const Json events = b.json("plan --month 2026-04")["calendar"];
    CHECK(events.size() == 4);
    CHECK(events[0]["on"] == "2026-04-02");
    CHECK(b.json("plan --month 2026-05")["calendar"].size() == 0);
    CHECK(b.done("report calendar 2026-04").find("Brew pale; dry, strong (P1)") != std::string::npos);
    b.today("2026-04-02"); // and then it is this month
    CHECK(b.json("plan --month")["calendar"] == events);
}
