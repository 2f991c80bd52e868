// Random command lines against a stocked ledger: each is answered or refused, none is a fault of ours, and with
// --dry-run none changes the ledger.
#include "brewery.hpp"
#include <algorithm>
#include <doctest/doctest.h>
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

} // namespace

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
        std::string line;
        for (const auto& word : words) line += "'" + word + "' ";
        CAPTURE(line);
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
