// What the pages of `lotwort report` are made of, from the ledger.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/report/pages.hpp>

namespace lotwort {

[[nodiscard]] report::BrewPage brew_for_page(const Desk& desk, const std::string& code);
// Of so many brews at once: what the others taught is gathered once. Why it came otherwise than forecast takes longest
// (a fifth of a second where there are hundreds) and is told of the last ones alone.
[[nodiscard]] std::vector<report::BrewPage> brews_for_pages(const Desk& desk, const std::vector<std::string>& codes,
                                                            std::size_t explained_last);
[[nodiscard]] report::LotPage lot_for_page(const Desk& desk, const std::string& code);
[[nodiscard]] std::vector<report::LotPage> lots_for_pages(const Desk& desk); // every lot that ever was
// Of one brewhouse, or of all.
[[nodiscard]] report::Trend trend_for_page(const Desk& desk, const std::optional<std::string>& brewhouse);
[[nodiscard]] report::StockPage stock_for_page(const Desk& desk);
[[nodiscard]] report::BreweryPage brewery_for_page(const Desk& desk);
// For all open plans, as `lotwort buy` has it without options.
[[nodiscard]] report::PurchasePage purchase_for_page(const Desk& desk);
// An open plan, as its sheet needs it.
[[nodiscard]] PlannedBrew plan_for_sheet(const Desk& desk, const std::string& code);

// How long the stock lasts, at what brews took of late.
[[nodiscard]] std::vector<Cover> covers(const report::StockList& items, const std::vector<Brew>& brews,
                                        const std::vector<LotState>& lots, const Book& book, Date today);

} // namespace lotwort
