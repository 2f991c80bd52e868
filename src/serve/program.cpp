// POST /v1/VERB: the same for programs.
#include "site.hpp"
#include <cstdint>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/named_words.hpp>
#include <lotwort/report/booked.hpp>
#include <optional>
#include <string>

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
    if (ran.is_overtaken) return 412;
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

// "481", with its quotes, as an ETag says it; `*` is any state. Error(usage) for anything else.
std::optional<std::int64_t> state_asked_upon(const std::string& header) {
    if (header.empty() || header == "*") return std::nullopt;
    const bool is_one = header.size() > 2 && header.size() < 18 && header.front() == '"' &&
                        header.find_first_not_of("0123456789", 1) == header.size() - 1 && header.back() == '"';
    if (!is_one)
        throw Error(ErrorKind::usage, "If-Match is no state of a ledger",
                    "send the ETag of an answer as it came: If-Match: \"481\"");
    return std::stoll(header.substr(1));
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
    Sender sender{.name = from.session.name, .asks_state = true};
    try {
        sender.upon = state_asked_upon(from.request.header("if-match"));
        words = named_words(from.request.body);
    } catch (const Error& fault) {
        refusal.message = fault.what();
        refusal.hint = fault.hint();
        return refused(refusal, 400);
    }
    if (const std::string key = from.request.header("idempotency-key"); !key.empty()) sender.form = key;
    if (const auto by = words.find("by"); by != words.end() && from.session.is_local && by->second.size() == 1) {
        sender.name = by->second.front();
        words.erase(by);
    }
    const bool is_table = words.contains("csv");
    if (!is_table) words["json"] = {""};
    ran = runner_.run(*command, words, sender);
    if (ran.refusal) {
        for (const Entry& entry : ran.changed)
            ran.refusal->changed.push_back({entry.number, entry.head.by, entry.head.what});
        return refused(*ran.refusal, status_of(ran));
    }
    if (ran.was_booked) return json_reply(report::booked_json({*ran.booked, false, {}}, "lotwort/repeated/1"));
    Reply reply = json_reply(ran.answer->text);
    if (is_table) reply.type = "text/csv; charset=utf-8";
    if (ran.state) reply.headers.emplace_back("ETag", fmt::format("\"{}\"", *ran.state));
    return reply;
}

} // namespace lotwort::serve
