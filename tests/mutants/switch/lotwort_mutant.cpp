// The switch itself, linked into a room's tests: LOTWORT_MUTANT=7 turns the room's seventh mutant on. With
// LOTWORT_MUTANTS_SEEN=FILE each test case leaves a line there: its name, its seconds, the mutants that it passed.
#include <array>
#include <chrono>
#include <cstdlib>
#include <doctest/doctest.h>
#include <fstream>
#include <string>

bool lotwort_mutant(int number);

namespace {

constexpr std::size_t most = 1000; // mutants of a room

const char* seen_file() {
    static const char* const file = std::getenv("LOTWORT_MUTANTS_SEEN");
    return file;
}

std::array<bool, most>& seen() {
    static std::array<bool, most> passed{};
    return passed;
}

// Of tables that are filled before the first case: every case may look into them.
const std::array<bool, most>& seen_at_start() {
    static const std::array<bool, most> passed = seen();
    return passed;
}

struct Watcher : doctest::IReporter {
    explicit Watcher(const doctest::ContextOptions&) {}
    void test_case_start(const doctest::TestCaseData& of) override {
        name_ = of.m_name;
        seen() = seen_at_start();
        begun_ = std::chrono::steady_clock::now();
    }
    void test_case_end(const doctest::CurrentTestCaseStats&) override {
        if (seen_file() == nullptr) {
            return;
        }
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun_;
        std::ofstream out(seen_file(), std::ios::app);
        out << name_ << '\t' << took.count() << '\t';
        for (std::size_t i = 0; i < most; ++i) {
            if (seen()[i]) {
                out << ' ' << i;
            }
        }
        out << " \n";
    }
    void report_query(const doctest::QueryData&) override {}
    void test_run_start() override {}
    void test_run_end(const doctest::TestRunStats&) override {}
    void test_case_reenter(const doctest::TestCaseData&) override {}
    void test_case_exception(const doctest::TestCaseException&) override {}
    void subcase_start(const doctest::SubcaseSignature&) override {}
    void subcase_end() override {}
    void log_assert(const doctest::AssertData&) override {}
    void log_message(const doctest::MessageData&) override {}
    void test_case_skipped(const doctest::TestCaseData&) override {}

private:
    std::string name_;
    std::chrono::steady_clock::time_point begun_;
};

REGISTER_LISTENER("mutants seen", 1, Watcher);

} // namespace

bool lotwort_mutant(int number) {
    static const char* const said = std::getenv("LOTWORT_MUTANT");
    static const int on = said == nullptr ? 0 : std::atoi(said);
    static const bool watched = seen_file() != nullptr;
    if (watched) {
        seen()[static_cast<std::size_t>(number)] = true;
    }
    return number == on;
}
