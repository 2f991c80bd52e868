#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/utf8.hpp>
#include <lotwort/exchange/csv.hpp>

namespace lotwort {

namespace {

constexpr std::size_t largest = 16'000'000; // bytes: no delivery is longer
constexpr std::size_t most_columns = 1000;

[[noreturn]] void refuse(std::string_view source, std::size_t line, const std::string& what) {
    throw Error(ErrorKind::refused, fmt::format("{}: line {}: {}", source, line, what),
                "nothing was booked: mend the file and read it again");
}

class Reader {
public:
    Reader(std::string_view text, std::string_view source, char separator)
        : text_(text), source_(source), separator_(separator) {}

    [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }

    CsvRow row() {
        CsvRow row;
        row.line = line_;
        do row.cells.push_back(cell());
        while (take(separator_));
        if (!at_end()) end_of_line();
        return row;
    }

private:
    bool take(char c) {
        if (at_end() || text_[at_] != c) return false;
        ++at_;
        return true;
    }
    [[nodiscard]] bool at_line_end() const {
        return at_end() || text_[at_] == '\n' || (text_[at_] == '\r' && text_.substr(at_, 2) == "\r\n");
    }
    void end_of_line() {
        (void)take('\r');
        (void)take('\n');
        ++line_;
    }
    void pass_spaces() {
        while (!at_end() && text_[at_] == ' ') ++at_;
    }

    std::string cell() {
        pass_spaces();
        if (take('"')) return quoted();
        const auto begun = at_;
        while (!at_line_end() && text_[at_] != separator_) ++at_;
        auto bare = text_.substr(begun, at_ - begun);
        while (bare.ends_with(' ')) bare.remove_suffix(1);
        return usable(std::string(bare));
    }

    // Text that is kept from a spreadsheet's reckoning by a ' before it, without that.
    static bool is_guarded(std::string_view text) {
        const auto first = text.find_first_not_of('\'');
        return first != 0 && first != std::string_view::npos &&
               std::string_view("=+-@").find(text[first]) != std::string_view::npos;
    }
    // Lines may end in a cell, of an address or a remark.
    std::string usable(std::string value) const {
        std::string in_line = value;
        std::erase_if(in_line, [](char c) { return c == '\n' || c == '\r' || c == '\t'; });
        if (const auto hidden = find_hidden(in_line))
            refuse(source_, line_, fmt::format("a cell holds {}", hidden_words(*hidden)));
        if (is_guarded(value)) value.erase(0, 1);
        return value;
    }

    std::string quoted() {
        const auto begun = line_;
        std::string value;
        for (; !at_end(); ++at_) {
            if (text_[at_] == '\n') ++line_;
            if (text_[at_] != '"') {
                value += text_[at_];
                continue;
            }
            if (text_.substr(at_, 2) != "\"\"") {
                ++at_;
                pass_spaces();
                if (!at_line_end() && text_[at_] != separator_) refuse(source_, line_, "text behind a closing quote");
                return usable(std::move(value));
            }
            value += text_[at_++];
        }
        refuse(source_, begun, "a quote that is never closed");
    }

    std::string_view text_;
    std::string_view source_;
    char separator_;
    std::size_t at_ = 0;
    std::size_t line_ = 1;
};

char separator_of(std::string_view text) {
    const auto header = text.substr(0, text.find('\n'));
    char best = ',';
    for (const char c : {';', '\t'})
        if (std::ranges::count(header, c) > std::ranges::count(header, best)) best = c;
    return best;
}

void check_header(const CsvTable& table, std::string_view source) {
    if (table.header.size() > most_columns)
        refuse(source, 1, fmt::format("{} columns; no table has more than {}", table.header.size(), most_columns));
    for (std::size_t i = 0; i < table.header.size(); ++i) {
        if (table.header[i].empty()) refuse(source, 1, fmt::format("column {} has no heading", i + 1));
        for (std::size_t j = 0; j < i; ++j)
            if (table.header[i] == table.header[j])
                refuse(source, 1, fmt::format("two columns are headed `{}`", table.header[i]));
    }
}

} // namespace

CsvTable read_csv(std::string_view text, std::string_view source) {
    if (text.size() > largest) throw Error(ErrorKind::refused, fmt::format("{} is no delivery note: too long", source));
    if (find_invalid_utf8(text))
        throw Error(ErrorKind::refused, fmt::format("{} is not in UTF-8", source), "save it again as CSV in UTF-8");
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    CsvTable table;
    table.separator = separator_of(text);
    Reader reader(text, source, table.separator);
    if (!reader.at_end()) table.header = reader.row().cells;
    check_header(table, source);
    while (!reader.at_end()) {
        CsvRow row = reader.row();
        if (std::ranges::all_of(row.cells, [](const std::string& cell) { return cell.empty(); })) continue;
        if (row.cells.size() != table.header.size())
            refuse(source, row.line, fmt::format("{} cells under {} headings", row.cells.size(), table.header.size()));
        table.rows.push_back(std::move(row));
    }
    return table;
}

} // namespace lotwort
