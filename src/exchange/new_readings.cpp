#include "new_readings.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace lotwort {

namespace {

using Ids = std::set<std::string, std::less<>>;

bool is_given_number(std::string_view id) {
    return id.size() > 1 && id[0] == 'r' && id.find_first_not_of("0123456789", 1) == std::string_view::npos;
}

// The same figures read at the same point; whether one was set aside later is another matter.
bool same_figures(Reading a, const Reading& b) {
    a.id = b.id;
    a.set_aside = b.set_aside;
    return a == b;
}

void compare(const Reading& file, const Reading& ledger, const Prefix& prefix, FaultLines& conflicts) {
    const std::string_view known_later = file.set_aside ? "" : "set_aside";
    list_differences(
        file, ledger, [&] { return fmt::format("{}reading {}: ", prefix(), ledger.id); }, {"id", known_later},
        conflicts);
}

void number_apart(std::vector<Reading>& fresh, Ids taken) {
    std::size_t next = taken.size();
    for (Reading& reading : fresh) {
        if (!is_given_number(reading.id)) continue;
        while (taken.contains(reading.id)) reading.id = fmt::format("r{}", ++next);
        taken.insert(reading.id);
    }
}

} // namespace

std::vector<Reading> new_readings(const Brew& file, const Brew& ledger, const Prefix& prefix, FaultLines& conflicts) {
    std::vector<Reading> there = ledger.readings;
    Ids taken;
    for (const Reading& reading : there) taken.insert(reading.id);

    std::vector<const Reading*> unmatched;
    for (const Reading& reading : file.readings) {
        const auto found = std::ranges::find(there, reading.id, &Reading::id);
        if (is_given_number(reading.id) || found == there.end()) {
            unmatched.push_back(&reading);
            continue;
        }
        compare(reading, *found, prefix, conflicts);
        there.erase(found);
    }
    std::vector<Reading> fresh;
    for (const Reading* reading : unmatched) {
        const auto found = std::ranges::find_if(there, [&](const Reading& r) { return same_figures(*reading, r); });
        if (found == there.end()) {
            fresh.push_back(*reading);
            if (!is_given_number(reading->id)) taken.insert(reading->id);
            continue;
        }
        compare(*reading, *found, prefix, conflicts);
        there.erase(found);
    }
    number_apart(fresh, std::move(taken));
    return fresh;
}

} // namespace lotwort
