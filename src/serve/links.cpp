// Codes of lots, brews and plans, and names of recipes and items, lead to their pages wherever they stand.
#include "site.hpp"
#include <fmt/format.h>

namespace lotwort::serve {

namespace {

report::PageFiles pages_of(const Desk& desk) {
    report::PageFiles pages;
    const auto add = [](auto& of, std::string_view begins, const std::string& code) {
        of[code] = std::string(begins) + in_address(code);
    };
    const Book book = desk.ledger.definitions();
    for (const Plan& plan : book.plans) add(pages.plans, "/plans/", plan.code);
    for (const Recipe& recipe : book.recipes) add(pages.recipes, "/recipes/", recipe.name);
    for (const Item& item : book.items) add(pages.items, "/stock/", item.name);
    for (const LotState& state : desk.ledger.lots()) add(pages.lots, "/lots/", state.lot.code);
    for (const Brew& brew : desk.ledger.brews()) add(pages.brews, "/brews/", brew.code);
    return pages;
}

} // namespace

std::shared_ptr<const report::PageFiles> Site::linked_pages(const Desk& desk, std::int64_t newest) {
    const std::scoped_lock lock(linking_);
    if (!pages_ || pages_of_ != newest) {
        pages_ = std::make_shared<const report::PageFiles>(pages_of(desk));
        pages_of_ = newest;
    }
    return pages_;
}

std::shared_ptr<const report::PageFiles> Site::linked_pages() {
    verbs::Call call(looks, verbs::Arguments(looks), runner_.around({}));
    return linked_pages(call.desk(), call.ledger().newest_entry());
}

} // namespace lotwort::serve
