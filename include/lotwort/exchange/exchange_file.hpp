// The exchange file (docs/exchange.md): one JSON document that holds a whole ledger or a part of one.
#pragma once

#include <functional>
#include <lotwort/brew/book_sink.hpp>
#include <lotwort/brew/movement_list.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace lotwort {

// Reads one document. Error(refused) lists every fault found, each with line, column and field; `source`
// names the file in it. Readings without an id get one (r1, r2, ... by their place in the brew).
[[nodiscard]] Book read_exchange(std::string_view text, std::string_view source);

// Where the records of a document stand in its text, for what is told of them later; the text outlives it.
class Places {
public:
    // ":14:22" where an entry of a list of the document (or its name) begins, line and column; nothing where it is not
    // known.
    [[nodiscard]] std::string of(std::string_view list, std::size_t index) const;
    [[nodiscard]] std::string of_movement(std::uint64_t place) const;

    std::string_view text;
    std::map<std::string, std::vector<std::uint64_t>, std::less<>> starts; // bytes of the text
    std::function<std::uint64_t(std::uint64_t place)> start_of_movement;
};

// The same of a document of any length: its movements are laid aside as they are read, and some 300 kB of them held.
// `passed` is told now and then how many bytes of the text are read; they are looked at again only where faults are
// told.
using Passed = std::function<void(std::size_t)>;
[[nodiscard]] LongBook read_long_exchange(std::string_view text, std::string_view source, const Passed& passed = {},
                                          Places* places = nullptr);

// The canonical document: fields in the order of their field lists, records in the book's order, shortest
// decimals that read back to the same number. write_exchange(read_exchange(x)) is a fixed point.
[[nodiscard]] std::string write_exchange(const Book& book);

// The same, of a book that comes record by record; the text goes out in pieces of some 64 KiB, and only the last one is
// held.
class ExchangeWriter final : public BookSink {
public:
    using Take = std::function<void(std::string_view)>;
    explicit ExchangeWriter(Take take) : take_(std::move(take)) {}

    void begin(const Book& rest) override;
    void brew(const Brew& brew) override;
    void movement(const Movement& movement) override;
    void end() override;

private:
    void write_up_to(std::string_view list);
    void open(std::string_view list);
    void close();
    void hand_on(std::size_t most);

    Take take_;
    JsonWriter writer_;
    const Book* rest_ = nullptr;
    std::size_t written_ = 0; // fields of the book
    std::string_view open_;   // the list that records are being added to
};

// What `file` holds that `ledger` does not: the part to append, so that importing a file twice changes
// nothing. Error(refused) lists every record that the ledger holds with other figures (a lot of the same
// code and another mass), and every name that neither holds. Movements keep their ids, which tie those of one file
// together and say nothing to the ledger.
[[nodiscard]] Book new_in(const Book& file, const Book& ledger, std::string_view source);
// The same of a ledger that is read once, record by record, its movements by day and lot; they are not held. Of the
// file's movements a bit each is kept, and 20 bytes where the ledger has movements too. With the file's places, what is
// refused is told with line and column. With today, a day after it on which something is said to have happened is a
// fault.
[[nodiscard]] LongBook new_in(LongBook file, const std::function<void(BookSink&)>& ledger, std::string_view source,
                              const Places& places = {}, std::optional<Date> today = {});

} // namespace lotwort
