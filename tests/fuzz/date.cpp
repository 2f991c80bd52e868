// Days: what is read as one is written as it was.
#include "fuzz_target.hpp"
#include <lotwort/core/date.hpp>

using namespace lotwort;
using namespace lotwort::test;

FUZZ_TARGET(date) {
    const auto text = as_text(data, size);
    if (const auto day = parse_iso_date(text)) must(to_iso(*day) == text);
    may_refuse([&] {
        const Date day = parse_date(text, Date(std::chrono::days(20'000)));
        must(parse_iso_date(to_iso(day)) == day);
    });
    return 0;
}
