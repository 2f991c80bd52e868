// How fast an exchange file of many movements is written, read and compared. Processor time, so that a
// busy machine does not count.
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <lotwort/exchange/exchange_file.hpp>
#include <string>

using namespace lotwort;

namespace {

int movements = 100'000; // or as many as the first argument says
constexpr int lots = 50;

Book busy_brewery() {
    Book book;
    book.currency = "EUR";
    for (int i = 0; i < lots; ++i) {
        Item& item = book.items.emplace_back();
        item.name = "malt " + std::to_string(i);
        Lot& lot = book.lots.emplace_back();
        lot.code = "L" + std::to_string(i);
        lot.item = item.name;
        lot.received_amount = Amount{Measure::mass, 1'000'000'000};
    }
    for (int i = 0; i < movements; ++i) {
        Movement& movement = book.movements.emplace_back();
        movement.id = "m" + std::to_string(i);
        movement.on = Date(std::chrono::days(19'000 + i % 3'000));
        movement.lot = "L" + std::to_string(i % lots);
        movement.kind = i % 2 == 0 ? MovementKind::count : MovementKind::discard;
        movement.change = Amount{Measure::mass, -(1'234 + i)};
        movement.reason = "weighed again";
    }
    return book;
}

double seconds_since(std::clock_t start) {
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

} // namespace

int main(int argc, char** argv) {
    if (argc > 1) movements = std::atoi(argv[1]);
    const Book book = busy_brewery();
    for (int round = 0; round < 3; ++round) {
        std::clock_t start = std::clock();
        const std::string text = write_exchange(book);
        const double writing = seconds_since(start);
        start = std::clock();
        const Book again = read_exchange(text, "bench");
        const double reading = seconds_since(start);
        start = std::clock();
        const Book part = new_in(again, book, "bench");
        const double comparing = seconds_since(start);
        const double megabytes = static_cast<double>(text.size()) / 1e6;
        std::printf("%.1f MB: write %.0f MB/s, read %.0f MB/s = %.0f movements/s, compare %.2f s (%zu new)\n",
                    megabytes, megabytes / writing, megabytes / reading, movements / reading, comparing,
                    part.movements.size());
    }
    return 0;
}
