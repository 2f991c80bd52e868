// What a reader is told when input cannot be used.
//
// Accepted, refused and impossible are different things. A shortage or readings that contradict each other
// are answers and travel as values. Input that cannot be used is one Error, thrown where it is found and
// caught in main alone. A broken promise inside the program is caught by LOTWORT_CHECK.
#pragma once

#include <source_location>
#include <stdexcept>
#include <string>
#include <string_view>

namespace lotwort {

// The kinds are the program's exit statuses (docs/commands/lotwort.md).
enum class ErrorKind {
    refused = 1,  // the input is understood and cannot be accepted
    usage = 2,    // the command line is not understood
    shortage = 3, // not enough stock, or no feasible answer
    ledger = 4,   // the ledger cannot be opened, read or written
    fault = 5,    // verify found a fault
};

// message: what was wrong and where, one sentence without a full stop. hint: what to type or do instead,
// may hold several lines, may be empty.
class Error : public std::runtime_error {
public:
    Error(ErrorKind kind, const std::string &message, std::string hint = {})
        : std::runtime_error(message), kind_(kind), hint_(std::move(hint)) {}
    [[nodiscard]] ErrorKind kind() const { return kind_; }
    [[nodiscard]] const std::string &hint() const { return hint_; }

private:
    ErrorKind kind_;
    std::string hint_;
};

// A broken invariant of our own: a bug, never the user's fault (exit status 70).
class Bug : public std::logic_error {
public:
    using std::logic_error::logic_error;
};

[[noreturn]] void report_bug(std::string_view condition, std::source_location where);

// Kept on in release builds, where NDEBUG is set for Eigen's sake.
#define LOTWORT_CHECK(condition)                                                                                       \
    do {                                                                                                               \
        if (!(condition)) [[unlikely]]                                                                                 \
            ::lotwort::report_bug(#condition, std::source_location::current());                                        \
    } while (false)

} // namespace lotwort
