#include "brew_shared.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/stock/typical.hpp>

namespace lotwort::cli {

namespace {

template <class Record>
const Record& known(const std::vector<Record>& records, std::string_view name, std::string_view kind,
                    std::string_view where_to_look) {
    const auto found = std::ranges::find(records, name, &Record::name);
    if (found != records.end()) return *found;
    std::vector<std::string> names;
    for (const auto& record : records) names.push_back(record.name);
    refuse_unknown(kind, name, names, where_to_look);
}
template <class Record>
const Record& known(const std::vector<Record>&&, std::string_view, std::string_view, std::string_view) = delete;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

} // namespace

const Brewhouse& known_brewhouse(const Book& book, std::string_view name) {
    return known(book.brewhouses, name, "brewhouse", "lotwort brewhouse");
}

const Recipe& known_recipe(const Book& book, std::string_view name) {
    return known(book.recipes, name, "recipe", "lotwort recipe");
}

const Instrument& known_instrument(const Book& book, std::string_view name) {
    return known(book.instruments, name, "instrument", "lotwort brewhouse");
}

const Brewhouse& chosen_brewhouse(const Book& book, const std::optional<std::string>& name) {
    if (name) return known_brewhouse(book, *name);
    if (book.brewhouses.empty())
        throw Error(ErrorKind::refused, "there is no brewhouse to brew on yet",
                    "a name and its volume are enough: lotwort brewhouse add garage 23L");
    if (book.brewhouses.size() > 1) {
        std::string names;
        for (const auto& brewhouse : book.brewhouses) names += (names.empty() ? "" : ", ") + shell_word(brewhouse.name);
        throw Error(ErrorKind::refused,
                    fmt::format("there are {} brewhouses, and none is named", book.brewhouses.size()),
                    "add --brewhouse with one of: " + names);
    }
    return book.brewhouses.front();
}

std::string next_code(std::string_view prefix, const std::vector<std::string>& taken) {
    std::uint64_t highest = 0;
    std::size_t digits = 1;
    for (const std::string& code : taken) {
        if (!code.starts_with(prefix)) continue;
        const std::string_view tail = std::string_view(code).substr(prefix.size());
        // beyond nine digits it is somebody else's numbering
        if (tail.empty() || tail.size() > 9 || !std::ranges::all_of(tail, is_digit)) continue;
        const std::uint64_t number = std::stoull(std::string(tail));
        if (number < highest) continue;
        highest = number;
        digits = tail.size();
    }
    return fmt::format("{}{:0{}}", prefix, highest + 1, digits);
}

Item item_of_name(const std::string& name) {
    Item item;
    item.name = name;
    const GuessedKind guess = guess_kind(name);
    item.kind = guess.kind;
    if (!guess.malt_class.empty()) item.malt_class = std::string(guess.malt_class);
    return item;
}

std::string typed_text(Amount amount) {
    std::string text = to_text(amount);
    std::erase(text, ' ');
    return text;
}

const std::string& needed(const Call& call, std::string_view positional, std::string_view write) {
    if (!call.args.has(positional))
        throw Error(ErrorKind::usage, fmt::format("{} is missing", positional), fmt::format("write: {}", write));
    return call.args.required(positional);
}

} // namespace lotwort::cli
