// What the ledger is asked at: the ledger, the day of the question, and who is told how far it is.
//
// The room `desk` is the step from a ledger to a question of the arithmetic rooms (reconcile_input, learn_request,
// purchase_wish, ...) and to the values that reports show. It reads and books nothing.
#pragma once

#include <functional>
#include <lotwort/core/date.hpp>
#include <lotwort/store/ledger.hpp>
#include <string>

namespace lotwort {

class Teaching;

struct Desk {
    Ledger& ledger; // outlives it
    Date today;
    std::function<void(const std::string&)> progress = {}; // one line, each in place of the last; empty: cleared
    const std::atomic<bool>* stop = nullptr;               // set: a search ends with the best so far
    Teaching* teaching = nullptr; // keeps what brews taught (desk/taught.hpp); null: it is learned anew

    void tell(const std::string& line) const {
        if (progress) progress(line);
    }
};

} // namespace lotwort
