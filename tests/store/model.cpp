// Random entries, on the ledger and on a plain list in memory that knows one rule: at the end of
// no day is there less than nothing of a lot, and nothing is booked of a lot that is not there. Both must take
// and refuse the same, and come to the same balances.
#include "ledger_support.hpp"
#include "trials.hpp"
#include <doctest/doctest.h>
#include <map>
#include <random>
#include <set>

namespace lotwort::test {

namespace {

constexpr int days = 12;
constexpr int lots = 4;

struct Move {
    int lot = 0;
    int on = 0;
    std::int64_t change = 0;
};

struct ModelEntry {
    std::vector<Move> moves; // the receipt first
    int receives = -1;       // lot
    bool live = true;
};

class Model {
public:
    [[nodiscard]] bool is_there(int lot) const { return receipt_of(lot) != nullptr; }

    [[nodiscard]] bool takes(const ModelEntry& entry) const {
        if (entry.receives >= 0 && is_there(entry.receives)) return false;
        for (const auto& move : entry.moves) {
            const auto* receipt = entry.receives == move.lot ? &entry : receipt_of(move.lot);
            if (receipt == nullptr || move.on < receipt->moves[0].on) return false;
        }
        auto all = live();
        all.insert(all.end(), entry.moves.begin(), entry.moves.end());
        return sound(all);
    }

    // Not from under another entry: one that books on a lot it received, or has used what it brought.
    [[nodiscard]] bool gives_back(std::size_t number) const {
        const auto& entry = entries[number];
        if (!entry.live) return false;
        std::vector<Move> rest;
        for (std::size_t i = 0; i < entries.size(); ++i) {
            if (i == number || !entries[i].live) continue;
            for (const auto& move : entries[i].moves) {
                if (move.lot == entry.receives) return false;
                rest.push_back(move);
            }
        }
        return sound(rest);
    }

    [[nodiscard]] std::int64_t balance(int lot) const {
        std::int64_t sum = 0;
        for (const auto& move : live())
            if (move.lot == lot) sum += move.change;
        return sum;
    }

    std::vector<ModelEntry> entries;

private:
    [[nodiscard]] const ModelEntry* receipt_of(int lot) const {
        for (const auto& entry : entries)
            if (entry.live && entry.receives == lot) return &entry;
        return nullptr;
    }

    [[nodiscard]] std::vector<Move> live() const {
        std::vector<Move> moves;
        for (const auto& entry : entries)
            if (entry.live) moves.insert(moves.end(), entry.moves.begin(), entry.moves.end());
        return moves;
    }

    [[nodiscard]] static bool sound(const std::vector<Move>& moves) {
        for (int lot = 0; lot < lots; ++lot)
            for (int on = 0; on < days; ++on) {
                std::int64_t sum = 0;
                for (const auto& move : moves)
                    if (move.lot == lot && move.on <= on) sum += move.change;
                if (sum < 0) return false;
            }
        return true;
    }
};

class Dice {
public:
    explicit Dice(unsigned seed) : engine_(seed) {}
    int below(int bound) { return static_cast<int>(engine_() % static_cast<unsigned>(bound)); }

private:
    std::mt19937 engine_; // the same numbers everywhere; the distributions of <random> are not
};

std::string code(int lot) {
    return "L" + std::to_string(lot);
}

Date date(int on) {
    return day("2026-03-01") + std::chrono::days(on);
}

Amount grains(std::int64_t units) {
    return {Measure::mass, units};
}

// A random entry, as the model and as a book: a receipt, or a brew, counts and discards on several days.
std::pair<ModelEntry, Book> random_entry(Dice& dice, int number) {
    ModelEntry entry;
    Book book;
    if (dice.below(5) == 0) {
        entry.receives = dice.below(lots);
        entry.moves.push_back({entry.receives, dice.below(days / 2), 1 + dice.below(20)});
        auto lot = lot_of(code(entry.receives), "pale malt", "2026-03-01", 1.0);
        lot.received = date(entry.moves[0].on);
        lot.received_amount = grains(entry.moves[0].change);
        book.lots = {lot};
        if (dice.below(2) == 0) return {entry, book};
    }
    auto brew = brew_of("B" + std::to_string(number), "2026-03-01", {});
    for (int i = dice.below(3); i >= 0; --i) {
        Move move{entry.receives >= 0 && dice.below(2) == 0 ? entry.receives : dice.below(lots), dice.below(days),
                  -dice.below(9)};
        const int kind = dice.below(3);
        if (kind == 0) {
            auto addition = mash(code(move.lot), 0.0);
            addition.amount = grains(-move.change);
            addition.on = date(move.on);
            brew.additions.push_back(addition);
        } else {
            if (kind == 1 && dice.below(2) == 0) move.change = -move.change;
            auto movement =
                movement_of(kind == 1 ? MovementKind::count : MovementKind::discard, code(move.lot), "2026-03-01", 0.0);
            movement.on = date(move.on);
            movement.change = grains(move.change);
            book.movements.push_back(movement);
        }
        entry.moves.push_back(move);
    }
    if (!brew.additions.empty()) book.brews = {brew};
    return {entry, book};
}

void book_one(Ledger& ledger, Model& model, Dice& dice, Modelled& counts) {
    const auto [entry, book] = random_entry(dice, static_cast<int>(model.entries.size()));
    const bool takes = model.takes(entry);
    const auto h = head(EntryKind::import_file, "2026-03-20");
    if (dice.below(4) == 0) CHECK((refusal([&] { (void)ledger.rehearse(book, h); }) == "nothing") == takes);
    CHECK((refusal([&] { (void)ledger.append(book, h); }) == "nothing") == takes);
    if (takes) model.entries.push_back(entry);
    ++(takes ? counts.booked : counts.refused);
}

void take_one_back(Ledger& ledger, Model& model, Dice& dice, Modelled& counts) {
    const auto number = static_cast<std::size_t>(2 + dice.below(static_cast<int>(model.entries.size()) - 2));
    const bool gives = model.gives_back(number);
    const auto said = refusal(
        [&] { (void)ledger.reverse(static_cast<std::int64_t>(number) + 1, head(EntryKind::reverse, "2026-03-20")); });
    CHECK((said == "nothing") == gives);
    if (gives) {
        model.entries[number].live = false;
        model.entries.emplace_back().live = false; // the reversal has a number of its own
    }
    ++(gives ? counts.taken_back : counts.kept);
}

void check_balances(const Ledger& ledger, const Model& model) {
    std::map<std::string, std::int64_t> on_hand;
    for (const auto& row : ledger.stock()) on_hand[row.lot] = row.on_hand.units;
    for (int lot = 0; lot < lots; ++lot) {
        CHECK(on_hand.contains(code(lot)) == model.is_there(lot));
        if (model.is_there(lot)) CHECK(on_hand[code(lot)] == model.balance(lot));
    }
}

Book names() {
    Book names;
    names.items = {malt("pale malt")};
    names.brewhouses.emplace_back().name = "main";
    names.brewhouses[0].volume = Litres(23.0);
    return names;
}

} // namespace

void run_sequence(unsigned seed, int steps, Modelled& counts) {
    INFO("seed ", seed);
    Folder folder;
    auto ledger = new_ledger(folder.file("l"));
    Dice dice(seed);
    Model model;
    model.entries.resize(2); // made, and the names
    model.entries[0].live = model.entries[1].live = false;
    (void)ledger.append(names(), head(EntryKind::item, "2026-03-01"));
    for (int step = 0; step < steps; ++step) {
        if (dice.below(4) == 0 && model.entries.size() > 2)
            take_one_back(ledger, model, dice, counts);
        else
            book_one(ledger, model, dice, counts);
        check_balances(ledger, model);
    }
    CHECK(ledger.verify().empty());
    auto again = new_ledger(folder.file("again"));
    const auto book = ledger.book();
    (void)again.append(book, head(EntryKind::import_file, "2026-03-20"));
    CHECK(again.book() == book);
    CHECK(again.verify().empty());
}

} // namespace lotwort::test
