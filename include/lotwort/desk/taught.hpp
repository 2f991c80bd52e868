// What brews taught, kept from question to question: for a program that answers many, of one ledger.
//
// Learning from ten years of brews takes half a second, and what it rests on changes with few entries. A page that is
// asked for behind such an entry shows what was learned last, and says of when that is; the rest is worked out aside.
#pragma once

#include <any>
#include <cstddef>
#include <functional>
#include <list>
#include <lotwort/desk/desk.hpp>
#include <lotwort/infer/learning.hpp>
#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace lotwort {

// For several threads.
class Taught {
public:
    // Takes a piece of work over, away from who asks. False: too much is waiting.
    using Aside = std::function<bool(std::function<void()>)>;
    explicit Taught(Aside aside) : aside_(std::move(aside)) {}

    struct Known {
        std::any value;
        std::string state; // of the ledger when it was asked for
        bool is_of_now = true;
    };
    // What is to be worked out, by values alone, and what it rests on: the same basis, the same answer.
    struct Question {
        std::size_t basis = 0;
        std::function<std::any()> work_out;
    };
    // `ask` is called where something has been booked since. Worked out at once where nothing is known of the subject.
    [[nodiscard]] Known known(const std::string& subject, const std::string& state,
                              const std::function<Question()>& ask);

private:
    struct Kept {
        std::string subject;
        std::size_t basis = 0;
        std::string state;
        std::any value;
        std::optional<std::size_t> awaited{}; // the basis that is worked out aside
    };
    Kept* find(const std::string& subject);
    void keep(const std::string& subject, std::size_t basis, const std::string& state, std::any value);
    void work_aside(Kept& kept, const Question& question, const std::string& state);

    Aside aside_;
    std::mutex mutex_;
    std::list<Kept> kept_; // the last asked for first
};

// The same for one question, which remembers whether something of it is of before.
class Teaching {
public:
    explicit Teaching(Taught& taught) : taught_(taught) {}

    template <class T>
    [[nodiscard]] T learned(const std::string& subject, const std::string& state,
                            const std::function<Taught::Question()>& ask) {
        Taught::Known known = taught_.known(subject, state, ask);
        if (!known.is_of_now && !behind_) behind_ = known.state;
        return std::any_cast<T>(std::move(known.value));
    }
    // The ledger's state that the first of what was of before was learned in.
    [[nodiscard]] const std::optional<std::string>& behind() const { return behind_; }

private:
    Taught& taught_;
    std::optional<std::string> behind_;
};

// As it is said behind "as of": "entry 481 of 2026-03-14".
[[nodiscard]] std::string state_of(const Desk& desk);

// The same for two requests that hold the same; with what else is asked about.
[[nodiscard]] std::size_t basis_of(const LearnRequest& request, const std::vector<ReconcileInput>& more = {});

} // namespace lotwort
