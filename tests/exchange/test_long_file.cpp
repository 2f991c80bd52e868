// A file of many movements is gone through, not held: what is in memory does not grow with it.
#include "../../src/exchange/laid_movements.hpp"
#include "exchange/generated_book.hpp"
#include "heap_in_use.hpp"
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>

using namespace lotwort;
using test::generated_book;
using test::MostInUse;

namespace {

std::string file_of(int movements, const char* odd_id = "") {
    std::string text = R"({"schema": "lotwort/exchange/1", "items": [{"name": "malt", "kind": "malt"}],
"lots": [{"code": "L1", "item": "malt", "received": "2026-01-01", "mass_kg": 100000}], "movements": [)";
    for (int i = 0; i < movements; ++i)
        text += fmt::format("{}\n{{\"id\": \"{}m{}\", \"on\": \"2026-02-{:02}\", \"lot\": \"L1\", \"kind\": \"count\", "
                            "\"mass_kg\": -{}.25, \"reason\": \"sack {} was torn by the door\"}}",
                            i == 0 ? "" : ",", odd_id, i + 1, 1 + i % 28, i % 40, i);
    return text + "]}";
}

struct Used {
    std::size_t reading;
    std::size_t comparing;
};

// The file into a ledger that holds the lot and `there` of the movements.
Used used_by(int movements, int there, const char* odd_id = "") {
    const std::string text = file_of(movements, odd_id);
    const Book ledger = read_exchange(file_of(there), "ledger");
    MostInUse reading;
    LongBook file = read_long_exchange(text, "f", [&](std::size_t) { reading.look(); });
    reading.look();
    REQUIRE(file.movements->size() == static_cast<std::size_t>(movements));
    MostInUse comparing;
    const LongBook part = new_in(
        std::move(file),
        [&](BookSink& sink) {
            Book rest = ledger;
            rest.movements.clear();
            sink.begin(rest);
            for (const Movement& movement : ledger.movements) sink.movement(movement);
            comparing.look();
            sink.end();
        },
        "f");
    comparing.look();
    REQUIRE(part.movements->size() == static_cast<std::size_t>(movements - there));
    return {reading.beyond_beginning(), comparing.beyond_beginning()};
}

std::vector<Movement> all_of(const MovementList& list) {
    std::vector<Movement> all;
    list.for_each([&](const Movement& movement, std::uint64_t) { all.push_back(movement); });
    return all;
}

} // namespace

TEST_CASE("ten times as many movements take no more memory to read, and a bit each to compare") {
    constexpr int few = 5'000, many = 50'000;
    const Used small = used_by(few, 0);
    const Used large = used_by(many, 0);
    MESSAGE("read ", small.reading, " and ", large.reading, ", compared ", small.comparing, " and ", large.comparing);
    CHECK(large.reading < small.reading + LaidMovements::most_held);
    CHECK(large.comparing < small.comparing + LaidMovements::most_held);

    // a ledger that has movements too is held against 20 bytes of each, twice that while their list grows
    const Used known = used_by(many, 1);
    CHECK(known.comparing < small.comparing + LaidMovements::most_held + 40UL * many);

    // ids that are not counted are told apart by 8 bytes each
    CHECK(used_by(many, 0, "torn-").reading < small.reading + LaidMovements::most_held + 8UL * many);
}

TEST_CASE("movements that were laid aside come back as they were, in order and by place") {
    std::vector<Movement> given;
    for (std::uint64_t seed = 1; given.size() < 20'000; ++seed)
        for (const Movement& movement : generated_book(seed).movements) given.push_back(movement);
    given[5'000].reason = std::string(300'000, 'x'); // longer than what is held
    given[7'000].reason.reset();
    LaidMovements list;
    for (std::size_t i = 0; i < given.size(); ++i) list.add(given[i], i);
    CHECK(list.size() == given.size());
    CHECK(list.held() < 2 * LaidMovements::most_held);

    std::vector<std::uint64_t> places;
    std::size_t wrong = 0;
    list.for_each([&](const Movement& movement, std::uint64_t place) {
        if (movement != given[places.size()] || (!places.empty() && place <= places.back())) ++wrong;
        places.push_back(place);
    });
    for (std::size_t i = 0; i < places.size(); ++i) { // to and fro
        const std::size_t at = i * 7'919 % places.size();
        if (list.at(places[at]) != given[at] || list.start_of(places[at]) != at) ++wrong;
    }
    CHECK(wrong == 0);
    CHECK(places.size() == given.size());
}

TEST_CASE("an id that stands twice in a long file is told with the place of both") {
    std::string text = file_of(30'000, "a");
    const std::string first = "\"am17\"";
    text.replace(text.find("\"am29000\""), 9, first);
    try {
        (void)read_long_exchange(text, "f");
        FAIL("read");
    } catch (const Error& error) {
        CHECK(std::string(error.what()) == "f:29002:8: movements[28999].id: `am17` stands twice; first in [16]");
    }
}

TEST_CASE("what records say of each other, or differently from the ledger, is told with the place of each") {
    std::string text = file_of(30'000);
    const auto change = [&](std::string_view from, std::string_view to) {
        text.replace(text.find(from), from.size(), to);
    };
    change("\"m29000\", \"on\": \"2026-02-20\", \"lot\": \"L1\"",
           "\"m29000\", \"on\": \"2026-02-20\", \"lot\": \"L2\"");
    change("\"kind\": \"malt\"", "\"kind\": \"malt\", \"stands_for\": [{\"item\": \"mlat\"}]");
    change("\"mass_kg\": 100000", "\"mass_kg\": 100001");
    const Book ledger = read_exchange(file_of(0), "ledger");
    Places places;
    LongBook file = read_long_exchange(text, "f", {}, &places);
    try {
        (void)new_in(
            std::move(file),
            [&](BookSink& sink) {
                sink.begin(ledger);
                sink.end();
            },
            "f", places);
        FAIL("taken");
    } catch (const Error& error) {
        CHECK(std::string(error.what()) ==
              "f holds 4 faults\n"
              "f:1:53: item malt, stands_for: no item is called `mlat`, neither in the file nor in the ledger; did you "
              "mean `malt`?\n"
              "f:29002:8: movement m29000 of 2026-02-20: no lot is called `L2`, neither in the file nor in the ledger; "
              "did "
              "you mean `L1`?\n"
              "f:1:53: item malt: stands_for: [{\"item\": \"mlat\"}] in the file, nothing in the ledger\n"
              "f:2:19: lot L1: mass_kg: 100001 kg in the file, 100000 kg in the ledger");
    }
}

TEST_CASE("a file that is read back in pieces gives what the whole gives") {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const Book book = generated_book(seed);
        const LongBook read = read_long_exchange(write_exchange(book), "f");
        CHECK(read.rest.movements.empty());
        CHECK(all_of(*read.movements) == book.movements);
    }
}
