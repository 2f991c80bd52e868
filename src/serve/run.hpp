// One run of a verb for a page or a program: what was sent, to the answer or the refusal.
#pragma once

#include "aside.hpp"
#include <atomic>
#include <functional>
#include <lotwort/desk/taught.hpp>
#include <lotwort/report/refusal.hpp>
#include <lotwort/serve/serve.hpp>
#include <lotwort/verbs/arguments.hpp>
#include <lotwort/verbs/call.hpp>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::serve {

using verbs::Command;
using verbs::NamedWords;

// Null: there is no such verb, or it is one that is typed at the machine alone: it names files, or is this one.
[[nodiscard]] const Command* served_verb(std::string_view name);

// Is it a word of the command line that pages leave out? Those that name a file, of this machine or for its answer, and
// --by: a session has a name.
[[nodiscard]] bool is_left_out(std::string_view name, std::string_view value);

// Of a run that may last: who is told how far it is, and the flag that ends it.
struct Pursuit {
    std::function<void(const std::string&)> tell;
    const std::atomic<bool>* stop = nullptr;
};

struct Sender {
    std::string name;                  // who books
    std::optional<std::string> form{}; // the one-time number
    std::optional<std::string> sent{}; // in place of a file
    std::int64_t seen = 0;             // the newest entry when the form was made; 0: not known
    bool only_looks = false;           // asked by an address, as a link is: nothing is booked by it
    // What the form showed beside what its words name: "lot PAM-1", or "stock" for all that a purchase rests on.
    std::vector<std::string> shows{};
    std::optional<Pursuit> pursuit{};
    // Of a program: it is told the state of its answer; and the newest entry that it has seen, where it wants nothing
    // done once there is another.
    bool asks_state = false;
    std::optional<std::int64_t> upon{};
    Teaching* teaching = nullptr; // of a page that may show what was learned last
};

struct Ran {
    std::optional<verbs::Answer> answer;
    std::optional<report::Refusal> refusal; // where there is no answer
    bool own_fault = false;                 // of the program
    std::optional<Entry> booked;            // by this form, now or when it was sent before
    bool was_booked = false;                // before: nothing was run
    std::vector<Entry> meanwhile{};         // by others, since the form was made; newest first, at most five
    std::vector<Entry> changed{};           // since then, in what this entry is about: it was not booked
    std::int64_t newest = 0;                // entry, when that was found
    bool is_overtaken = false;              // `changed` is all since the state that the program had seen
    // The newest entry that the answer is sure to rest on, its own among them; none of one that was booked before.
    std::optional<std::int64_t> state{};
};

class Runner {
public:
    Runner(verbs::Serving asked, verbs::Surroundings around, Outside outside)
        : asked_(std::move(asked)), around_(std::move(around)), outside_(std::move(outside)) {}

    [[nodiscard]] Ran run(const Command& command, const NamedWords& words, const Sender& sender);

    // The world as a request of now sees it, under that name.
    [[nodiscard]] verbs::Surroundings around(const std::string& name, const std::optional<Pursuit>& pursuit = {}) const;
    [[nodiscard]] const verbs::Serving& asked() const { return asked_; }
    [[nodiscard]] const Outside& outside() const { return outside_; }
    [[nodiscard]] Taught& taught() { return taught_; }

    // One search at a time: Error(refused) while there is one; who can be told, and stopped, waits for its turn.
    [[nodiscard]] std::unique_lock<std::timed_mutex> searching(const std::optional<Pursuit>& pursuit);
    // Is a search for purchases or substitutes at work? It may take all of a processor for long.
    [[nodiscard]] static bool searches(const Command& command, const NamedWords& words);

    // That, or an import: what may last longer than a page is waited for.
    [[nodiscard]] static bool may_last(const Command& command, const NamedWords& words) {
        return searches(command, words) || command.name == "import";
    }
    // Of those: is it sent to be booked, or to be looked at?
    [[nodiscard]] static bool is_to_book(const Command& command, const NamedWords& words) {
        return !words.contains("dry-run") &&
               (command.name == "import" || words.contains("order") || words.contains("take"));
    }

private:
    void answered(const Command& command, const NamedWords& words, const Sender& sender, Ran& ran);

    verbs::Serving asked_;
    verbs::Surroundings around_;
    Outside outside_;
    std::timed_mutex search_;
    // the last members: the thread of the one uses the other
    Taught taught_{[this](std::function<void()> piece) { return aside_.take(std::move(piece)); }};
    Aside aside_;
};

} // namespace lotwort::serve
