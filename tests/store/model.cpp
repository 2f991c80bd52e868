// Random entries, on the ledger and on plain lists in memory (plain_ledger.hpp). Both must take and refuse the same,
// give back the same, and come to the same balances and promises.
#include "ledger_support.hpp"
#include "plain_ledger.hpp"
#include "trials.hpp"
#include <doctest/doctest.h>
#include <map>
#include <random>

namespace lotwort::test {

namespace {

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

std::string plan_code(int plan) {
    return "P" + std::to_string(plan);
}

Date date(int on) {
    return day("2026-03-01") + std::chrono::days(on);
}

Amount grains(std::int64_t units) {
    return {Measure::mass, units};
}

using Drawn = std::pair<PlainEntry, Book>;

void draw_receipt(Dice& dice, Drawn& drawn) {
    auto& [entry, book] = drawn;
    entry.receives = dice.below(plain_lots);
    entry.moves.push_back({entry.receives, dice.below(plain_days / 2), 1 + dice.below(20)});
    auto lot = lot_of(code(entry.receives), "pale malt", "2026-03-01", 1.0);
    lot.received = date(entry.moves[0].on);
    lot.received_amount = grains(entry.moves[0].change);
    book.lots = {lot};
}

// Made, changed, put on another day or called off: all are one more statement of the plan.
void draw_plan(Dice& dice, Drawn& drawn) {
    auto& [entry, book] = drawn;
    auto& stated = entry.states.emplace();
    stated.plan = dice.below(plain_plans);
    stated.called_off = dice.below(4) == 0;
    auto& plan = book.plans.emplace_back();
    plan.code = plan_code(stated.plan);
    plan.date = date(dice.below(plain_days));
    plan.recipe = "pale";
    if (stated.called_off) plan.cancelled = "no time";
    for (int line = 0; !stated.called_off && line < dice.below(4); ++line) {
        const int lot = dice.below(plain_lots);
        const int amount = dice.below(9); // two lines may share a lot
        stated.promises[lot] += amount;
        plan.reserved.push_back({line, code(lot), grains(amount)});
    }
}

// A brew, counts and discards on several days; some brews are of a plan.
void draw_moves(Dice& dice, int number, Drawn& drawn) {
    auto& [entry, book] = drawn;
    auto brew = brew_of("B" + std::to_string(number), "2026-03-01", {});
    if (dice.below(3) == 0) {
        entry.brews = dice.below(plain_plans);
        brew.plan = plan_code(entry.brews);
    }
    for (int i = dice.below(3); i >= 0; --i) {
        PlainMove move{entry.receives >= 0 && dice.below(2) == 0 ? entry.receives : dice.below(plain_lots),
                       dice.below(plain_days), -dice.below(9)};
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
    if (!brew.additions.empty() || brew.plan) book.brews = {brew};
}

// A random entry, as the model and as a book.
Drawn random_entry(Dice& dice, int number) {
    Drawn drawn;
    const bool receives = dice.below(5) == 0;
    if (receives) draw_receipt(dice, drawn);
    const bool plans = dice.below(4) == 0;
    if (plans) draw_plan(dice, drawn);
    if ((!receives && !plans) || dice.below(2) == 0) draw_moves(dice, number, drawn);
    return drawn;
}

void book_one(Ledger& ledger, PlainLedger& model, Dice& dice, Modelled& counts) {
    const auto [entry, book] = random_entry(dice, static_cast<int>(model.entries.size()));
    const bool takes = model.takes(entry);
    const auto h = head(EntryKind::import_file, "2026-03-20");
    if (dice.below(4) == 0) CHECK((refusal([&] { (void)ledger.rehearse(book, h); }) == "nothing") == takes);
    CHECK((refusal([&] { (void)ledger.append(book, h); }) == "nothing") == takes);
    if (takes) model.entries.push_back(entry);
    ++(takes ? counts.booked : counts.refused);
    if (takes && entry.states) ++counts.planned;
    if (takes && entry.brews >= 0) ++counts.plans_brewed;
}

// The id in the ledger of what went into the brew by the addition.
std::string use_id(const Ledger& ledger, const Brew& brew, const Addition& addition) {
    const auto movements = ledger.movements(addition.lot);
    for (const auto& use : movements) {
        const auto answers = [&](const Movement& other) { return other.reverses == use.id; };
        if (use.kind == MovementKind::brew && use.brew == brew.code && use.on == addition.on.value_or(brew.date) &&
            use.change == -addition.amount && std::none_of(movements.begin(), movements.end(), answers))
            return *use.id;
    }
    FAIL("the ledger states an addition that no movement books");
    return "";
}

// A weight of some brew, put right: its opposite, and what should have been.
void correct_one(Ledger& ledger, PlainLedger& model, Dice& dice, Modelled& counts) {
    const auto brews = ledger.brews();
    if (brews.empty()) return;
    const Brew& brew = brews[static_cast<std::size_t>(dice.below(static_cast<int>(brews.size())))];
    if (brew.additions.empty()) return;
    Addition right = brew.additions[static_cast<std::size_t>(dice.below(static_cast<int>(brew.additions.size())))];
    auto back = movement_of(MovementKind::reversal, right.lot, "2026-03-01", 0.0);
    back.on = right.on.value_or(brew.date);
    back.change = right.amount;
    back.reverses = use_id(ledger, brew, right);
    const int lot = std::stoi(right.lot.substr(1)), on = static_cast<int>((back.on - date(0)).count());
    const std::int64_t was = right.amount.units;
    right.amount = grains(dice.below(15));
    PlainEntry entry;
    entry.corrects = std::stoi(brew.code.substr(1));
    entry.moves = {{lot, on, was}, {lot, on, -right.amount.units}};
    Book book;
    book.movements = {back};
    book.brews = {brew};
    book.brews[0].additions.clear();
    if (right.amount.units > 0) book.brews[0].additions = {right};
    const bool takes = model.takes(entry);
    CHECK((refusal([&] { (void)ledger.append(book, head(EntryKind::brew, "2026-03-20")); }) == "nothing") == takes);
    if (takes) model.entries.push_back(entry);
    ++(takes ? counts.corrected : counts.not_corrected);
}

void take_one_back(Ledger& ledger, PlainLedger& model, Dice& dice, Modelled& counts) {
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

void check_stock(const Ledger& ledger, const PlainLedger& model) {
    std::map<std::string, StockRow> there;
    for (const auto& row : ledger.stock()) there[row.lot] = row;
    for (int lot = 0; lot < plain_lots; ++lot) {
        CHECK(there.contains(code(lot)) == model.is_there(lot));
        if (!model.is_there(lot)) continue;
        CHECK(there[code(lot)].on_hand.units == model.balance(lot));
        CHECK(there[code(lot)].promised.units == model.promised(lot));
    }
}

Book names() {
    Book names;
    names.items = {malt("pale malt")};
    names.brewhouses.emplace_back().name = "main";
    names.brewhouses[0].volume = Litres(23.0);
    names.recipes.emplace_back().name = "pale";
    names.recipes[0].volume = Litres(23.0);
    names.recipes[0].grist = {{"pale malt", {}, Kilograms(4.0)}};
    return names;
}

} // namespace

void run_sequence(unsigned seed, int steps, Modelled& counts, Weights weights) {
    INFO("seed ", seed);
    Folder folder;
    auto ledger = new_ledger(folder.file("l"));
    Dice dice(seed);
    PlainLedger model;
    model.entries.resize(2); // made, and the names
    model.entries[0].live = model.entries[1].live = false;
    (void)ledger.append(names(), head(EntryKind::item, "2026-03-01"));
    for (int step = 0; step < steps; ++step) {
        if (dice.below(4) == 0 && model.entries.size() > 2)
            take_one_back(ledger, model, dice, counts);
        else if (weights == Weights::corrected && dice.below(5) == 0)
            correct_one(ledger, model, dice, counts);
        else
            book_one(ledger, model, dice, counts);
        check_stock(ledger, model);
    }
    CHECK(ledger.verify().empty());
    auto again = new_ledger(folder.file("again"));
    const auto book = ledger.book();
    (void)again.append(book, head(EntryKind::import_file, "2026-03-20"));
    CHECK(again.book() == book);
    check_stock(again, model);
    CHECK(again.verify().empty());
}

} // namespace lotwort::test
