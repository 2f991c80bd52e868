// How fast the ledger takes a long history, and answers what is in stock: see ledger_speed.sh, which runs it
// beside the sqlite3 shell.
//     ledger_speed make FILE     100,000 movements over 2,000 lots in one append
//     ledger_speed stock FILE    opens the ledger and lists the stock
//     ledger_speed append FILE   one discard, as a command of its own
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <lotwort/core/error.hpp>
#include <lotwort/store/ledger.hpp>
#include <string>

using namespace lotwort;

namespace {

constexpr int lot_count = 2000;
constexpr int brew_count = 2450;
constexpr int additions = 40; // 2,000 receipts and 98,000 uses
constexpr int in_use = 60;    // lots at any time

std::string numbered(const char* prefix, int number) {
    return prefix + std::to_string(100000 + number).substr(1);
}

// Ten years: each brew takes 40 times a little of a lot that came in before it.
Book history() {
    const Date start = *parse_iso_date("2015-01-05");
    Book book;
    book.items.emplace_back().name = "pale malt";
    book.brewhouses.emplace_back().name = "main";
    book.brewhouses[0].volume = Litres(500.0);
    for (int i = 0; i < lot_count; ++i) {
        auto& lot = book.lots.emplace_back();
        lot.code = numbered("L", i);
        lot.item = "pale malt";
        lot.received = start + std::chrono::days(std::max(0, i - in_use) * 3650 / (lot_count - in_use));
        lot.received_amount = Amount::of(Kilograms(1000.0));
    }
    for (int b = 0; b < brew_count; ++b) {
        auto& brew = book.brews.emplace_back();
        brew.code = numbered("B", b);
        brew.date = start + std::chrono::days(b * 3650 / brew_count + 1);
        brew.brewhouse = "main";
        const int newest = in_use - 1 + b * (lot_count - in_use) / brew_count;
        for (int a = 0; a < additions; ++a)
            brew.additions.push_back(
                {numbered("L", newest - (a * 7) % in_use), Stage::mash, Amount::of(Kilograms(5.125)), {}, {}, {}, {}});
    }
    return book;
}

EntryHead head(EntryKind kind) {
    return {kind, *parse_iso_date("2026-01-01"), "2026-01-01T08:00:00Z", "bench", "a long history", ""};
}

double seconds_since(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

void make(const std::string& file) {
    Ledger::create(file, "EUR", head(EntryKind::init));
    const auto empty = std::filesystem::file_size(file);
    const Book book = history();
    Ledger ledger(file, Access::write);
    const auto start = std::chrono::steady_clock::now();
    const auto clock = std::clock();
    (void)ledger.append(book, head(EntryKind::import_file));
    const double seconds = seconds_since(start);
    const double worked = static_cast<double>(std::clock() - clock) / CLOCKS_PER_SEC;
    const double movements = lot_count + brew_count * additions;
    std::printf("append: %.0f movements in %.2f s, %.0f a second (%.0f a second of the processor's own time)\n",
                movements, seconds, movements / seconds, movements / worked);
    const auto size = static_cast<double>(std::filesystem::file_size(file) - empty);
    std::printf("file:   %.0f bytes a movement, everything that came with them included\n", size / movements);
}

void stock(const std::string& file) {
    const Ledger ledger(file, Access::read);
    std::int64_t sum = 0;
    for (const auto& row : ledger.stock()) sum += row.on_hand.units;
    std::printf("%lld\n", static_cast<long long>(sum));
}

void append(const std::string& file) {
    Ledger ledger(file, Access::write);
    Book part;
    auto& movement = part.movements.emplace_back();
    movement.on = *parse_iso_date("2026-01-02");
    movement.lot = numbered("L", lot_count - 1);
    movement.kind = MovementKind::discard;
    movement.change = Amount::of(Kilograms(-0.001));
    (void)ledger.append(part, head(EntryKind::discard));
}

} // namespace

int main(int count, char** words) {
    try {
        const std::string verb = count == 3 ? words[1] : "";
        if (verb == "make")
            make(words[2]);
        else if (verb == "stock")
            stock(words[2]);
        else if (verb == "append")
            append(words[2]);
        else
            return std::fputs("ledger_speed make|stock|append FILE\n", stderr), 2;
    } catch (const Error& error) {
        return std::fprintf(stderr, "%s\n%s\n", error.what(), error.hint().c_str()), 1;
    }
}
