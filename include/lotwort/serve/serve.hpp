// The page's face of the program: the same verbs, as pages that a browser works with, on one ledger.
//
// A brew day is wet hands, steam, a telephone, and somebody else in the cellar. Forms are made of the verbs' declared
// words and run by the same run_verb as a command line; answers are the values that reports print.
#pragma once

#include <functional>
#include <lotwort/verbs/surroundings.hpp>
#include <string>

namespace lotwort::serve {

// What the program's edge lends.
struct Outside {
    std::function<void(verbs::Surroundings&)> read_clock; // today and the time of booking, anew for each request
    std::function<void(const std::string&)> say;          // to standard output, at once
    bool is_terminal = false;                             // what is said may hold a QR code
};

// Listens until the program is ended. Error(refused) where the address is none of this machine's, or is taken.
void run(const verbs::Serving& asked, const verbs::Surroundings& around, const Outside& outside);

} // namespace lotwort::serve
