// Records of one kind as a table for a spreadsheet: a column for each field, named as in the exchange file.
#pragma once

#include <array>
#include <functional>
#include <lotwort/brew/book_sink.hpp>
#include <lotwort/core/fields.hpp>
#include <string>
#include <string_view>

namespace lotwort::report {

enum class RowKind { items, lots, movements, additions, readings };

} // namespace lotwort::report

namespace lotwort {

template <>
struct WordsOf<report::RowKind> {
    static constexpr std::array<std::string_view, 5> list{"items", "lots", "movements", "additions", "readings"};
};

} // namespace lotwort

namespace lotwort::report {

// CSV with a heading. An amount has two columns, amount and unit; a lot's certificate stands in the lot's row, its
// retests are left out; additions and readings begin with their brew's code and date.
[[nodiscard]] std::string rows_csv(const Book& book, RowKind kind);

// The same, of a book that comes record by record; a row at a time goes out.
class RowsWriter final : public BookSink {
public:
    using Take = std::function<void(std::string_view)>;
    RowsWriter(RowKind kind, Take take) : kind_(kind), take_(std::move(take)) {}
    void begin(const Book& rest) override;
    void brew(const Brew& brew) override;
    void movement(const Movement& movement) override;
    void end() override {}

private:
    RowKind kind_;
    Take take_;
};

} // namespace lotwort::report
