// The world outside, as a verb knows it.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <lotwort/core/date.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace lotwort {
class Ledger;
class Teaching;
struct Book;
} // namespace lotwort

namespace lotwort::verbs {

// What an interrupt (Ctrl-C) does. It ends the program, with nothing booked. Or the first one ends a search, with the
// best so far, and a second one the program. Or it ends a booking that is not in the ledger yet, and is too late for
// one that is.
enum class Interrupt { ends_program, ends_search, ends_booking };

// What `lotwort serve` is asked for.
struct Serving {
    std::string ledger;
    std::string address = "127.0.0.1";
    int port = 8017;               // 0: any that is free
    bool in_network = false;       // asked for by --listen: who comes needs a key
    bool read_only = false;        // nothing is booked
    bool json = false;             // how it says where it listens
    std::optional<std::string> by; // who books at this machine itself
    std::optional<std::string> units;
};

// What the program knows of the world outside, read once in main and handed in as values.
struct Surroundings {
    Date today;
    std::string booked_at;                // UTC, YYYY-MM-DDTHH:MM:SSZ
    std::optional<std::string> ledger;    // LOTWORT_LEDGER
    std::optional<std::string> by;        // LOTWORT_BY
    std::optional<std::string> units;     // LOTWORT_UNITS
    std::optional<std::string> data_home; // XDG_DATA_HOME
    std::optional<std::string> home;      // HOME
    std::optional<std::size_t> columns;   // of the terminal that reads the answer; none: it is read elsewhere
    // Set only where a person sits at a terminal: an answer to a question; one line of progress, each in place of
    // the last (empty: cleared).
    std::function<std::optional<std::string>(const std::string&)> ask;
    std::function<void(const std::string&)> progress;
    // What an interrupt does from the call on, and the flag that it sets. Null: there is no such thing.
    std::function<const std::atomic<bool>*(Interrupt)> on_interrupt;
    // Told of each entry as soon as it is in the ledger.
    std::function<void(std::int64_t)> on_booked;
    // Answers pages until it is interrupted. Null: only the program itself does.
    std::function<void(const Serving&)> serve;
    // Of what a page sent: its one-time number, which the entry keeps; what it sent in place of a file. Such a run
    // opens no file that its words name.
    std::optional<std::string> form;
    std::optional<std::string> sent;
    bool opens_files = true;
    // Asked before anything is booked; throws where it is not to be. What it saw is what is booked upon: who comes
    // between has it asked again.
    std::function<void(const Ledger&, const Book&)> before_booking;
    // Set by a page's button: a search ends with the best so far, and nothing is booked. Null: there is no such button.
    const std::atomic<bool>* stop = nullptr;
    bool books = true;            // false: pages for looking only
    Teaching* teaching = nullptr; // of a page that may show what was learned last (desk/taught.hpp)
};

} // namespace lotwort::verbs
