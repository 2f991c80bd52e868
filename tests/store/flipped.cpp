#include "ledger_support.hpp"
#include "trials.hpp"
#include <doctest/doctest.h>
#include <fstream>
#include <iterator>
#include <random>

namespace lotwort::test {

namespace {

// Every kind of record, a use, a loss, a hold, and an entry taken back.
void make_used_ledger(const std::string& file) {
    auto ledger = stocked_ledger(file);
    Brew brew = brew_of("B1", "2026-02-01", {mash("P-1", 4.5), mash("W-1", 0.5)});
    brew.readings.emplace_back().volume = Litres(23.0);
    (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-01"));
    (void)ledger.append(with(movement_of(MovementKind::discard, "W-1", "2026-02-02", -1.0)),
                        head(EntryKind::discard, "2026-02-02"));
    (void)ledger.reverse(4, head(EntryKind::reverse, "2026-02-03"));
    auto lot = ledger.lot("W-1")->lot;
    lot.held = "wet";
    (void)ledger.append(with(lot), head(EntryKind::hold, "2026-02-03"));
}

struct Contents {
    Book book;
    std::string history;
    explicit Contents(const Ledger& ledger) : book(ledger.book()) {
        for (const auto& entry : ledger.history({})) {
            const auto& head = entry.head;
            history += std::to_string(entry.number) + ' ' + std::string(word(head.kind)) + ' ' + to_iso(head.on) + ' ' +
                       head.booked_at + ' ' + head.by + ' ' + head.what + ' ' + head.why + ' ' +
                       std::to_string(entry.reverses.value_or(0)) + '\n';
        }
    }
    friend bool operator==(const Contents&, const Contents&) = default;
};

void put_byte(std::fstream& file, std::size_t at, char byte) {
    file.seekp(static_cast<std::streamoff>(at));
    file.put(byte);
    file.flush();
}

// Half of them anywhere, half where there is something: most of a young ledger's pages are empty.
std::size_t place_of(std::mt19937& dice, const std::string& bytes) {
    for (const bool anywhere = dice() % 2 == 0;;) {
        const std::size_t at = dice() % bytes.size();
        if (anywhere || bytes[at] != 0) return at;
    }
}

// What comes of reading it: counted; Error(ledger) is the only one that may come.
void read_flipped(const std::string& file, const Contents& whole, Flipped& flipped) {
    try {
        const Ledger ledger(file, Access::read);
        if (!ledger.verify().empty()) {
            ++flipped.found;
            return;
        }
        const bool same = Contents(ledger) == whole;
        CHECK(same);
        ++flipped.of_no_account;
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::ledger);
        ++flipped.refused;
    }
}

std::size_t files_beside(const std::string& file) {
    const std::filesystem::directory_iterator folder(std::filesystem::path(file).parent_path());
    return static_cast<std::size_t>(std::distance(begin(folder), end(folder))) - 1;
}

} // namespace

Flipped flip_bytes(int flips, unsigned seed) {
    Folder folder;
    const auto file = folder.file("l");
    make_used_ledger(file);
    const Contents whole(Ledger(file, Access::read));
    auto bytes = bytes_of(file);
    std::fstream changed(file, std::ios::binary | std::ios::in | std::ios::out);
    std::mt19937 dice(seed);
    Flipped flipped;
    for (; flipped.flips < flips; ++flipped.flips) {
        const auto header = static_cast<std::size_t>(flipped.flips); // first every byte of the file's head
        const std::size_t at = header < 100 ? header : place_of(dice, bytes);
        const char before = bytes[at];
        bytes[at] = static_cast<char>(before ^ static_cast<char>(1 + dice() % 255));
        put_byte(changed, at, bytes[at]);
        const auto when = std::filesystem::last_write_time(file);
        INFO("byte ", at, " from ", int{before}, " to ", int{bytes[at]});
        read_flipped(file, whole, flipped);
        const bool left_alone = std::filesystem::last_write_time(file) == when && bytes_of(file) == bytes;
        CHECK(left_alone);
        CHECK(files_beside(file) == 0);
        put_byte(changed, at, before);
        bytes[at] = before;
    }
    return flipped;
}

} // namespace lotwort::test
