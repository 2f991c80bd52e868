// export: the whole ledger as one exchange file.
#include "shared.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <limits>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/desk/stock_list.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/report/keep.hpp>
#include <lotwort/report/rows.hpp>
#include <lotwort/report/trend.hpp>

namespace lotwort::verbs {

namespace {

// Records of one kind, in the order of report::RowKind; then what is worked out of them, as two verbs list it.
enum class Rows { items, lots, movements, additions, readings, stock, trends };

} // namespace

} // namespace lotwort::verbs

namespace lotwort {

template <>
struct WordsOf<verbs::Rows> {
    static constexpr std::array<std::string_view, 7> list{"items",    "lots",  "movements", "additions",
                                                          "readings", "stock", "trends"};
};

} // namespace lotwort

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"FILE", "where it goes; standard output unless given", true},
};

constexpr Option options[] = {
    {"rows", "KIND", "only rows of one kind, as CSV: items, lots, movements, additions, readings, stock or trends"},
    {"force", "", "replace the file if it exists"},
};

// Writes what goes by, and keeps count of it.
class Export final : public BookSink {
public:
    // progress: nowhere, where the answer itself may be going to the same terminal
    Export(const Call* progress, std::optional<Rows> rows, const TakePiece& take, report::KindsSeen& seen)
        : progress_(progress), seen_(seen), exchange_(take) {
        if (rows) rows_.emplace(static_cast<report::RowKind>(*rows), take);
    }

    void begin(const Book& rest) override {
        each([&](BookSink& sink) { sink.begin(rest); });
    }
    void brew(const Brew& brew) override {
        each([&](BookSink& sink) { sink.brew(brew); });
    }
    void movement(const Movement& movement) override {
        each([&](BookSink& sink) { sink.movement(movement); });
        if (++movements_ % 100'000 == 0 && progress_ != nullptr)
            progress_->progress(fmt::format("{} movements written", movements_));
    }
    void end() override {
        each([](BookSink& sink) { sink.end(); });
        if (progress_ != nullptr) progress_->progress("");
    }

private:
    template <class Hand>
    void each(Hand hand) {
        hand(rows_ ? static_cast<BookSink&>(*rows_) : exchange_);
        hand(seen_);
    }

    const Call* progress_;
    report::KindsSeen& seen_;
    ExchangeWriter exchange_;
    std::optional<report::RowsWriter> rows_;
    std::size_t movements_ = 0;
};

// A line for each lot on hand, or for each brew what it showed.
std::string worked_out(Call& call, Rows rows) {
    Ledger& ledger = call.ledger();
    if (rows == Rows::trends) return report::trend_csv(learned_trend(call.desk(), ledger.definitions(), {}));
    StockChoice by_lot;
    by_lot.by_lot = true;
    const Date today = call.surroundings.today;
    return report::stock_csv(stock_list(rows_at(ledger, today), by_lot, today, ledger.currency()));
}

Answer run(Call& call) {
    const auto rows =
        read_option(call, "rows", [](const std::string& text) { return parse_word<Rows>(text, "a kind of rows"); });
    const auto file = call.args.text("FILE");
    const bool to_file = file && *file != "-";
    const bool json = to_file && call.json();
    (void)call.ledger(); // where there is none, that is said before the file is looked at
    if (!to_file) {
        call.goes("what is exported goes to standard output as it is", "name a file: lotwort export FILE");
        call.demand_all_used();
    }
    report::KindsSeen seen(json ? std::numeric_limits<std::size_t>::max() : report::Exported::shown);
    const auto write = [&](const TakePiece& take) {
        if (rows && *rows >= Rows::stock) {
            const std::string text = worked_out(call, *rows);
            call.settle();
            return take(text);
        }
        call.settle(); // what follows is one reading
        Export to(to_file ? &call : nullptr, rows, take, seen);
        call.ledger().book_to(to);
    };
    if (!to_file) {
        Answer answer;
        write(call.surroundings.out ? call.surroundings.out
                                    : TakePiece([&](std::string_view piece) { answer.text += piece; }));
        return answer;
    }
    write_file(call, *file, write);
    const report::Exported done{*file, rows ? std::vector<report::Kind>() : seen.kinds()};
    return {json ? report::export_json(done) : report::export_text(done)};
}

} // namespace

constinit const Command export_command{
    .name = "export",
    .group = Group::keep,
    .summary = "write the whole ledger as one exchange file (JSON)",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .run = run,
};

} // namespace lotwort::verbs
