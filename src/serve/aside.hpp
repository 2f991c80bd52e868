// Work that nobody waits for, one piece after the other in a thread of its own.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

namespace lotwort::serve {

class Aside {
public:
    Aside() : thread_([this] { work(); }) {}
    ~Aside(); // what has not begun is not done
    Aside(const Aside&) = delete;
    Aside& operator=(const Aside&) = delete;

    // False: too much is waiting.
    bool take(std::function<void()> piece);

private:
    void work();
    std::mutex mutex_;
    std::condition_variable comes_;
    std::deque<std::function<void()>> waiting_;
    bool ends_ = false;
    std::thread thread_; // the last member: it uses the others
};

} // namespace lotwort::serve
