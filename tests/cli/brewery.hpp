// An empty folder with a ledger in it, and a command line to work it with: lotwort called as a person types it.
#pragma once

#include "json.hpp"
#include <doctest/doctest.h>
#include <filesystem>
#include <lotwort/cli/program.hpp>
#include <string>
#include <vector>

namespace lotwort::test {

// What one call said: its answer, or the refusal with its hint.
struct Said {
    int status = 0;
    std::string out;
    std::string error;
    std::string hint;
};

class Brewery {
public:
    explicit Brewery(const char* today = "2026-03-14");
    ~Brewery();
    Brewery(const Brewery&) = delete;
    Brewery& operator=(const Brewery&) = delete;

    // One line without the program's name; double quotes keep words together; FOLDER stands for the folder.
    Said run(const std::string& line) const;

    // The same, where it must be done.
    std::string done(const std::string& line) const;

    // The answer of `line --json`, parsed; null where it was refused.
    Json json(const std::string& line) const;

    // Exported, booked afresh and exported again: the same bytes, and both ledgers sound.
    void check_round_trip() const;

    // A new ledger, a kit of 23 L called home, and these deliveries.
    void begin(const std::vector<std::string>& deliveries) const;
    // A recipe of 23 L boiled an hour; the lists as TOML writes them.
    void put_recipe(const std::string& name, const std::string& grist, const std::string& hops) const;

    // A new ledger, a kit of 25 L called garage, these deliveries, and the recipe `pale` of so many litres of so much
    // pale ale malt.
    void begin_pale(double volume_l, double malt_kg, const std::vector<std::string>& deliveries) const;

    // For what no verb does yet: the library's own hand on the ledger.
    [[nodiscard]] std::string ledger_path() const { return *around_.ledger; }
    void write(const std::string& name, const std::string& text) const;
    std::string read(const std::string& name) const;
    cli::Surroundings& surroundings() { return around_; }
    void today(const char* day);

    // A line's words, as run takes them.
    [[nodiscard]] std::vector<std::string> words_of(const std::string& line) const;

private:
    std::filesystem::path folder_;
    cli::Surroundings around_;
    mutable std::optional<cli::Serving> served_; // by the last line
};

} // namespace lotwort::test
