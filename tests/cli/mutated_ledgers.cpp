#include "mutated_ledgers.hpp"
#include "../../src/exchange/exchange_fields.hpp"
#include "brewery.hpp"
#include "exchange/generated_book.hpp"
#include "golden.hpp"
#include <algorithm>
#include <chrono>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>

namespace lotwort::test {

namespace {

// SplitMix64 (Steele, Lea and Flood 2014): the same numbers everywhere.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 7) {}
    std::uint64_t next() {
        std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
        return z ^ (z >> 31U);
    }
    std::size_t below(std::size_t count) { return static_cast<std::size_t>(next() % count); }
    bool one_in(std::size_t count) { return below(count) == 0; }
    double fraction() { return static_cast<double>(next() >> 11U) * 0x1p-53; }

private:
    std::uint64_t state_;
};

// Changes one field of a record, whichever the dice say, within what may be booked. References stay: what names another
// record is at most left out.
class Mutator {
public:
    explicit Mutator(Dice& dice) : dice_(dice) {}

    template <HasFields Record>
    void vary(Range /*of its fields*/, Record& record) {
        std::size_t count = 0;
        for_each_exchange_field<Record>([&](const auto&) { ++count; });
        const std::size_t chosen = dice_.below(count);
        std::size_t at = 0;
        for_each_exchange_field<Record>([&](const auto& f) {
            if (at++ == chosen) vary(f.range, value_in(record, f));
        });
    }
    template <class Value>
    void vary(Range range, std::optional<Value>& value) {
        if (value && dice_.one_in(3)) return value.reset();
        if constexpr (std::is_same_v<Value, std::string>) {
            return;
        } else {
            if (!value) value.emplace();
            vary(range, *value);
        }
    }
    template <class Value>
    void vary(Range range, std::vector<Value>& values) {
        if (values.empty()) return;
        Value& one = values[dice_.below(values.size())];
        switch (dice_.below(4)) {
        case 0:
            return values.clear();
        case 1:
            values.erase(values.begin() + (&one - values.data()));
            return;
        default:
            vary(range, one);
        }
    }
    template <class Unit>
    void vary(Range range, Quantity<Unit>& value) {
        value = Quantity<Unit>(number(range, value.value()));
    }
    template <class Scale, class Difference>
    void vary(Range range, Point<Scale, Difference>& value) {
        value = Point<Scale, Difference>(number(range, value.value()));
    }
    template <class Enum>
    requires std::is_enum_v<Enum>
    void vary(Range /*words*/, Enum& value) { value = static_cast<Enum>(dice_.below(WordsOf<Enum>::list.size())); }
    void vary(Range /*text*/, std::string& /*a reference or a name*/) {}
    void vary(Range range, double& value) { value = number(range, value); }
    void vary(Range range, int& value) { value = static_cast<int>(number(range, value)); }
    void vary(Range /*days*/, Date& day) {
        const std::array<int, 6> days{-40000, -400, -1, 1, 400, 60000};
        day += std::chrono::days(days[dice_.below(days.size())]);
    }
    void vary(Range range, Money& value) { value.minor = std::llround(100.0 * number(range, 10.0)); }
    void vary(Range /*pair*/, DipMark& mark) { mark.volume = Litres(number({0.0, 1e6}, mark.volume.value())); }
    void vary(Range range, Amount& amount) {
        const double most = std::min(range.most, 1e6) * (amount.measure == Measure::count ? 1.0 : 1e6);
        amount.units = std::max<std::int64_t>(
            1, std::llround(number({1.0, most}, static_cast<double>(std::max<std::int64_t>(amount.units, 1)))));
    }

private:
    double number(Range range, double now) {
        const double least = std::isfinite(range.least) ? range.least : 0.0;
        const double most = std::isfinite(range.most) ? range.most : 1000.0;
        const auto within = [&](double x) { return std::clamp(x, least, most); };
        switch (dice_.below(8)) {
        case 0:
            return least;
        case 1:
            return most;
        case 2:
            return within(0.0);
        case 3:
            return within(10.0 * now);
        case 4:
            return within(0.1 * now);
        case 5:
            return within(now * (0.5 + dice_.fraction()));
        case 6:
            return within(1e-9);
        default:
            return least + dice_.fraction() * (most - least);
        }
    }
    Dice& dice_;
};

// What no single field is: a base malt forgotten, a brew without readings, a certificate lost.
void leave_out(Book& book, Dice& dice) {
    if (book.brews.empty() || book.lots.empty() || book.recipes.empty()) return;
    Brew& brew = book.brews[dice.below(book.brews.size())];
    switch (dice.below(7)) {
    case 0:
        if (!brew.additions.empty()) brew.additions.erase(brew.additions.begin());
        break;
    case 1:
        brew.readings.clear();
        break;
    case 2:
        std::erase_if(brew.readings, [&](const Reading&) { return dice.one_in(2); });
        break;
    case 3:
        book.lots[dice.below(book.lots.size())].certificate.reset();
        break;
    case 4:
        book.recipes[dice.below(book.recipes.size())].grist.clear();
        break;
    case 5: { // a double batch
        const Brew& other = book.brews[dice.below(book.brews.size())];
        if (other.code != brew.code) brew.fermented_with = other.code;
        break;
    }
    default:
        if (!brew.additions.empty()) brew.additions.push_back(brew.additions.front());
        break;
    }
}

// The exchange's lists of a book, each as often as it has records.
void vary_some_record(Book& book, Dice& dice) {
    Mutator mutator(dice);
    const auto one_of = [&](auto& records) {
        if (!records.empty()) mutator.vary(Range{}, records[dice.below(records.size())]);
    };
    switch (dice.below(12)) {
    case 0:
        return one_of(book.items);
    case 1:
        return one_of(book.instruments);
    case 2:
    case 3:
        return one_of(book.brewhouses);
    case 4:
        return one_of(book.lots);
    case 5:
        for (Lot& lot : book.lots)
            if (lot.certificate && dice.one_in(2)) return mutator.vary(Range{}, *lot.certificate);
        return;
    case 6:
        return one_of(book.recipes);
    case 7:
        return one_of(book.brews);
    case 8:
        return one_of(book.plans);
    case 9:
        return one_of(book.offers);
    default:
        if (book.brews.empty()) return;
        Brew& brew = book.brews[dice.below(book.brews.size())];
        return dice.one_in(4) ? one_of(brew.additions) : one_of(brew.readings);
    }
}

const Book& simulated_brewery(bool second) {
    static const std::array<Book, 2> both{
        read_exchange(project_file("tests/golden/first-brewery.json"), "first-brewery.json"),
        read_exchange(project_file("tests/golden/second-brewery.json"), "second-brewery.json")};
    return both[second ? 1 : 0];
}

// A word of a number that is none.
bool is_no_number(std::string_view text) {
    for (const std::string_view word : {"nan", "inf"})
        for (auto at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
            const auto letter = [&](std::size_t i) {
                return i < text.size() && (std::isalnum(static_cast<unsigned char>(text[i])) || text[i] == '_');
            };
            if (!letter(at + 3) && (at == 0 || !letter(at - 1))) return true;
        }
    return false;
}

class Asker {
public:
    Asker(const Brewery& brewery, LedgerTrial& trial) : brewery_(brewery), trial_(trial) {}

    // may_refuse: of what is asked by name, which may not be there or be beyond an answer. A verb over all brews
    // answers whatever one of them is.
    void ask(const std::string& line, bool may_refuse) {
        for (const char* as : {"", " --json"}) {
            if (*as != '\0' && line.starts_with("report")) continue;
            try {
                const Said said = brewery_.run(line + as);
                if (said.error.empty()) {
                    ++trial_.answers;
                    if (*as != '\0') (void)Json::parse(said.out);
                    if (is_no_number(said.out)) flaw(line + as, "an answer that is not a number");
                } else {
                    ++trial_.refusals;
                    if (!may_refuse) flaw(line + as, said.error);
                }
            } catch (const std::exception& e) {
                flaw(line + as, e.what());
            }
        }
    }

private:
    void flaw(const std::string& line, const std::string& what) {
        trial_.flaws.push_back(fmt::format("{}: {}", line, what));
    }
    const Brewery& brewery_;
    LedgerTrial& trial_;
};

} // namespace

Book mutated_book(std::uint64_t number) {
    Dice dice(number);
    Book book;
    if (dice.one_in(10)) {
        book = generated_book(number);
    } else {
        book = simulated_brewery(dice.one_in(2));
        const std::size_t brews = 1 + dice.below(6), from = dice.below(book.brews.size() - brews);
        book.brews.erase(book.brews.begin(), book.brews.begin() + static_cast<std::ptrdiff_t>(from));
        book.brews.resize(brews);
        std::erase_if(book.plans, [&](const Plan&) { return dice.one_in(3); });
    }
    const std::size_t changes = 1 + dice.below(8);
    for (std::size_t i = 0; i < changes; ++i) dice.one_in(3) ? leave_out(book, dice) : vary_some_record(book, dice);
    return book;
}

LedgerTrial ask_all(const Book& book, bool slow) {
    LedgerTrial trial;
    const auto begin = std::chrono::steady_clock::now();
    const Brewery brewery("2025-06-20");
    brewery.done("init");
    brewery.write("book.json", write_exchange(book));
    trial.taken = brewery.run("import FOLDER/book.json").error.empty();
    if (!trial.taken) return trial;
    Asker asker(brewery, trial);
    asker.ask("reconcile --all", false);
    asker.ask("trend", false);
    asker.ask("stock", false);
    for (std::size_t i = 0; i < book.brews.size() && i < 2; ++i) {
        asker.ask("reconcile " + book.brews[i].code, true);
        asker.ask("explain " + book.brews[i].code, true);
    }
    if (!book.recipes.empty())
        asker.ask(fmt::format("plan \"{}\" --on 2025-07-01 --dry-run", book.recipes.front().name), true);
    if (slow) {
        asker.ask("report", false);
        if (!book.brews.empty()) asker.ask("report brew " + book.brews.front().code, true);
        if (!book.plans.empty()) asker.ask("substitute " + book.plans.front().code, true);
        asker.ask("buy", true);
    }
    trial.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return trial;
}

} // namespace lotwort::test
