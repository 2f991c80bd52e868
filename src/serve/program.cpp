// POST /v1/VERB: the same for programs.
#include "site.hpp"
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/named_words.hpp>
#include <lotwort/report/booked.hpp>

namespace lotwort::serve {

namespace {

Reply json_reply(std::string body, int status = 200) {
    return {.status = status, .type = "application/json", .body = std::move(body)};
}

Reply refused(const report::Refusal& refusal, int status) {
    return json_reply(report::refusal_json(refusal), status);
}

int status_of(const Ran& ran) {
    if (ran.own_fault) return 500;
    switch (ran.refusal->kind) {
    case ErrorKind::usage:
        return 400;
    case ErrorKind::shortage:
        return 409;
    case ErrorKind::ledger:
        return 503;
    default:
        return 422;
    }
}

} // namespace

Reply Site::for_program(const Known& from, const std::string& verb) {
    report::Refusal refusal{verb, ErrorKind::usage, {}, {}, {}};
    const Command* command = served_verb(verb);
    if (command == nullptr) {
        refusal.message = fmt::format("there is no verb `{}` here", verb);
        refusal.hint = "`lotwort` alone lists them; init, backup and serve are typed at the machine itself";
        return refused(refusal, 404);
    }
    // which no page from elsewhere may send unasked
    if (!from.request.header("content-type").starts_with("application/json")) {
        refusal.message = "what is sent is no JSON by its Content-Type";
        refusal.hint = "send Content-Type: application/json";
        return refused(refusal, 415);
    }
    Ran ran;
    NamedWords words;
    try {
        words = named_words(from.request.body);
    } catch (const Error& fault) {
        refusal.message = fault.what();
        refusal.hint = fault.hint();
        return refused(refusal, 400);
    }
    Sender sender{.name = from.session.name};
    if (const std::string key = from.request.header("idempotency-key"); !key.empty()) sender.form = key;
    if (const auto by = words.find("by"); by != words.end() && from.session.is_local && by->second.size() == 1) {
        sender.name = by->second.front();
        words.erase(by);
    }
    const bool is_table = words.contains("csv");
    if (!is_table) words["json"] = {""};
    ran = runner_.run(*command, words, sender);
    if (ran.refusal) return refused(*ran.refusal, status_of(ran));
    if (ran.was_booked) return json_reply(report::booked_json({*ran.booked, false, {}}, "lotwort/repeated/1"));
    Reply reply = json_reply(ran.answer->text);
    if (is_table) reply.type = "text/csv; charset=utf-8";
    return reply;
}

} // namespace lotwort::serve
