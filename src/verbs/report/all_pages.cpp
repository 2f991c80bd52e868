#include "all_pages.hpp"
#include "kinds.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/desk/brew_list.hpp>
#include <lotwort/desk/pages.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/report/links.hpp>

namespace lotwort::verbs {

namespace {

constexpr std::size_t explained = 40; // brews; each takes a fifth of a second where there are hundreds
constexpr int most_months = 24;       // of the books

// A page beside those of brews and lots: what it is called, its file, and what makes it.
struct OtherPage {
    std::string words, file, kind;
    Names names{};
};

std::string month_before(const std::string& month) {
    const int year = std::stoi(month.substr(0, 4)), number = std::stoi(month.substr(5, 2));
    return number > 1 ? fmt::format("{:04}-{:02}", year, number - 1) : fmt::format("{:04}-12", year - 1);
}

// The months that are over since the first delivery, the last first.
std::vector<std::string> months(const std::vector<LotState>& lots, Date today) {
    std::vector<std::string> out;
    if (lots.empty()) return out;
    const std::string first =
        to_iso(std::ranges::min(lots, {}, [](const LotState& s) { return s.lot.received; }).lot.received).substr(0, 7);
    std::string month = month_before(to_iso(today).substr(0, 7));
    for (int i = 0; i < most_months && month >= first; ++i, month = month_before(month)) out.push_back(month);
    return out;
}

std::vector<OtherPage> other_pages(const Book& book, const std::vector<LotState>& lots, Date today,
                                   report::PageFiles& files) {
    std::vector<OtherPage> pages;
    const auto add = [&](const std::string& words, const std::string& kind, const Names& names = {}) {
        const std::string named = names.empty() ? "" : names.front();
        const std::string file = named.empty() ? (kind.empty() ? "brewery" : kind) + ".html" : files.named(kind, named);
        pages.push_back({words, file, kind, names});
        return file;
    };
    files.menu = {{"All pages", "index.html"}};
    files.menu.emplace_back("The brewery", add("The brewery", ""));
    files.menu.emplace_back("Brewhouse", add("All brewhouses", "brewhouse"));
    if (book.brewhouses.size() > 1)
        for (const Brewhouse& house : book.brewhouses) add("Brewhouse " + house.name, "brewhouse", {house.name});
    files.menu.emplace_back("Stock", add("The stock", "stock"));
    files.menu.emplace_back("Calendar", add("This month", "calendar"));
    files.menu.emplace_back("What to buy", add("What to buy", "purchase"));
    if (!book.plans.empty()) add("What lacks, and what stands in for it", "substitute");
    for (const Plan& plan : book.plans) add("Sheet of " + plan.code, "brew-sheet", {plan.code});
    add("Sheet to count by", "count-sheet");
    add("Labels", "labels");
    for (const std::string& month : months(lots, today)) add("The books of " + month, "statement", {month});
    return pages;
}

report::IndexPage index_of(Call& call, const Book& book, std::vector<LotState> lots) {
    report::IndexPage index;
    index.today = call.surroundings.today;
    index.brews = listed_brews(call.ledger());
    std::ranges::reverse(index.brews);
    index.lots = std::move(lots);
    std::ranges::stable_sort(index.lots, std::greater{}, [](const LotState& s) { return s.lot.received; });
    index.plans = book.plans;
    std::ranges::stable_sort(index.plans, {}, &Plan::date);
    return index;
}

} // namespace

std::vector<NamedText> all_pages(Call& call) {
    const Desk desk = call.desk();
    demand_today(desk);
    const Book book = call.ledger().definitions();
    report::PageFiles files;
    report::IndexPage index = index_of(call, book, call.ledger().lots());
    Names brews;
    for (auto listed = index.brews.rbegin(); listed != index.brews.rend(); ++listed) {
        brews.push_back(listed->brew.code);
        files.brews[brews.back()] = files.named("brew", brews.back());
    }
    for (const LotState& state : index.lots) files.lots[state.lot.code] = files.named("lot", state.lot.code);
    for (const Plan& plan : book.plans) files.plans[plan.code] = files.named("plan", plan.code);
    const auto others = other_pages(book, index.lots, index.today, files);
    for (const OtherPage& other : others) index.others.emplace_back(other.words, other.file);

    const report::Linked linked(files);
    std::vector<NamedText> pages{{"index.html", report::index_page(index)}};
    for (const OtherPage& other : others) pages.push_back({other.file, page_of(call, other.kind, other.names)});
    for (const Plan& plan : book.plans) pages.push_back({files.plans[plan.code], page_of(call, "plan", {plan.code})});
    for (const report::BrewPage& brew : brews_for_pages(desk, brews, explained))
        pages.push_back({files.brews[brew.shown.brew.code], report::brew_page(brew)});
    for (const report::LotPage& lot : lots_for_pages(desk))
        pages.push_back({files.lots[lot.answer.state.lot.code], report::lot_page(lot)});
    return pages;
}

} // namespace lotwort::verbs
