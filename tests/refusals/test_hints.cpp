// Each hint of the gallery is typed: it is taken, and it means what was meant.
#include "hints.hpp"
#include "place.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <filesystem>
#include <iostream>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/typed.hpp>
#include <regex>
#include <set>

using namespace lotwort;
using namespace lotwort::test;

// What breaks if this breaks: a brewer who does what the hint says is refused again, or books another quantity.

namespace {

namespace fs = std::filesystem;

std::vector<std::string> lines_of(const std::string& command, const std::string& error) {
    std::vector<std::string> lines;
    for (const auto& hint : typed_hints(command, error)) lines.push_back(hint.line);
    return lines;
}

// The store of a transcript, set aside to be put back behind every hint.
class Store {
public:
    explicit Store(const Place& place) : place_(place.folder()), kept_(place.folder() + ".kept") { keep(); }
    ~Store() {
        std::error_code ignored;
        fs::remove_all(kept_, ignored);
    }
    Store(const Store&) = delete;
    Store& operator=(const Store&) = delete;

    void keep() const {
        fs::remove_all(kept_);
        fs::copy(place_, kept_, how);
    }
    void put_back() const {
        for (const auto& entry : fs::directory_iterator(place_)) fs::remove_all(entry.path());
        fs::copy(kept_, place_, how);
    }

private:
    static constexpr auto how = fs::copy_options::recursive | fs::copy_options::copy_symlinks;
    fs::path place_, kept_;
};

std::string filled(std::string line, const Refusal& refusal) {
    for (const auto& placeholder : placeholders_in(line)) {
        const auto with = refusal.fills.find(placeholder);
        if (with == refusal.fills.end()) continue;
        line.replace(line.find(" " + placeholder) + 1, placeholder.size(), with->second);
    }
    return line;
}

// What the number at its beginning may be: 1,250 one and a quarter, or a thousand and a quarter of it.
std::vector<double> numbers_of(const std::string& text) {
    std::smatch number;
    if (!std::regex_search(text, number, std::regex("^-?([0-9.,' ]*[0-9])"))) return {};
    std::string with_point = number[1].str(), whole = with_point;
    std::replace(with_point.begin(), with_point.end(), ',', '.');
    std::erase_if(whole, [](char c) { return c < '0' || c > '9'; });
    std::vector<double> all{std::stod(with_point)};
    const auto last = text.find_last_of(".,");
    if (last != std::string::npos && last + 4 <= text.size()) all.push_back(std::stod(whole));
    return all;
}

// In the unit of its kind; of a number alone, and where the unit is not known, nothing.
std::optional<std::pair<std::size_t, double>> quantity_of(const std::string& text) {
    try {
        const Typed typed = parse_typed(text);
        if (std::holds_alternative<Bare>(typed.value)) return std::nullopt;
        return std::pair{typed.value.index(), std::visit([](const auto& q) { return q.value(); }, typed.value)};
    } catch (const Error&) {
        return std::nullopt;
    }
}

// A gravity is written in three ways by slip: 1048, 1.42 (points), and with the unit of another scale.
bool is_gravity_meant(double typed, double offered) {
    const double points = 1.0 + (typed - 1.0) / 10.0;
    return std::abs(offered - typed / 1000.0) < 1e-6 || std::abs(offered - points) < 1e-6;
}

// Of what may be two days: the typed numbers in another order, or a day of the weekday that was named.
bool is_day_meant(const std::string& refused, const std::string& offered) {
    const auto day = parse_iso_date(offered);
    if (!day) return false;
    const auto numbers = [](const std::string& text) {
        std::multiset<int> all;
        const std::regex digits("[0-9]+");
        for (auto at = std::sregex_iterator(text.begin(), text.end(), digits); at != std::sregex_iterator(); ++at)
            all.insert(std::stoi(at->str()));
        return all;
    };
    return lowered(weekday_of(*day)) == lowered(refused) || numbers(refused) == numbers(offered);
}

bool means_the_same(const std::string& refused, const std::string& offered) {
    const auto near = [](double a, double b) { return std::abs(a - b) <= 1e-3 * std::abs(b); };
    if (offered == refused + "/h") return true; // a volume that boils off, by the hour
    if (is_day_meant(refused, offered)) return true;
    const auto meant = quantity_of(refused), said = quantity_of(offered);
    if (meant && said && meant->first == said->first && near(std::abs(meant->second), said->second)) return true;
    const auto numbers = numbers_of(refused), offers = numbers_of(offered);
    return std::ranges::any_of(numbers, [&](double n) {
        const bool is_number = near(n, offers.front()) && !(meant && said && meant->first != said->first);
        return is_number || is_gravity_meant(n, offers.front());
    });
}

// "received 25 kg of": what the newest entry says of amounts.
bool newest_entry_holds(const Place& place, const std::string& offered) {
    const std::string said = place.run("lotwort history --last 1").out;
    const auto meant = quantity_of(offered);
    const std::regex amount("([0-9.]+) (kg|g|L|ml|pieces?)\\b");
    for (auto at = std::sregex_iterator(said.begin(), said.end(), amount); at != std::sregex_iterator(); ++at) {
        const auto held = quantity_of((*at)[1].str() + (*at)[2].str());
        if (held && meant && held->first == meant->first &&
            std::abs(held->second - meant->second) <= 1e-3 * meant->second)
            return true;
    }
    return false;
}

bool books_an_amount(const std::string& command) {
    return command.starts_with("lotwort receive") || command.starts_with("lotwort discard");
}

// The line is taken, or the word that was put into it is, and the line refused for something else: a count that differs
// asks for its reason.
bool is_taken(const Said& said, const TypedHint& hint) {
    const bool is_answered = said.status == 0 || (said.status == 3 && said.error.empty());
    return is_answered || (hint.value && said.error.find("`" + *hint.value + "`") == std::string::npos);
}

void type(const Place& place, const Refusal& refusal, const TypedHint& hint) {
    const std::string line = filled(hint.line, refusal);
    INFO("typed: " << line);
    for (const auto& open : placeholders_in(line))
        if (refusal.command.find(open) == std::string::npos) FAIL_CHECK("`" << open << "` is not filled");
    const Said said = place.run(line);
    CHECK_MESSAGE(is_taken(said, hint), said.error);
    if (!hint.value) return;
    CHECK_MESSAGE(means_the_same(hint.refused, *hint.value), "`" << hint.refused << "` is not " << *hint.value);
    const bool is_amount = std::regex_search(*hint.value, std::regex("(kg|g|lb|oz|L|ml|galUS|galUK|pieces)$"));
    if (said.status == 0 && is_amount && books_an_amount(line))
        CHECK_MESSAGE(newest_entry_holds(place, *hint.value), "not booked: " << *hint.value);
}

// Of the names offered one was meant, and is taken.
std::size_t type_all(const Place& place, const Store& store, const Refusal& refusal) {
    const auto hints = typed_hints(refusal.command, refusal.error);
    std::string names, complaints;
    bool any = false;
    for (const TypedHint& hint : hints) {
        if (hint.is_one_of) {
            const Said said = place.run(hint.line);
            any = any || is_taken(said, hint);
            names += hint.line + "\n";
            complaints += said.error;
        } else {
            type(place, refusal, hint);
        }
        store.put_back();
    }
    CHECK_MESSAGE((any || names.empty()), "none of these is taken:\n" << names << complaints);
    return hints.size();
}

} // namespace

TEST_CASE("a hint is read as a person reads it") {
    const std::vector<std::string> none;
    CHECK(lines_of("lotwort stock mlat",
                   "lotwort stock: there is no item `mlat`\ndid you mean `pale malt` or `malt`?\n") ==
          std::vector<std::string>{"lotwort stock \"pale malt\"", "lotwort stock malt"});
    CHECK(lines_of("lotwort count P-1 1", "lotwort count: `1` has no unit\nwrite 1L or 1galUS\n") ==
          std::vector<std::string>{"lotwort count P-1 1L", "lotwort count P-1 1galUS"});
    CHECK(lines_of("lotwort count P 7", "lotwort count: differs\nsay why: add --reason \"it leaks\"\n") ==
          std::vector<std::string>{"lotwort count P 7 --reason \"it leaks\""});
    CHECK(lines_of("lotwort item x", "lotwort item: no\nlotwort item change \"a b\" alters it\n") ==
          std::vector<std::string>{"lotwort item change \"a b\""});
    CHECK(lines_of("lotwort convert 3 --from sg --to x", "lotwort convert: --from has no part\nleave --from out\n") ==
          std::vector<std::string>{"lotwort convert 3 --to x"});
    CHECK(lines_of("lotwort receive malt x", "lotwort receive: `x` is not a mass\nwrite a number, such as 25kg\n") ==
          none);
    CHECK(lines_of("lotwort receive malt 2000t", "lotwort receive: `2000t` is no mass\nfrom 0 to 1000 kg is taken\n") ==
          none);
    CHECK(placeholders_in("lotwort brew B1 --add LOT=AMOUNT --reason \"WHY NOT\"") ==
          std::vector<std::string>{"LOT=AMOUNT"});
}

TEST_CASE("each hint of the gallery is taken when it is typed, and means what was meant") {
    std::size_t typed = 0, untyped = 0;
    for (const Transcript& transcript : gallery()) {
        const Place place;
        place.prepare(transcript);
        const Store store(place);
        for (const Refusal& refusal : transcript.refusals) {
            INFO("tests/refusals/" << transcript.name << ":" << refusal.line << ": " << refusal.title);
            INFO("$ " << refusal.command << "\n" << refusal.error);
            if (refusal.as_nobody || !refusal.disk.empty()) continue; // the hint is to mend the machine
            if (refusal.status == 0) {
                (void)place.run(refusal);
                store.keep();
            }
            if (refusal.hint_untyped.empty()) {
                typed += type_all(place, store, refusal);
            } else {
                CHECK_MESSAGE(!typed_hints(refusal.command, refusal.error).empty(), "nothing is to be typed");
                ++untyped;
            }
        }
    }
    std::cout << typed << " hints typed, " << untyped << " refusals whose hint cannot be\n";
    CHECK(typed > 200);
}
