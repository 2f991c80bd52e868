// Random command lines against a stocked ledger: each is answered or refused, none is a fault of ours, and with
// --dry-run none changes the ledger. LOTWORT_FUZZ_LINES=50000 tries more lines.
#include "every_option.hpp"
#include <algorithm>
#include <cstdlib>
#include <doctest/doctest.h>
#include <filesystem>
#include <random>

using namespace lotwort;
using namespace lotwort::test;

namespace {

const std::vector<std::string> values{
    "pale ale malt", "A",      "B",          "nobody",     "25kg",      "25",   "-1kg",        "0kg",     "1e5kg",
    "500g",          "6gal",   "23L",        "1.048",      "12P",       "1.5",  "65C",         "500C",    "81.5%",
    "4.2%",          "101%",   "300L/kg",    "36ppg",      "6EBC",      "3L",   "250",         "250WK",   "0.28",
    "fine-dry",      "today",  "2026-03-01", "2026-13-01", "yesterday", "malt", "base",        "hop",     "add",
    "list",          "show",   "change",     "all",        "1",         "99",   "kettle-full", "28L@95C", "1.040@20C",
    "60min",         "30days", "10.50",      "1,5kg",      "",          "é",    "=",           "x=2",     "metric"};

template <class List>
const auto& any_of(const List& list, std::mt19937& random) {
    return list[std::uniform_int_distribution<std::size_t>(0, list.size() - 1)(random)];
}

// A verb with its words and some of its options, each with any value at all.
std::vector<std::string> random_line(std::mt19937& random) {
    const cli::Command& command = *any_of(cli::commands(), random);
    std::vector<std::string> words{std::string(command.name)};
    for (const cli::Positional& positional : command.positionals)
        if (!positional.optional || random() % 3 != 0) words.push_back(any_of(values, random));
    const auto options = cli::all_options(command);
    for (auto count = random() % 4; count > 0; --count) {
        const cli::Option& option = any_of(options, random);
        if (option.name == "ledger" || option.name == "help" || option.name == "dry-run") continue;
        words.push_back("--" + std::string(option.name));
        if (!option.value.empty()) words.back() += "=" + any_of(values, random);
    }
    if (random() % 2 == 0) words.emplace_back("--json");
    const bool writes = command.ledger == cli::LedgerUse::writes || command.ledger == cli::LedgerUse::creates;
    if (writes) words.emplace_back("--dry-run");
    return words;
}

bool writes_a_file(const std::vector<std::string>& words) {
    const auto names_one = [](const std::string& word) {
        return word.starts_with("--model=") || word.starts_with("--out=");
    };
    return words.front() == "backup" || words.front() == "export" || words.front() == "report" ||
           std::ranges::any_of(words, names_one);
}

// A line that works, and a slip or a few: a word left out, said again, put elsewhere or another's, or one more.
std::vector<std::string> slipped_line(const Brewery& b, std::mt19937& random) {
    const Way& way = any_of(every_way(), random);
    const auto command = std::ranges::find(cli::commands(), way.verb(), [](const auto* c) { return c->name; });
    const auto options = cli::all_options(**command);
    auto words = b.words_of(way.line);
    for (auto slips = random() % 4; slips > 0; --slips) {
        const auto at = words.begin() + static_cast<std::ptrdiff_t>(1 + random() % words.size());
        const cli::Option& option = any_of(options, random);
        const auto is_word = at != words.end();
        switch (random() % 6) {
        case 0:
            if (is_word) words.erase(at);
            break;
        case 1:
            if (is_word) *at = any_of(values, random);
            break;
        case 2:
            words.insert(at, any_of(values, random));
            break;
        case 3:
            words.insert(at, "--" + std::string(option.name)); // its value is what follows
            break;
        case 4:
            words.insert(at, "--" + std::string(option.name) + "=" + any_of(values, random));
            break;
        default:
            for (auto& word : b.words_of(words_of_option(way, option))) words.push_back(std::move(word));
        }
    }
    return words;
}

// Of the words as the test wrote them, to be typed again.
std::string typed(const std::vector<std::string>& words) {
    std::string line;
    for (const auto& word : words) line += "'" + word + "' ";
    return line;
}

// What is written without a folder goes into the brewery's own.
class Inside {
public:
    explicit Inside(const Brewery& b) : before_(std::filesystem::current_path()) {
        std::filesystem::current_path(std::filesystem::path(b.ledger_path()).parent_path());
    }
    ~Inside() { std::filesystem::current_path(before_); }
    Inside(const Inside&) = delete;
    Inside& operator=(const Inside&) = delete;

private:
    std::filesystem::path before_;
};

} // namespace

TEST_CASE("a few slips away from command lines that work nothing is a fault of ours, and the ledger stays sound") {
    const char* more = std::getenv("LOTWORT_FUZZ_LINES");
    const int lines = more != nullptr ? std::atoi(more) : 1500;
    const unsigned seed = std::random_device{}();
    CAPTURE(seed);
    std::mt19937 random(seed);
    int answered = 0;
    for (int i = 0; i < lines;) {
        Brewery b; // anew now and then: what is booked makes the next lines odder, and slower
        stock_every_kind(b);
        const Inside inside(b);
        for (const int until = std::min(lines, i + 500); i < until; ++i) {
            const auto words = slipped_line(b, random);
            CAPTURE(typed(words));
            try {
                (void)cli::dispatch(words, b.surroundings());
                ++answered;
            } catch (const Error& e) {
                CHECK(std::string(e.what()).size() > 3);
            } catch (const std::exception& e) {
                FAIL_CHECK(e.what());
            }
        }
        CHECK(b.json("verify")["sound"] == true);
    }
    CHECK(answered > lines / 20);
}

TEST_CASE("3,000 random command lines are answered or refused with a hint, and dry runs change nothing") {
    const unsigned seed = std::random_device{}();
    CAPTURE(seed);
    std::mt19937 random(seed);
    Brewery b;
    b.done("init");
    b.done("receive \"pale ale malt\" 25kg --lot A --extract 81.5% --basis fine-dry");
    b.done("receive \"bittering hop\" 500g --lot B");
    const std::string before = b.done("export");
    int answered = 0;
    for (int i = 0; i < 3000; ++i) {
        const auto words = random_line(random);
        if (writes_a_file(words)) continue;
        CAPTURE(typed(words));
        try {
            (void)cli::dispatch(words, b.surroundings());
            ++answered;
        } catch (const Error& e) {
            CHECK(std::string(e.what()).size() > 3);
        } catch (const std::exception& e) {
            FAIL_CHECK(e.what());
        }
    }
    CHECK(answered > 50);
    CHECK(b.done("export") == before);
}
