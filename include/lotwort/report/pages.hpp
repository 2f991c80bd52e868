// Answers as pages: HTML that a browser shows, a printer prints and a screen reader reads, each one file by itself.
#pragma once

#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/infer/explain.hpp>
#include <lotwort/plan/purchase_demand.hpp>
#include <lotwort/plan/purchase_purpose.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/report/brew_list.hpp>
#include <lotwort/report/lot.hpp>
#include <lotwort/report/movement.hpp>
#include <lotwort/report/next.hpp>
#include <lotwort/report/plan.hpp>
#include <lotwort/report/reconcile.hpp>
#include <lotwort/report/stock.hpp>
#include <lotwort/report/substitute.hpp>
#include <lotwort/report/trace.hpp>
#include <lotwort/report/trend.hpp>
#include <lotwort/stock/cover.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// One brew: efficiencies, where its extract went, its readings against the balance, what went in.
struct BrewPage {
    ReconciledBrew reconciled; // with a fault where it could not be
    ShownBrew shown;
    std::optional<Explanation> explanation; // of what came otherwise than forecast
};
[[nodiscard]] std::string brew_page(const BrewPage& page);

// One lot: its analyses, what brews say of it, its stock over time.
struct LotPage {
    LotAnswer answer;
    std::optional<LearnedLot> learned; // of a malt that was brewed with
    Date today;
};
[[nodiscard]] std::string lot_page(const LotPage& page);

// The brewhouse over its brews: three levels with bands and drift, lots against certificates, what else was learned.
[[nodiscard]] std::string brewhouse_page(const Trend& trend, Date today);

// What is still to come of an open order.
struct OnOrder {
    std::string item, order, supplier;
    Amount awaited;
    std::optional<Date> due;
};

// The stock: what there is, until when it lasts, what ages, what is to come.
struct StockPage {
    StockList items, lots;
    std::vector<Cover> covers;
    std::vector<OnOrder> on_order{}; // the soonest first
    int window_days = 90;
};
[[nodiscard]] std::string stock_page(const StockPage& page);

// All of it: what needs somebody, the brewhouse, the stock, and the last brews.
struct BreweryPage {
    std::vector<NextStep> next;
    std::vector<ReconciledBrew> contradictory; // of the last brews, those whose readings do not agree
    StockPage stock;
    Trend trend;
    std::vector<ListedBrew> last_brews; // newest first
    std::size_t brews = 0;              // in all
};
[[nodiscard]] std::string brewery_page(const BreweryPage& page);

// The purchase plan for the open plans.
struct PurchasePage {
    plan::PurchaseWish wish;
    plan::DrawnPurchase drawn;
    plan::PurchasePlan plan;
    std::string currency;
    std::vector<plan::PurchasePurpose> purposes{};
    std::vector<plan::PurchaseFill> fills{};
};
[[nodiscard]] std::string purchase_page(const PurchasePage& page);

// What open plans lack, and the answers: the recommended first, each whole.
[[nodiscard]] std::string substitution_page(const ShownSubstitution& shown);

// An open plan: what lacks, the beer to expect, what of which lot, what to read.
struct PlanPage {
    DrawnPlan drawn;
    SheetGuide guide;
};
[[nodiscard]] std::string plan_page(const PlanPage& page);

// One step forward and one back, for a recall.
[[nodiscard]] std::string trace_page(const TraceAnswer& answer);

// What leads to all pages that were written into one folder (report/links.hpp), with a field to search them by.
struct IndexPage {
    Date today;
    std::vector<ListedBrew> brews;                           // newest first
    std::vector<LotState> lots;                              // newest first
    std::vector<Plan> plans;                                 // by day
    std::vector<std::pair<std::string, std::string>> others; // words and file
};
[[nodiscard]] std::string index_page(const IndexPage& page);

// Labels to print, cut and stick on sacks: code, item, the day it came, best before, and the code as a telephone reads
// it. Three beside each other, eight rows on a page of A4.
[[nodiscard]] std::string labels_page(const std::vector<Lot>& lots);

// The brew day's sheet, and the sheet to count by: one page of paper each.
[[nodiscard]] std::string brew_sheet_page(const PlannedBrew& planned, const SheetGuide& guide);
[[nodiscard]] std::string count_sheet_page(const std::vector<StockRow>& rows, Date today);

} // namespace lotwort::report
