#include "aside.hpp"
#include <cstddef>
#include <sys/resource.h>
#include <unistd.h>
#include <utility>

namespace lotwort::serve {

namespace {

constexpr std::size_t most_waiting = 8;

} // namespace

Aside::~Aside() {
    {
        const std::scoped_lock lock(mutex_);
        ends_ = true;
        waiting_.clear();
    }
    comes_.notify_all();
    thread_.join();
}

bool Aside::take(std::function<void()> piece) {
    const std::scoped_lock lock(mutex_);
    if (ends_ || waiting_.size() >= most_waiting) return false;
    waiting_.push_back(std::move(piece));
    comes_.notify_all();
    return true;
}

void Aside::work() {
    // behind who waits for a page
    (void)setpriority(PRIO_PROCESS, static_cast<id_t>(gettid()), 10);
    for (std::unique_lock lock(mutex_);;) {
        comes_.wait(lock, [&] { return ends_ || !waiting_.empty(); });
        if (ends_) return;
        const std::function<void()> piece = std::move(waiting_.front());
        waiting_.pop_front();
        lock.unlock();
        piece();
        lock.lock();
    }
}

} // namespace lotwort::serve
