// The same books as a double-entry journal in plain text.
#include "statement_tables.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/report/statement.hpp>
#include <lotwort/report/text.hpp>
#include <map>

namespace lotwort::report {

namespace {

// An account's name ends at two blanks, and its parts at a colon; a comment begins at a semicolon.
std::string part_of_name(std::string_view text) {
    std::string part;
    for (const char c : text) {
        const char kept = c == ':' ? '-' : c == ';' ? ',' : static_cast<unsigned char>(c) < ' ' ? ' ' : c;
        if (kept != ' ' || (!part.empty() && part.back() != ' ')) part += kept;
    }
    while (part.ends_with(' ')) part.pop_back();
    return part;
}

std::string stock_of(ItemKind kind, const std::string& item) {
    return fmt::format("stock:{}:{}", word(kind), part_of_name(item));
}

std::string other_side(const StockPosting& posting) {
    switch (posting.flow) {
    case Flow::received:
    case Flow::returned:
        return "liabilities:suppliers:" + (posting.supplier ? part_of_name(*posting.supplier) : "unnamed");
    case Flow::made:
        return "equity:made and shared out";
    case Flow::used:
        return fmt::format("expenses:brewing:{}", word(posting.kind));
    case Flow::lost:
        return fmt::format("expenses:lost:{}", word(posting.kind));
    case Flow::found:
        return fmt::format("income:found:{}", word(posting.kind));
    }
    return "";
}

// All digits, so that no reader takes a decimal point for a mark of thousands.
std::string quantity(Amount amount) {
    const std::string unit = amount_unit(amount);
    if (amount.measure == Measure::count) return fmt::format("{} {}", amount.units, "pieces");
    const auto size = static_cast<std::uint64_t>(amount.units < 0 ? -amount.units : amount.units);
    return fmt::format("{}{}.{:06} {}", amount.units < 0 ? "-" : "", size / 1'000'000, size % 1'000'000,
                       unit == "l" ? "L" : unit);
}

std::string money_line(std::string_view account, Money money, const std::string& currency) {
    return fmt::format("    {}  {}\n", account, money_text(money, currency));
}
std::string amount_line(const std::string& stock, Amount amount) {
    return fmt::format("    (amounts:{})  {}\n", stock, quantity(amount));
}

std::string said_of(const StockPosting& posting) {
    std::string said = fmt::format("{} {} ({})", WordsOf<Flow>::list[static_cast<std::size_t>(posting.flow)],
                                   posting.lot, posting.item);
    if (posting.brew) said += " in " + *posting.brew;
    if (posting.reason) said += ", " + *posting.reason;
    return part_of_name(said);
}

std::string posted(const StockPosting& posting, const std::string& currency) {
    const std::string stock = stock_of(posting.kind, posting.item);
    std::string text = fmt::format("\n{} {}\n", to_iso(posting.on), said_of(posting));
    if (posting.change.value.minor != 0) {
        text += money_line("assets:" + stock, posting.change.value, currency);
        text += money_line(other_side(posting), Money{-posting.change.value.minor}, currency);
    }
    return text + amount_line(stock, posting.change.amount);
}

std::string opened(const Statement& statement) {
    std::string lines;
    Money sum;
    for (const StockAccount& item : statement.books.items) {
        const std::string stock = stock_of(item.kind, item.item);
        sum.minor += item.opening.value.minor;
        if (item.opening.value.minor != 0)
            lines += money_line("assets:" + stock, item.opening.value, statement.currency);
        if (item.opening.amount.units != 0) lines += amount_line(stock, item.opening.amount);
    }
    if (lines.empty()) return "";
    if (sum.minor != 0) lines += money_line("equity:opening", Money{-sum.minor}, statement.currency);
    return fmt::format("\n{} opening\n{}", to_iso(statement.from), lines);
}

// Asserted at the end, so that whoever changes a line above is told.
std::string closed(const Statement& statement) {
    std::map<std::string, std::map<std::string, std::int64_t>> money, amounts; // by account, by unit: names may meet
    std::map<std::string, Measure> measures;
    std::string lines;
    for (const StockAccount& item : statement.books.items) {
        const std::string stock = stock_of(item.kind, item.item);
        money["assets:" + stock][statement.currency] += item.closing.value.minor;
        const std::string unit = amount_unit(item.closing.amount);
        measures[unit] = item.closing.amount.measure;
        amounts[stock][unit] += item.closing.amount.units;
    }
    for (const auto& [account, sums] : money)
        for (const auto& [unit, sum] : sums)
            lines += fmt::format("    {}  {} = {}\n", account, money_text(Money{}, unit), money_text(Money{sum}, unit));
    for (const auto& [stock, sums] : amounts)
        for (const auto& [unit, sum] : sums)
            lines += fmt::format("    (amounts:{})  {} = {}\n", stock, quantity({measures[unit], 0}),
                                 quantity({measures[unit], sum}));
    return lines.empty() ? "" : fmt::format("\n{} closing\n{}", to_iso(statement.to), lines);
}

} // namespace

std::string statement_journal(const Statement& statement) {
    std::string text = fmt::format("; stock at cost, {} to {}, as booked up to entry {}\n", to_iso(statement.from),
                                   to_iso(statement.to), statement.entries);
    if (const auto freight = freight_sentence(statement); !freight.empty()) text += "; " + freight + "\n";
    text += opened(statement);
    for (const StockPosting& posting : statement.books.postings) text += posted(posting, statement.currency);
    return text + closed(statement);
}

} // namespace lotwort::report
