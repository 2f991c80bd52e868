// Who may come in, and under which name they book.
#pragma once

#include <chrono>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::serve {

// 128 bits that nobody can guess, in hexadecimal; from the system.
[[nodiscard]] std::string unguessable();

// Compared in a time that tells nothing of where they differ.
[[nodiscard]] bool is_same_secret(std::string_view a, std::string_view b);

struct Session {
    std::string id;    // the cookie's
    std::string token; // that each of its forms carries
    std::string name;  // who books; may be empty at the machine itself
    int number = 0;    // in the list of sessions
    bool is_local = false;
};

// All of them, for several threads. They live as long as the program, and no longer than a long day without use.
class Sessions {
public:
    using Clock = std::chrono::steady_clock;

    // The one key that lets somebody in next.
    [[nodiscard]] std::string key() const;
    // A session for who brings the key, which is worth nothing from then on: a new one takes its place.
    [[nodiscard]] std::optional<Session> enter(std::string_view key, const std::string& name);
    // One without a key: at the machine itself, or of somebody who is in already.
    [[nodiscard]] Session open(const std::string& name, bool is_local);

    [[nodiscard]] std::optional<Session> find(std::string_view id, Clock::time_point now = Clock::now());
    [[nodiscard]] std::vector<Session> all() const; // by number
    bool end(int number);                           // false: there is none

private:
    struct Kept {
        Session session;
        Clock::time_point used;
    };
    mutable std::mutex mutex_;
    std::string key_ = unguessable();
    std::map<std::string, Kept, std::less<>> kept_; // by id
    int last_number_ = 0;
};

} // namespace lotwort::serve
