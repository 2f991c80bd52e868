// export: the whole ledger as one exchange file.
#include "shared.hpp"
#include "verbs.hpp"
#include <fmt/format.h>
#include <limits>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/report/keep.hpp>
#include <lotwort/report/rows.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"FILE", "where it goes; standard output unless given", true},
};

constexpr Option options[] = {
    {"rows", "KIND", "only rows of one kind, as CSV: items, lots, movements, additions or readings"},
    {"force", "", "replace the file if it exists"},
};

// Writes what goes by, and keeps count of it.
class Export final : public BookSink {
public:
    Export(Call& call, std::optional<report::RowKind> rows, const TakePiece& take, report::KindsSeen& seen)
        : call_(call), seen_(seen), exchange_(take) {
        if (rows) rows_.emplace(*rows, take);
    }

    void begin(const Book& rest) override {
        each([&](BookSink& sink) { sink.begin(rest); });
    }
    void brew(const Brew& brew) override {
        each([&](BookSink& sink) { sink.brew(brew); });
    }
    void movement(const Movement& movement) override {
        each([&](BookSink& sink) { sink.movement(movement); });
        if (++movements_ % 100'000 == 0) call_.progress(fmt::format("{} movements written", movements_));
    }
    void end() override {
        each([](BookSink& sink) { sink.end(); });
        call_.progress("");
    }

private:
    template <class Hand>
    void each(Hand hand) {
        hand(rows_ ? static_cast<BookSink&>(*rows_) : exchange_);
        hand(seen_);
    }

    Call& call_;
    report::KindsSeen& seen_;
    ExchangeWriter exchange_;
    std::optional<report::RowsWriter> rows_;
    std::size_t movements_ = 0;
};

Answer run(Call& call) {
    const auto rows = read_option(
        call, "rows", [](const std::string& text) { return parse_word<report::RowKind>(text, "a kind of rows"); });
    report::KindsSeen seen(call.json() ? std::numeric_limits<std::size_t>::max() : report::Exported::shown);
    const auto write = [&](const TakePiece& take) {
        Export to(call, rows, take, seen);
        call.ledger().book_to(to);
    };
    const auto file = call.args.text("FILE");
    if (!file || *file == "-") {
        Answer answer;
        write(call.surroundings.out ? call.surroundings.out
                                    : TakePiece([&](std::string_view piece) { answer.text += piece; }));
        return answer;
    }
    (void)call.ledger(); // where there is none, that is said before the file is looked at
    write_file(*file, write, call.args.has("force"));
    const report::Exported done{*file, rows ? std::vector<report::Kind>() : seen.kinds()};
    return {call.json() ? report::export_json(done) : report::export_text(done)};
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

} // namespace lotwort::cli
