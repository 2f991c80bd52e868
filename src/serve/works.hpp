// What takes long is worked at aside: the page says how far it is, loads itself anew, and has a button that stops it.
#pragma once

#include "fields.hpp"
#include "run.hpp"
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <functional>
#include <list>
#include <memory>
#include <thread>

namespace lotwort::serve {

struct Page;
struct Visit;

[[nodiscard]] std::string without_query(const std::string& address);

class Work {
public:
    // What came of it: a run of a verb, or a page that each visit has with forms of its own.
    struct Came {
        std::optional<Ran> ran{};
        std::function<Page(const Visit&)> page{};
    };

    const std::string id, key; // key: what asked for it
    const std::string title;   // what it is looking for
    const std::string back;    // the address that its answer stands at, with the query that asked
    const Fields sent;         // the form; nothing where an address asked
    const bool books;          // at its end: stopped, it books nothing

    Work(std::string work_key, std::string looks_for, std::string address, Fields form, bool may_book);
    void stop() { stop_.store(true); }
    [[nodiscard]] bool is_stopped() const { return stop_.load(); }
    [[nodiscard]] Pursuit pursuit();
    [[nodiscard]] std::string said() const; // how far it is
    [[nodiscard]] std::chrono::seconds since() const;
    // Is it done, or will it be so soon?
    [[nodiscard]] bool is_done(std::chrono::milliseconds patience = {}) const;
    [[nodiscard]] const Came& came() const { return came_; } // of one that is done

    void pursue(const std::function<Came(Work&)>& run);

private:
    mutable std::mutex mutex_;
    mutable std::condition_variable is_over_;
    const std::chrono::steady_clock::time_point begun_ = std::chrono::steady_clock::now();
    std::atomic<bool> stop_ = false;
    bool done_ = false;
    std::string said_;
    Came came_;
};

// All of them, for several threads; each has one of its own.
class Works {
public:
    ~Works();
    // The one of that key that is under way, or, where an address asks, has come to its end unstopped; else a new one.
    // Error(refused) where too many are under way.
    std::shared_ptr<Work> begin(const std::string& key, const std::string& title, const std::string& back,
                                const Fields& sent, std::function<Work::Came(Work&)> run, bool books = false);
    [[nodiscard]] std::shared_ptr<Work> find(std::string_view id) const;

private:
    struct Kept {
        std::shared_ptr<Work> work;
        std::thread thread;
    };
    void make_room();
    mutable std::mutex mutex_;
    std::list<Kept> kept_; // the newest last
};

} // namespace lotwort::serve
