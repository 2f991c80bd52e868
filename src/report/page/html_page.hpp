// A whole page: one file that needs nothing else, no script and no network.
#pragma once

#include <string>

namespace lotwort::report::html {

struct Page {
    std::string title;
    std::string under;      // one line below it: the day, the ledger
    std::string body;       // HTML
    bool for_paper = false; // a sheet that is filled in by hand: one page of A4
    bool is_dense = false;  // of so many rows that they must stand closer for that
};

[[nodiscard]] std::string whole(const Page& page);

} // namespace lotwort::report::html
