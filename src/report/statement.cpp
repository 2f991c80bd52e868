#include "statement_tables.hpp"
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

// A line of the account: what was there, each way of coming and going, what is left.
struct Line {
    std::string word;
    std::function<const Worth&(const StockAccount&)> of;
};

std::vector<Line> lines_of_account() {
    std::vector<Line> lines{{"opening", [](const StockAccount& a) -> const Worth& { return a.opening; }}};
    for (std::size_t i = 0; i < flow_count; ++i)
        lines.push_back(
            {std::string(WordsOf<Flow>::list[i]), [i](const StockAccount& a) -> const Worth& { return a.flows[i]; }});
    lines.push_back({"closing", [](const StockAccount& a) -> const Worth& { return a.closing; }});
    return lines;
}

bool is_in(const Line& line, const std::vector<StockAccount>& accounts) {
    return line.word == "opening" || line.word == "closing" ||
           std::ranges::any_of(accounts, [&](const StockAccount& account) {
               return line.of(account).amount.units != 0 || line.of(account).value.minor != 0;
           });
}

std::string upper(std::string text) {
    std::ranges::transform(text, text.begin(), [](char c) { return c >= 'a' && c <= 'z' ? char(c - 32) : c; });
    return text;
}

std::string amount_cell(Amount amount) {
    return amount.units == 0 ? "-" : to_text(amount);
}
std::string money_cell(Money money) {
    return money.minor == 0 ? "-" : money_text(money);
}

Money total(const std::vector<StockAccount>& accounts, const Line& line) {
    Money sum;
    for (const StockAccount& account : accounts) sum.minor += line.of(account).value.minor;
    return sum;
}

std::string litres(Amount amount) {
    return amount.units == 0 ? "-" : fixed(amount.litres().value(), 2);
}

constexpr std::string_view caution = "beer: figures to copy; your authority's rules and instruments decide";

} // namespace

Table statement_kinds(const Statement& statement, bool money) {
    const auto& kinds = statement.kinds;
    Table table{{{money ? statement.currency : "AMOUNT"}}, {}};
    for (const StockAccount& kind : kinds)
        table.columns.push_back({upper(std::string(word(kind.kind))), Align::right, true});
    if (money) table.columns.push_back({"ALL", Align::right});
    for (const Line& line : lines_of_account()) {
        if (!is_in(line, kinds)) continue;
        std::vector<std::string> row{line.word};
        for (const StockAccount& kind : kinds)
            row.push_back(money ? money_cell(line.of(kind).value) : amount_cell(line.of(kind).amount));
        if (money) row.push_back(money_cell(total(kinds, line)));
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table statement_items(const Statement& statement) {
    Table table{{{"ITEM", Align::left, true}, {"WHAT"}, {"AMOUNT", Align::right}, {statement.currency, Align::right}},
                {}};
    for (const StockAccount& item : statement.books.items)
        for (const Line& line : lines_of_account())
            if (is_in(line, {item}))
                table.rows.push_back({line.word == "opening" ? item.item : "", line.word,
                                      amount_cell(line.of(item).amount), money_cell(line.of(item).value)});
    std::string first = "all";
    for (const Line& line : lines_of_account()) {
        if (!is_in(line, statement.books.items)) continue;
        table.rows.push_back({first, line.word, "", money_cell(total(statement.books.items, line))});
        first.clear();
    }
    return table;
}

Table statement_beer(const Statement& statement) {
    Table table{{{"BEER, L", Align::left},
                 {"BEFORE", Align::right},
                 {"BREWED", Align::right},
                 {"°P", Align::right},
                 {"PACKAGED", Align::right},
                 {"% VOL", Align::right},
                 {"LOST", Align::right},
                 {"IN TANKS", Align::right}},
                {}};
    for (const BeerMonth& month : statement.beer)
        table.rows.push_back({to_iso(month.from).substr(0, 7), litres(month.opening), litres(month.brewed),
                              month.original_plato ? fixed(*month.original_plato, 2) : "", litres(month.packaged),
                              month.packaged_abv ? fixed(*month.packaged_abv, 2) : "", litres(month.lost),
                              litres(month.in_tanks)});
    return table;
}

std::string statement_heading(const Statement& statement) {
    return fmt::format("{} to {}, as booked up to entry {}", to_iso(statement.from), to_iso(statement.to),
                       statement.entries);
}

std::string statement_lead(const Statement& statement) {
    std::string text;
    for (const Line& line : lines_of_account()) {
        if (!is_in(line, statement.books.items)) continue;
        const Money sum = total(statement.books.items, line);
        if (line.word == "opening")
            text += fmt::format("{} of stock on {}", money_text(sum, statement.currency), to_iso(statement.from));
        else if (line.word == "closing")
            text += fmt::format("; {} on {}.", money_text(sum), to_iso(statement.to));
        else
            text += fmt::format(", {} {}", money_text(Money{std::abs(sum.minor)}), line.word);
    }
    if (statement.beer.empty()) return text;
    Amount brewed{Measure::volume, 0}, packaged = brewed;
    for (const BeerMonth& month : statement.beer) {
        brewed = brewed + month.brewed;
        packaged = packaged + month.packaged;
    }
    return text + fmt::format(" Beer: {} brewed, {} packaged, {} in tanks.", to_text(brewed), to_text(packaged),
                              to_text(statement.beer.back().in_tanks));
}

std::string freight_sentence(const Statement& statement) {
    if (statement.freight_beside.minor == 0) return "";
    return fmt::format("beside these figures stand {} of freight of what was received: brews bear it, stock does not",
                       money_text(statement.freight_beside, statement.currency));
}

std::vector<std::string> statement_remarks(const Statement& statement) {
    std::vector<std::string> all = statement.says;
    const auto& lots = statement.books.without_price;
    if (!lots.empty())
        all.push_back(fmt::format("no price, and nothing in money: {}{}", *lots.begin(),
                                  lots.size() > 1 ? fmt::format(" and {} more", lots.size() - 1) : ""));
    if (const auto freight = freight_sentence(statement); !freight.empty()) all.push_back(freight);
    if (!statement.beer.empty()) all.emplace_back(caution);
    return all;
}

namespace {

void worth_fields(JsonWriter& w, const StockAccount& account) {
    for (const Line& line : lines_of_account()) {
        write_amount_field(w, line.word, line.of(account).amount);
        write_money_field(w, line.word + "_value", line.of(account).value);
    }
}

void account_json(JsonWriter& w, const std::vector<StockAccount>& accounts) {
    w.begin_array();
    for (const StockAccount& account : accounts) {
        w.begin_object(JsonWriter::Layout::one_line);
        if (!account.item.empty()) w.field("item", account.item);
        w.field("kind", word(account.kind));
        worth_fields(w, account);
        w.end_object();
    }
    w.end_array();
}

void beer_json(JsonWriter& w, const std::vector<BeerMonth>& months) {
    w.key("beer").begin_array();
    for (const BeerMonth& month : months) {
        w.begin_object(JsonWriter::Layout::one_line).field("from", month.from).field("to", month.to);
        w.field("brews", month.brews).field("runs", month.runs);
        write_amount_field(w, "opening", month.opening);
        write_amount_field(w, "brewed", month.brewed);
        write_amount_field(w, "packaged", month.packaged);
        write_amount_field(w, "lost", month.lost);
        write_amount_field(w, "in_tanks", month.in_tanks);
        w.field("original_plato", month.original_plato).field("packaged_abv_pct", month.packaged_abv).end_object();
    }
    w.end_array();
}

} // namespace

std::string statement_text(const Statement& statement, bool full) {
    std::string text = statement_heading(statement) + "\n";
    if (statement.books.items.empty())
        text += "nothing was in stock, came or went\n";
    else if (full)
        text += table_text(statement_items(statement));
    else
        text += table_text(statement_kinds(statement, false)) + table_text(statement_kinds(statement, true));
    if (!statement.beer.empty()) text += table_text(statement_beer(statement));
    for (const std::string& remark : statement_remarks(statement)) text += wrapped(remark, 2);
    return text;
}

std::string statement_csv(const Statement& statement) {
    std::vector<std::string> head{"item", "kind", "unit"};
    for (const Line& line : lines_of_account()) head.push_back(line.word);
    for (const Line& line : lines_of_account()) head.push_back(line.word + "_value");
    head.emplace_back("currency");
    std::string csv = csv_row(head);
    for (const StockAccount& item : statement.books.items) {
        std::vector<std::string> row{item.item, std::string(word(item.kind)), amount_unit(item.opening.amount)};
        for (const Line& line : lines_of_account()) row.push_back(amount_number(line.of(item).amount));
        for (const Line& line : lines_of_account()) row.push_back(money_text(line.of(item).value));
        row.push_back(statement.currency);
        csv += csv_row(row);
    }
    return csv;
}

std::string statement_json(const Statement& statement) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/statement/1").field("from", statement.from).field("to", statement.to);
    w.field("entries", statement.entries).field("currency", statement.currency);
    w.key("items");
    account_json(w, statement.books.items);
    w.key("kinds");
    account_json(w, statement.kinds);
    w.key("all").begin_object(JsonWriter::Layout::one_line);
    for (const Line& line : lines_of_account())
        write_money_field(w, line.word + "_value", total(statement.books.items, line));
    w.end_object();
    beer_json(w, statement.beer);
    w.field("without_price",
            std::vector<std::string>(statement.books.without_price.begin(), statement.books.without_price.end()));
    if (const auto said = statement_remarks(statement); !said.empty()) w.field("says", said);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
