// The pages of one ledger: a request in, a reply out.
#pragma once

#include "guard.hpp"
#include "page.hpp"
#include "run.hpp"
#include "sessions.hpp"
#include "works.hpp"
#include <lotwort/desk/desk.hpp>
#include <lotwort/report/links.hpp>

namespace lotwort::serve {

[[nodiscard]] Reply page_reply(std::string body, int status = 200);
// For who is not in: nothing of the ledger.
[[nodiscard]] Reply refused_outside(int status, const std::string& title, const std::string& what);

// The ledger opened to look at it, by no verb.
inline constexpr Command looks{
    .name = "lotwort", .group = verbs::Group::keep, .summary = "", .ledger = verbs::LedgerUse::reads};

class Site {
public:
    Site(Runner& runner, Own own) : runner_(runner), own_(std::move(own)) {}

    // Called by several threads at once; whatever goes wrong is a reply.
    [[nodiscard]] Reply answer(const Request& request);

    // "http://192.0.2.7:8017/enter?key=..."; without a key where none is needed.
    [[nodiscard]] std::string address_to_enter() const;

private:
    struct Known { // a request, and who sent it
        const Request& request;
        Fields query;
        Session session;
    };

    Reply routed(const Request& request);
    Reply known(const Known& from);
    Reply get(const Known& from);
    Reply post(const Known& from);
    Reply done(const Known& from, const std::string& verb, const Fields& fields);
    Reply asked(const Known& from, const std::string& verb);
    Reply told(const Known& from, const Ran& ran, const std::string& verb, const std::string& address, Fields sent);
    // Of what takes long (searching.cpp): the search that an address asks for, none where it asks for none; what came
    // of it, or how far it is; its stop button.
    std::shared_ptr<Work> searched(const Known& from);
    Reply shown(const Known& from, const std::shared_ptr<Work>& work);
    Reply worked(const Known& from, const std::string& id);
    Reply stopped(const std::string& id);
    [[nodiscard]] std::string state_now();
    Reply for_program(const Known& from, const std::string& verb);
    Reply entering(const Request& request);
    Reply session_begun(const Session& session) const;
    Reply changes(const Known& from);
    Reply sessions_changed(const Known& from);

    [[nodiscard]] std::optional<Session> session_of(const Request& request);
    [[nodiscard]] std::string cookie_name() const { return "lotwort-" + std::to_string(own_.port); }
    // The page at that address, with what was answered above it.
    Reply drawn(const Known& from, const std::string& path, const std::string& answer, Fields typed, int status = 200,
                const std::function<Page(const Visit&)>& found = {}); // what a search for that page came to
    [[nodiscard]] Page page_at(const std::string& path, const Fields& query, const Desk& desk, const Visit& visit);
    [[nodiscard]] Page kept(const std::string& path, Page (*page)(const Desk&, const Visit&), const Desk& desk,
                            const Visit& visit);
    [[nodiscard]] Page reported(const std::string& path, const Visit& visit, Teaching* teaching);
    [[nodiscard]] Page sessions_page(const Visit& visit) const;

    Runner& runner_;
    Own own_;
    Sessions sessions_;
    std::optional<Session> local_; // of whoever asks at the machine itself and has none
    std::mutex saying_;

    // Where codes lead to, in the ledger's state of that entry; of now.
    std::shared_ptr<const report::PageFiles> linked_pages(const Desk& desk, std::int64_t newest);
    std::shared_ptr<const report::PageFiles> linked_pages();
    std::mutex linking_;
    std::shared_ptr<const report::PageFiles> pages_;
    std::int64_t pages_of_ = 0;

    struct Drawn {
        std::string state; // of the ledger, and the day
        Page page;
    };
    std::mutex keeping_;
    std::map<std::string, Drawn> kept_; // by address
    Works works_;                       // the last member: its threads use the others
};

} // namespace lotwort::serve
