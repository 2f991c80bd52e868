// How fast the ledger takes a long history, and answers what is in stock: see ledger_speed.sh, which runs it
// beside the sqlite3 shell.
//     ledger_speed make FILE     100,000 movements over 2,000 lots in one append
//     ledger_speed decades FILE  1,000,000 movements over 20,000 lots, each delivery and each brew an entry of its own
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

constexpr int additions = 40; // of a brew
constexpr int in_use = 60;    // lots at any time
constexpr int days = 3650;

struct Scale {
    int lots;
    int brews;
    [[nodiscard]] int movements() const { return lots + brews * additions; }
};
constexpr Scale ten_years{2000, 2450};
constexpr Scale decades{20000, 24500};
constexpr int lots_a_delivery = 10;

std::string numbered(const char* prefix, int number) {
    return prefix + std::to_string(100000 + number).substr(1);
}

Book names() {
    Book book;
    book.items.emplace_back().name = "pale malt";
    book.brewhouses.emplace_back().name = "main";
    book.brewhouses[0].volume = Litres(500.0);
    return book;
}

const Date start = *parse_iso_date("2015-01-05");

Lot lot_number(int i, Scale scale) {
    Lot lot;
    lot.code = numbered("L", i);
    lot.item = "pale malt";
    lot.received = start + std::chrono::days(std::max(0, i - in_use) * days / (scale.lots - in_use));
    lot.received_amount = Amount::of(Kilograms(1000.0));
    return lot;
}

// Each brew takes 40 times a little of a lot that came in before it.
Brew brew_number(int b, Scale scale) {
    Brew brew;
    brew.code = numbered("B", b);
    brew.date = start + std::chrono::days(b * days / scale.brews + 1);
    brew.brewhouse = "main";
    const int newest = in_use - 1 + static_cast<int>(std::int64_t{b} * (scale.lots - in_use) / scale.brews);
    for (int a = 0; a < additions; ++a)
        brew.additions.push_back(
            {numbered("L", newest - (a * 7) % in_use), Stage::mash, Amount::of(Kilograms(5.125)), {}, {}, {}, {}});
    return brew;
}

Book history(Scale scale) {
    Book book = names();
    for (int i = 0; i < scale.lots; ++i) book.lots.push_back(lot_number(i, scale));
    for (int b = 0; b < scale.brews; ++b) book.brews.push_back(brew_number(b, scale));
    return book;
}

EntryHead head(EntryKind kind) {
    return {kind, *parse_iso_date("2026-01-01"), "2026-01-01T08:00:00Z", "bench", "a long history", ""};
}

double seconds_since(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

void report(Scale scale, double seconds, double worked, std::uintmax_t bytes) {
    const double movements = scale.movements();
    std::printf("append: %.0f movements in %.2f s, %.0f a second (%.0f a second of the processor's own time)\n",
                movements, seconds, movements / seconds, movements / worked);
    std::printf("file:   %.0f bytes a movement, everything that came with them included\n",
                static_cast<double>(bytes) / movements);
}

template <class BookAll>
void make(const std::string& file, Scale scale, BookAll&& book_all) {
    Ledger::create(file, "EUR", head(EntryKind::init));
    const auto empty = std::filesystem::file_size(file);
    Ledger ledger(file, Access::write);
    const auto begun = std::chrono::steady_clock::now();
    const auto clock = std::clock();
    book_all(ledger);
    const double worked = static_cast<double>(std::clock() - clock) / CLOCKS_PER_SEC;
    report(scale, seconds_since(begun), worked, std::filesystem::file_size(file) - empty);
}

void book_at_once(Ledger& ledger) {
    const Book book = history(ten_years);
    (void)ledger.append(book, head(EntryKind::import_file));
}

void book_one_by_one(Ledger& ledger) {
    (void)ledger.append(names(), head(EntryKind::item));
    for (int i = 0; i < decades.lots;) {
        Book delivery;
        for (int n = 0; n < lots_a_delivery; ++n) delivery.lots.push_back(lot_number(i++, decades));
        (void)ledger.append(delivery, head(EntryKind::receive));
    }
    for (int b = 0; b < decades.brews; ++b) {
        Book day;
        day.brews.push_back(brew_number(b, decades));
        (void)ledger.append(day, head(EntryKind::brew));
    }
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
    movement.lot = numbered("L", ten_years.lots - 1);
    movement.kind = MovementKind::discard;
    movement.change = Amount::of(Kilograms(-0.001));
    (void)ledger.append(part, head(EntryKind::discard));
}

} // namespace

int main(int count, char** words) {
    try {
        const std::string verb = count == 3 ? words[1] : "";
        if (verb == "make")
            make(words[2], ten_years, book_at_once);
        else if (verb == "decades")
            make(words[2], decades, book_one_by_one);
        else if (verb == "stock")
            stock(words[2]);
        else if (verb == "append")
            append(words[2]);
        else
            return std::fputs("ledger_speed make|decades|stock|append FILE\n", stderr), 2;
    } catch (const Error& error) {
        return std::fprintf(stderr, "%s\n%s\n", error.what(), error.hint().c_str()), 1;
    }
}
