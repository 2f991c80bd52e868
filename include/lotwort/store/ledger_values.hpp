// What a ledger answers with: values alone.
#pragma once

#include <atomic>
#include <exception>
#include <lotwort/brew/book.hpp>
#include <lotwort/stock/entry.hpp>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

enum class Access {
    read,
    write,
    picture // to read a copy of its own, taken at once: it stays as it is, whoever writes, and holds up nobody
};

// What is to be booked rests on a reading that is out of date: another entry came since. Nothing was booked; read
// again.
class Moved : public std::exception {
public:
    [[nodiscard]] const char* what() const noexcept override { return "the ledger has a newer entry"; }
};

// One lot as the stock list needs it, read from the table of balances, not from movements.
struct StockRow {
    std::string item;
    ItemKind kind = ItemKind::malt;
    std::string lot;
    Amount on_hand;
    Amount promised; // by open plans
    Amount received_amount;
    std::optional<Money> price; // for the whole lot, as received
    std::optional<Date> best_before;
    std::optional<std::string> held;
    bool is_made = false; // of other lots
};

// A lot that was made in the brewery: of another, or of a brew's yeast.
struct LotOrigin {
    std::string lot;
    std::string from;
    bool from_brew = false;
};

struct HistoryFilter {
    std::optional<std::int64_t> last; // so many newest
    std::optional<std::string> item;
    std::optional<std::string> lot;
    std::optional<std::string> brew;
    std::optional<EntryKind> kind;
    std::optional<Date> from;
    std::optional<Date> to;
};

// Something verify found wrong: where, and what.
struct LedgerFault {
    std::string where;
    std::string what;
};

// What an entry's rows and all entries before it come to: 64 hexadecimal digits of SHA-256.
struct Seal {
    std::int64_t entry = 0;
    std::string digits;
};

} // namespace lotwort
