// Sessions of the help pages: fenced blocks of commands and what they print, run as they stand.
//
//     ```session after receive
//     $ lotwort stock
//     ITEM ...
//     ```
//
// `after PAGE` runs that page's sessions first, in the same folder, without looking at what they print.
#pragma once

#include <string>
#include <vector>

namespace lotwort::test {

struct Step {
    std::string command; // a line for the shell
    std::string prints;  // standard output and standard error as they come
};

struct Session {
    std::string after; // a page; empty: starts with nothing
    std::vector<Step> steps;
};

// The sessions of docs/commands/PAGE.md.
[[nodiscard]] std::vector<Session> sessions_of(const std::string& page);

// The sessions of a file below the project's top folder.
[[nodiscard]] std::vector<Session> sessions_in(const std::string& path);

// A folder of its own, emptied when it goes; today is 2026-03-10 and the ledger brewery.lotwort.
class Workplace {
public:
    Workplace();
    ~Workplace();
    Workplace(const Workplace&) = delete;
    Workplace& operator=(const Workplace&) = delete;

    struct Result {
        std::string out; // with `2>&1` in the command, both
        int status = 0;
    };
    // Runs one line with sh in the folder; `lotwort` is the program that was built.
    Result run(const std::string& line) const;
    // Runs the sessions of a page, and before them those they come after.
    void prepare(const std::string& page) const;
    [[nodiscard]] const std::string& folder() const { return folder_; }

private:
    std::string folder_;
};

} // namespace lotwort::test
