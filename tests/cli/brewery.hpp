// An empty folder with a ledger in it, and a command line to work it with: lotwort called as a person types it.
#pragma once

#include <atomic>
#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <lotwort/cli/command.hpp>
#include <lotwort/core/error.hpp>
#include <nlohmann/json.hpp>
#include <string>
#include <unistd.h>
#include <vector>

namespace lotwort::test {

using Json = nlohmann::json;

// What one call said: its answer, or the refusal with its hint.
struct Said {
    int status = 0;
    std::string out;
    std::string error;
    std::string hint;
};

class Brewery {
public:
    explicit Brewery(const char* today = "2026-03-14") {
        static std::atomic<int> count{0};
        folder_ = std::filesystem::temp_directory_path() /
                  ("lotwort-test-" + std::to_string(getpid()) + "-" + std::to_string(++count));
        std::filesystem::create_directories(folder_);
        around_.today = *parse_iso_date(today);
        around_.booked_at = std::string(today) + "T12:00:00Z";
        around_.ledger = (folder_ / "ledger.lotwort").string();
    }
    ~Brewery() {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }
    Brewery(const Brewery&) = delete;
    Brewery& operator=(const Brewery&) = delete;

    // One line without the program's name; double quotes keep words together; FOLDER stands for the folder.
    Said run(const std::string& line) const {
        Said said;
        try {
            const auto answer = cli::dispatch(words_of(line), around_);
            said.status = answer.status;
            said.out = answer.text;
        } catch (const Error& e) {
            said.status = static_cast<int>(e.kind());
            said.error = e.what();
            said.hint = e.hint();
        }
        return said;
    }

    // The same, where it must be done.
    std::string done(const std::string& line) const {
        const Said said = run(line);
        CHECK_MESSAGE(said.error.empty(), line, ": ", said.error, " / ", said.hint);
        CHECK_MESSAGE(said.status == 0, line);
        return said.out;
    }

    // The answer of `line --json`, parsed; null where it was refused.
    Json json(const std::string& line) const {
        const Said said = run(line + " --json");
        CHECK_MESSAGE(said.error.empty(), line, ": ", said.error, " / ", said.hint);
        return said.out.empty() ? Json() : Json::parse(said.out);
    }

    // Exported, booked afresh and exported again: the same bytes, and both ledgers sound.
    void check_round_trip() const {
        const std::string other = " --ledger FOLDER/other.lotwort";
        done("export FOLDER/all.json --force");
        done("init" + other);
        done("import FOLDER/all.json" + other);
        CHECK(done("export" + other) == done("export"));
        CHECK(json("verify" + other)["sound"] == true);
        CHECK(json("verify")["sound"] == true);
    }

    // For what no verb does yet: the library's own hand on the ledger.
    [[nodiscard]] std::string ledger_path() const { return *around_.ledger; }
    void write(const std::string& name, const std::string& text) const { std::ofstream(folder_ / name) << text; }
    std::string read(const std::string& name) const {
        std::ifstream in(folder_ / name, std::ios::binary);
        return {std::istreambuf_iterator<char>(in), {}};
    }
    cli::Surroundings& surroundings() { return around_; }
    void today(const char* day) {
        around_.today = *parse_iso_date(day);
        around_.booked_at = std::string(day) + "T12:00:00Z";
    }

private:
    std::vector<std::string> words_of(const std::string& line) const {
        std::vector<std::string> words;
        std::string word;
        bool quoted = false, any = false;
        for (const char c : line + " ") {
            if (c == '"') {
                quoted = !quoted;
                any = true;
            } else if (c == ' ' && !quoted) {
                if (any || !word.empty()) words.push_back(word);
                word.clear();
                any = false;
            } else {
                word += c;
            }
        }
        for (auto& w : words)
            if (const auto at = w.find("FOLDER"); at != std::string::npos) w.replace(at, 6, folder_.string());
        return words;
    }

    std::filesystem::path folder_;
    cli::Surroundings around_;
};

} // namespace lotwort::test
