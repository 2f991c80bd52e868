#include "killed_program.hpp"
#include "folder.hpp"
#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <doctest/doctest.h>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <limits>
#include <lotwort/store/ledger.hpp>
#include <random>
#include <set>
#include <string>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

namespace lotwort::test {

namespace {

using Words = std::vector<std::string>;
using Clock = std::chrono::steady_clock;

constexpr int rounds_a_ledger = 50;

class Folder {
public:
    Folder() {
        path_ = quick_folder() / fmt::format("lotwort-killed-{}", ::getpid());
        std::filesystem::create_directories(path_);
    }
    ~Folder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string file(const std::string& name) const { return (path_ / name).string(); }

private:
    std::filesystem::path path_;
};

struct Ran {
    bool killed = false;
    int status = 0; // where it was not killed
    std::string said;
};

[[noreturn]] void become(const Words& words, int out) {
    std::vector<char*> argv;
    static char program[] = LOTWORT_PROGRAM;
    argv.push_back(program);
    for (const auto& word : words) argv.push_back(const_cast<char*>(word.c_str()));
    argv.push_back(nullptr);
    ::dup2(out, STDOUT_FILENO);
    ::execv(program, argv.data());
    ::_exit(127);
}

// Runs the program, and kills it after so many microseconds; below nothing: not at all.
Ran run_program(const Words& words, int kill_after_us) {
    std::array<int, 2> pipe{};
    REQUIRE(::pipe2(pipe.data(), O_CLOEXEC) == 0);
    const pid_t program = ::fork();
    REQUIRE(program >= 0);
    if (program == 0) become(words, pipe[1]);
    ::close(pipe[1]);
    if (kill_after_us >= 0) {
        ::usleep(static_cast<useconds_t>(kill_after_us));
        ::kill(program, SIGKILL); // harmless where it has ended: it is not yet waited for
    }
    Ran ran;
    std::array<char, 4096> piece{};
    for (ssize_t got = 0; (got = ::read(pipe[0], piece.data(), piece.size())) > 0;)
        ran.said.append(piece.data(), static_cast<std::size_t>(got));
    ::close(pipe[0]);
    int status = 0;
    CHECK(::waitpid(program, &status, 0) == program);
    ran.killed = WIFSIGNALED(status);
    if (!ran.killed) ran.status = WEXITSTATUS(status);
    return ran;
}

std::string note_of(int round) {
    return fmt::format("round {}", round);
}

// A command that writes, under the round's own note.
Words command_of(int round, const std::string& ledger) {
    Words words;
    switch (round % 5) {
    case 0:
        words = {"receive", "pale ale malt", "25kg", "--lot", fmt::format("K{}", round), "--moisture", "4.1%"};
        break;
    case 1:
        words = {"discard", "P-1", "1g", "--reason", "spilled"};
        break;
    case 2:
        words = {"count", "W-1", fmt::format("{}g", 20'000 - round), "--reason", "weighed"};
        break;
    case 3:
        words = {"plan", "pale"};
        break;
    default:
        words = {"brew", "--recipe", "pale", "--add", "P-1=10g@mash", "--add", "W-1=1g@mash", "--sure"};
        break;
    }
    words.insert(words.end(), {"--note", note_of(round), "--ledger", ledger});
    return words;
}

void stock_up(const Folder& folder, const std::string& ledger) {
    const auto recipe = folder.file("pale.toml");
    std::ofstream(recipe) << "name = \"pale\"\nvolume_l = 20.0\noriginal_gravity_sg = 1.040\nboil_minutes = 60\n"
                             "[[grist]]\nitem = \"pale ale malt\"\nshare_pct = 100\n";
    for (Words words : {Words{"init"}, Words{"receive", "pale ale malt", "900kg", "--lot", "P-1"},
                        Words{"receive", "wheat malt", "25kg", "--lot", "W-1"},
                        Words{"brewhouse", "add", "main", "20L"}, Words{"recipe", "add", recipe}}) {
        words.insert(words.end(), {"--ledger", ledger});
        CHECK(run_program(words, -1).status == 0);
    }
}

// How long a command lives here, in microseconds, to begin with: the moments of killing are spread over all of it.
int lifetime_us(const std::string& ledger) {
    int shortest = std::numeric_limits<int>::max();
    for (int i = 0; i < 5; ++i) {
        const auto from = Clock::now();
        CHECK(run_program(command_of(i, ledger), -1).status == 0);
        shortest = std::min(shortest, static_cast<int>((Clock::now() - from) / std::chrono::microseconds(1)));
    }
    return shortest;
}

// The entries of a round that stand in the ledger: none or one.
int entries_of(const Ledger& ledger, int round) {
    HistoryFilter newest;
    newest.last = 3;
    int there = 0;
    for (const auto& entry : ledger.history(newest))
        if (entry.head.why == note_of(round)) ++there;
    return there;
}

// Was it killed?
bool kill_once(const std::string& file, int round, int after_us, KilledProgram& killed, std::set<int>& booked) {
    const Ran ran = run_program(command_of(round, file), after_us);
    if (!ran.killed) CHECK(ran.status == 0);
    const bool journal = std::filesystem::exists(file + "-journal");
    // an answer comes in one write: half of it would be a report of nothing
    const bool reported = ran.said.find("booked as entry") != std::string::npos;
    CHECK((reported || ran.killed));
    const Ledger ledger(file, Access::read);
    CHECK(ledger.verify().empty());
    const int there = entries_of(ledger, round);
    CHECK(there <= 1);
    if (reported) CHECK(there == 1);
    if (there == 1) booked.insert(round);
    ++killed.rounds;
    killed.killed += ran.killed ? 1 : 0;
    killed.reported += reported ? 1 : 0;
    killed.unreported += there == 1 && !reported ? 1 : 0;
    killed.undone += journal ? 1 : 0;
    return ran.killed;
}

// After many kills, all of them together: each round that was there still is, once.
void check_all(const std::string& file, const std::set<int>& booked) {
    const Ledger ledger(file, Access::read);
    std::multiset<std::string> notes;
    for (const auto& entry : ledger.history({}))
        if (!entry.head.why.empty()) notes.insert(entry.head.why);
    CHECK(notes.size() == booked.size());
    for (const int round : booked) CHECK(notes.count(note_of(round)) == 1);
}

} // namespace

KilledProgram kill_program(int kills, unsigned seed) {
    KilledProgram killed;
    std::mt19937 dice(seed);
    const Folder folder;
    const auto fresh = folder.file("fresh.lotwort");
    stock_up(folder, fresh);
    const auto file = folder.file("l.lotwort");
    std::filesystem::copy_file(fresh, file);
    double life_us = lifetime_us(file);
    const double longest_us = 20.0 * life_us;
    std::set<int> booked;
    for (int round = 0; killed.killed < kills && round < 10 * kills; ++round) {
        INFO("round ", round);
        if (round % rounds_a_ledger == 0) {
            std::filesystem::copy_file(fresh, file, std::filesystem::copy_options::overwrite_existing);
            booked.clear();
        }
        const auto after_us = static_cast<int>(dice() % static_cast<unsigned>(life_us));
        // whatever else the machine is busy with by now: some five in six are to be killed before they end
        life_us *= kill_once(file, round, after_us, killed, booked) ? 1.02 : 0.9;
        life_us = std::clamp(life_us, 100.0, longest_us);
        if ((round + 1) % rounds_a_ledger == 0) check_all(file, booked);
    }
    check_all(file, booked);
    return killed;
}

} // namespace lotwort::test
