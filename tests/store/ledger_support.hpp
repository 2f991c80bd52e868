// A small invented brewery for the tests of the ledger, and raw SQL beside the program's back.
#pragma once

#include <filesystem>
#include <lotwort/core/error.hpp>
#include <lotwort/store/ledger.hpp>
#include <string>
#include <vector>

namespace lotwort::test {

// A folder that is gone when the test is over.
class Folder {
public:
    Folder();
    ~Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string file(const std::string& name) const { return (path_ / name).string(); }

private:
    std::filesystem::path path_;
};

[[nodiscard]] Date day(const char* iso);
[[nodiscard]] EntryHead head(EntryKind kind, const char* on, const char* what = "booked in a test");

[[nodiscard]] Item malt(const std::string& name);
[[nodiscard]] Lot lot_of(const std::string& code, const std::string& item, const char* received, double mass_kg);
[[nodiscard]] Addition mash(const std::string& lot, double mass_kg);
[[nodiscard]] Brew brew_of(const std::string& code, const char* date, std::vector<Addition> additions);
[[nodiscard]] Package run_of(const std::string& code, const std::string& brew, const char* on, int count);
[[nodiscard]] Movement movement_of(MovementKind kind, const std::string& lot, const char* on, double mass_kg);

// Pale and wheat malt, a hop, a yeast in pieces; scales and marks; a brewhouse `main`; a recipe; a lot of each
// received on 2026-01-05: P-1 25 kg, W-1 25 kg, H-1 1 kg, Y-1 10 pieces. Every kind of record but brews,
// with every field set somewhere.
[[nodiscard]] Book brewery();

// A ledger made on 2026-01-01 (entry 1), with brewery() booked on 2026-01-05 (entry 2).
[[nodiscard]] Ledger new_ledger(const std::string& file);
[[nodiscard]] Ledger stocked_ledger(const std::string& file);

[[nodiscard]] Book with(Lot lot);
[[nodiscard]] Book with(Brew brew);
[[nodiscard]] Book with(Movement movement);
[[nodiscard]] Book with(Package package);

[[nodiscard]] std::string bytes_of(const std::string& file);

// What the error says, "kind N: message / hint"; "nothing" where none is thrown.
template <class Act>
[[nodiscard]] std::string refusal(Act&& act) {
    try {
        act();
    } catch (const Error& error) {
        return "kind " + std::to_string(static_cast<int>(error.kind())) + ": " + error.what() +
               (error.hint().empty() ? "" : " / " + error.hint());
    }
    return "nothing";
}

// SQL straight to the file, foreign keys on: the answer's rows, columns by |, rows by newline; or what the
// database said against it, after "refused: ".
[[nodiscard]] std::string sql(const std::string& file, const std::string& text);

} // namespace lotwort::test
