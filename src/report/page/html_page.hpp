// A whole page: one file that needs nothing else, no script and no network.
#pragma once

#include <string>

namespace lotwort::report::html {

// How far apart the rows of a sheet stand: 9 mm, to be written in; 7 mm; as close as many must for one page.
enum class Rows { wide, close, dense };

struct Page {
    std::string title;
    std::string under;      // one line below it: the day, the ledger
    std::string body;       // HTML
    bool for_paper = false; // a sheet that is filled in by hand: one page of A4
    Rows rows = Rows::wide;
    bool is_labels = false; // a sheet to be cut
    // Searched by a small script of its own, which makes the field to type in: without it, or without scripts, all that
    // is there is there to be read.
    bool is_searched = false;
};

[[nodiscard]] std::string whole(const Page& page);

} // namespace lotwort::report::html
