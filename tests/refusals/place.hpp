// Where a transcript is played: an empty folder, the program, and a look at every file before and after.
#pragma once

#include "gallery.hpp"
#include "session.hpp"
#include <map>
#include <optional>
#include <string>

namespace lotwort::test {

// Every file and folder below the place: its mode and, of a file, its bytes.
using Snapshot = std::map<std::string, std::string>;

// What differs between two, a line each: "brewery.lotwort changed".
[[nodiscard]] std::string differences(const Snapshot& before, const Snapshot& after);

struct Said {
    std::string out;
    std::string error;
    int status = 0;
};

class Place {
public:
    Place();
    ~Place();
    Place(const Place&) = delete;
    Place& operator=(const Place&) = delete;

    // Writes the files and runs the commands; throws std::runtime_error with what the first to fail said.
    void prepare(const Transcript& transcript) const;
    [[nodiscard]] Said run(const Refusal& refusal) const;
    [[nodiscard]] Said run(const std::string& command) const;
    [[nodiscard]] Snapshot look() const;

    [[nodiscard]] const std::string& folder() const { return workplace_.folder(); }

    // Why a case cannot be played here; empty: it can.
    [[nodiscard]] std::string obstacle(const Refusal& refusal) const;

private:
    [[nodiscard]] Said play(const std::string& before, const std::string& command) const;

    Workplace workplace_;
    std::string open_folder_; // the program where anybody may run it; empty: not needed
};

} // namespace lotwort::test
