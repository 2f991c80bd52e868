// Pages asked for within this process, so that a test can hold up what is worked at aside.
#pragma once

#include "../../src/serve/site.hpp"
#include "served.hpp"
#include <condition_variable>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace lotwort::test {

class Within {
public:
    // `lines` as for Served.
    explicit Within(const std::vector<std::string>& lines);
    ~Within();
    Within(const Within&) = delete;
    Within& operator=(const Within&) = delete;

    // From now on no work aside begins before `let_go`.
    void hold_up();
    void let_go();

    Got get(const std::string& address);
    Got post(const std::string& path, const std::string& body);
    // The last answer of a work: it is asked for until there is one.
    Got ended(const std::string& address);

    std::string run(const std::string& line) const { return made_.run(line, true); }

private:
    Got answered(const serve::Request& request);
    void wait_aside();

    Served made_;
    std::thread::id main_ = std::this_thread::get_id();
    std::mutex mutex_;
    std::condition_variable goes_;
    bool is_held_ = false;
    std::string cookie_;
    serve::Runner runner_;
    serve::Site site_; // the last member: its threads use the others
};

// Where an answer that is still worked at sends its reader; empty: it is no such answer.
[[nodiscard]] std::string work_of(const Got& got);

} // namespace lotwort::test
