// The exchange file (docs/exchange.md): one JSON document that holds a whole ledger or a part of one.
#pragma once

#include <cstdint>
#include <functional>
#include <lotwort/brew/book.hpp>
#include <lotwort/core/date.hpp>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

inline constexpr std::size_t largest_exchange_file = 60'000'000; // bytes; some 500,000 movements

// Where the records of a document stand in its text, for what is told of them later; the text outlives it.
class Places {
public:
    // ":14:22" where an entry of a list of the document (or its name) begins, line and column; nothing where it is not
    // known.
    [[nodiscard]] std::string of(std::string_view list, std::size_t index) const;

    std::string_view text;
    std::map<std::string, std::vector<std::uint64_t>, std::less<>> starts; // bytes of the text
};

// Reads one document. Error(refused) lists every fault found, each with line, column and field; `source`
// names the file in it. Readings without an id get one (r1, r2, ... by their place in the brew).
[[nodiscard]] Book read_exchange(std::string_view text, std::string_view source, Places* places = nullptr);

// The canonical document: fields in the order of their field lists, records in the book's order, shortest
// decimals that read back to the same number. write_exchange(read_exchange(x)) is a fixed point.
[[nodiscard]] std::string write_exchange(const Book& book);

// The ids in the ledger of the movements by which a brew's additions were booked, in the additions' order.
using UseIds = std::function<std::vector<std::string>(const Brew&)>;

// What `file` holds that `ledger` does not: the part to append, so that importing a file twice changes
// nothing. Error(refused) lists every record that the ledger holds with other figures (a lot of the same
// code and another mass), and every name that neither holds. Movements keep their ids, which tie those of one file
// together and say nothing to the ledger. With the file's places, what is refused is told with line and column. With
// today, a day after it on which something is said to have happened is a fault. A weight of a brew that the file takes
// back and that stands in the ledger is taken back there, by its id of `use_ids`; without them it is a fault.
[[nodiscard]] Book new_in(const Book& file, const Book& ledger, std::string_view source, const Places& places = {},
                          std::optional<Date> today = {}, const UseIds& use_ids = {});

} // namespace lotwort
