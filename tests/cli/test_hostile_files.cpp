// Files that nobody would write on purpose: what they cost, and what is said of them.
#include "session.hpp"
#include <doctest/doctest.h>
#include <fstream>

using namespace lotwort::test;

namespace {

// A file of 4 MB that says the same again and again.
[[maybe_unused]] std::string long_list(const std::string& begin, const std::string& again, const std::string& end) {
    std::string text = begin;
    while (text.size() < 4'000'000) text += again + ",";
    text.back() = ' ';
    return text + end;
}

[[maybe_unused]] void write(const Workplace& place, const std::string& name, const std::string& text) {
    std::ofstream(place.folder() + "/" + name, std::ios::binary) << text;
}

} // namespace

#ifndef __SANITIZE_ADDRESS__ // which takes more room than there is, to begin with
TEST_CASE("a file in which nothing is right takes a small multiple of its size to refuse") {
    const Workplace place;
    place.prepare("init");
    const std::string head = R"({"schema": "lotwort/exchange/1", )";
    const std::string brew = R"("brews": [{"code": "B1", "date": "2026-03-01", "brewhouse": "x", "readings": [)";
    const std::string lot = R"({"code": "L1", "item": "nobody's", "received": "2026-03-01", "mass_kg": 5})";
    const struct {
        const char* what;
        std::string text;
    } files[] = {
        {"lots", long_list(head + R"("lots": [)", "{}", "]}")},
        {"brews", long_list(head + R"("brews": [)", "{}", "]}")},
        {"offers", long_list(head + R"("offers": [)", "{}", "]}")},
        {"movements", long_list(head + R"("movements": [)", "{}", "]}")},
        {"numbers for records", long_list(head + R"("items": [)", "0", "]}")},
        {"a list that nobody knows", long_list(head + R"("x": [)", "0", "]}")},
        {"a record's own list", long_list(head + brew, "{}", "]}]}")},
        {"fields that nobody knows", long_list(head + R"("items": [{)", R"("a": 0)", "}]}")},
        {"names that nobody knows", long_list(head + R"("lots": [)", lot, "]}")},
        {"one name for all", long_list(head + R"("brewhouses": [)", R"({"name":"a","volume_l":9})", "]}")},
    };
    for (const auto& [what, text] : files) {
        CAPTURE(what);
        write(place, "f.json", text);
        const auto said = place.run("ulimit -v 170000 && lotwort import f.json 2>&1");
        CHECK(said.status == 1);
        CHECK(said.out.find("nothing was booked") != std::string::npos);
        CHECK(said.out.size() < 20'000);
    }
}
#endif
