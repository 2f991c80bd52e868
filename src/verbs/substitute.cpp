// substitute: answers to a shortage.
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <charconv>
#include <chrono>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/desk/substitute_request.hpp>
#include <lotwort/report/search.hpp>
#include <lotwort/report/substitute.hpp>

namespace lotwort::verbs {

namespace {

using plan::AnswerKind;

constexpr Positional positionals[] = {
    {"PLAN", "open plans to answer for, together; all open plans unless given", true, true},
};

constexpr Option options[] = {
    {"kind", "KIND", "only this kind of answer: nearest, cheapest, oldest, smaller, short, reschedule, buy", true},
    {"show", "N", "answer N whole: its lines, and what it does beside the plan"},
    {"take", "N", "adopt answer N: the plans are booked anew, the recipe stays as it is"},
    {"limit", "LIMIT", "end the search of each kind there, with what it has: 30s or 5000nodes", true},
    {"allow-past-best", "", "use lots past their date too"},
    {"model", "FILE", "write the model of the kind for another solver, as MPS or LP by the file's name"},
    {"force", "", "let --model replace a file that is there"},
};

constexpr double usual_seconds = 10.0;

struct MipLimits {
    std::optional<double> seconds;
    std::optional<int> nodes;
};

// 30s, 2min or 5000nodes, each at most once.
void parse_limit(const std::string& text, MipLimits& limits) {
    double value = 0.0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    const std::string_view unit(end, static_cast<std::size_t>(text.data() + text.size() - end));
    const bool is_number = fault == std::errc{} && value > 0.0 && value < 1e9;
    if (is_number && (unit == "s" || unit == "sec"))
        limits.seconds = value;
    else if (is_number && unit == "min")
        limits.seconds = 60.0 * value;
    else if (is_number && (unit == "nodes" || unit == "node") && value >= 1.0)
        limits.nodes = static_cast<int>(value);
    else
        throw Error(ErrorKind::refused, "`" + text + "` is no limit",
                    "write seconds, minutes or nodes, such as 30s, 2min or 5000nodes");
}

AnswerKind parse_number(const std::string& text) {
    for (const std::string_view name : WordsOf<AnswerKind>::list) {
        const auto kind = parse_word<AnswerKind>(std::string(name), "a kind of answer");
        if (text == std::to_string(report::number_of(kind)) || text == name) return kind;
    }
    throw Error(ErrorKind::refused, "`" + text + "` is no answer's number",
                "write one of: nearest, cheapest, oldest, smaller, short, reschedule, buy; or its number, 1 to 7");
}

AnswerKind parse_take(const std::string& text) {
    const AnswerKind kind = parse_number(text);
    if (kind == AnswerKind::buy)
        throw Error(ErrorKind::refused, "what lacks is bought, not adopted", "lotwort buy draws up the orders");
    return kind;
}

// The best so far is worth showing, and not worth booking.
Call::Search search_of(const Call& call) {
    return call.args.has("take") ? Call::Search::books : Call::Search::looks;
}

// One line on standard error, a few times a second, once the search has taken a second.
std::function<void(AnswerKind, const plan::MipProgress&)> progress_of(const Call& call) {
    using Clock = std::chrono::steady_clock;
    if (!call.surroundings.progress) return nullptr;
    return [&call, began = Clock::now(), shown = Clock::time_point{}](AnswerKind kind,
                                                                      const plan::MipProgress& now) mutable {
        const auto at = Clock::now();
        if (at - began < std::chrono::seconds(1) || at - shown < std::chrono::milliseconds(200)) return;
        shown = at;
        call.progress(
            fmt::format("{}: {}{}", word(kind), report::search_said(now), call.said_of_ending(search_of(call))));
    };
}

void parse_kinds(const Call& call, plan::SubstituteRequest& request) {
    request.allow_past_best = call.args.has("allow-past-best");
    if (!call.args.has("kind")) return;
    request.kinds.clear();
    for (const auto kind : read_each(
             call, "kind", [](const std::string& text) { return parse_word<AnswerKind>(text, "a kind of answer"); }))
        request.kinds.insert(kind);
}

void parse_search(Call& call, plan::SubstituteRequest& request) {
    MipLimits limits;
    for (const auto& text : call.args.all("limit")) {
        try {
            parse_limit(text, limits);
        } catch (const Error& fault) {
            throw of_option("limit", fault);
        }
    }
    if (limits.nodes) request.limits.most_nodes = *limits.nodes;
    // nodes alone: the same answer on every machine
    if (limits.seconds || !limits.nodes) request.limits.seconds = limits.seconds.value_or(usual_seconds);
    if (const auto kind = read_option(call, "take", parse_take)) {
        call.goes("--take says which answer it is to be", "leave it out");
        call.may_book();
        request.allow_past_best = call.args.has("allow-past-best");
        request.kinds = {*kind};
    } else if (const auto shown = read_option(call, "show", parse_number)) {
        call.goes("--show says which answer it is to be", "leave it out");
        request.allow_past_best = call.args.has("allow-past-best");
        request.kinds = {*shown};
    } else {
        parse_kinds(call, request);
    }
    request.limits.stop = call.ends_search(search_of(call));
    request.progress = progress_of(call);
}

Answer write_model(Call& call, plan::SubstituteRequest& request, const std::string& path) {
    call.goes("the model is written, and nothing is searched or adopted", "leave it out, or leave --model out");
    parse_kinds(call, request);
    if (call.args.has("kind") && request.kinds.size() != 1)
        throw Error(ErrorKind::usage, "a model is of one kind of answer", "write --kind once");
    const AnswerKind kind = call.args.has("kind") ? *request.kinds.begin() : AnswerKind::nearest;
    if (kind != AnswerKind::nearest && kind != AnswerKind::cheapest && kind != AnswerKind::oldest)
        throw Error(ErrorKind::refused, fmt::format("{} is found without a model", word(kind)),
                    "write --kind nearest, cheapest or oldest");
    const plan::Mip mip = plan::substitution_mip(request, kind);
    const std::string name = fmt::format("lotwort {}", word(kind));
    std::string text;
    if (path.ends_with(".mps"))
        text = plan::to_mps(mip, std::string(word(kind)));
    else if (path.ends_with(".lp"))
        text = plan::to_lp(mip, name);
    else
        throw Error(ErrorKind::refused, fmt::format("--model `{}` ends in neither .mps nor .lp", path),
                    "the file's name says which format: model.mps or model.lp");
    write_file(call, path, text);
    return {fmt::format("wrote the model of {} to {}: {} columns, {} rows, minimised\n", word(kind), path,
                        mip.columns().size(), mip.rows().size())};
}

int status_of(const plan::SubstituteRequest& request, const plan::Substitution& found) {
    const bool wants_full = std::ranges::any_of(request.kinds, plan::is_full_size);
    if (wants_full) return found.has_full_size() ? 0 : 3;
    return found.answers.empty() ? 3 : 0;
}

std::string plans_named(const Call& call) {
    std::string text;
    for (const auto& code : call.args.all("PLAN")) text += " " + shell_word(code);
    return text;
}

Answer shown(const Call& call, report::ShownSubstitution& show, int status, bool csv) {
    if (call.json()) return {report::substitute_json(show), status};
    return {csv ? report::substitute_csv(show) : report::substitute_text(show), status};
}

std::string adopted_words(const plan::SubstituteAnswer& answer, const std::string& codes) {
    switch (answer.kind) {
    case plan::AnswerKind::smaller:
        return fmt::format("made {} smaller, to what is there", codes);
    case plan::AnswerKind::short_of_it:
        return fmt::format("took {} as planned, without what lacks", codes);
    case plan::AnswerKind::reschedule:
        return fmt::format("moved {} to when nothing lacks", codes);
    default:
        return fmt::format("adopted the {} substitution for {}", word(answer.kind), codes);
    }
}

// The plans in one entry: `lotwort reverse` takes it back. The recipe is not touched.
Answer adopted(Call& call, report::ShownSubstitution show, bool csv) {
    const plan::SubstituteAnswer& answer = show.found->answers.front();
    Book part;
    std::string codes;
    part.plans = answer.plans;
    for (const Plan& plan : part.plans) codes += (codes.empty() ? "" : ", ") + plan.code;
    const Entry entry = call.book(part, EntryKind::plan, adopted_words(answer, codes));
    const report::Booked booked{entry, call.dry_run(), "lotwort plan " + shell_word(part.plans.front().code)};
    show.booked = &booked;
    show.next.clear();
    return shown(call, show, 0, csv);
}

// None is to come; what was missed wants another day.
std::string no_plans_text(const Book& book) {
    std::string text;
    for (const Plan& missed : book.plans)
        text += fmt::format("{} was planned for {}, which has passed; next: lotwort plan {} --move DATE\n", missed.code,
                            to_iso(missed.date), shell_word(missed.code));
    return text.empty() ? "no open plans; next: lotwort plan RECIPE --on DATE\n" : text;
}

Answer run(Call& call) {
    if (!call.args.has("take")) call.only_reads();
    demand_today(call.desk());
    const Book book = call.ledger().definitions();
    const auto plans = plans_to_fill(call.desk(), book, call.args.all("PLAN"));
    plan::SubstituteRequest request = substitute_request(call.desk(), book, plans);
    const auto model = call.args.text("model");
    if (model && !plans.empty()) return write_model(call, request, *model);
    parse_search(call, request);
    const bool csv = call.csv();
    if (plans.empty()) {
        if (call.args.has("take") || model)
            throw Error(ErrorKind::refused, "there is no open plan to answer for",
                        "next: lotwort plan RECIPE --on DATE");
        if (!call.json() && !csv) return {no_plans_text(book)};
    }
    const plan::Substitution found = substitute(request);
    call.progress("");
    report::ShownSubstitution show{.request = &request, .found = &found, .currency = call.ledger().currency()};
    show.named = plans_named(call);
    show.due = due_by_then(book, call.ledger().lots(), plans);
    show.remarks = learned_remarks(request);
    show.whole = call.args.has("show") || call.args.has("take");
    show.every_none = show.whole || call.args.has("kind");
    const int status = plans.empty() ? 0 : status_of(request, found);
    const bool adoptable =
        std::ranges::any_of(found.answers, [](const plan::SubstituteAnswer& a) { return !a.plans.empty(); });
    if (call.args.has("take") && adoptable) return adopted(call, show, csv);
    if (!found.shortages.lines.empty() && !found.answers.empty() && found.answers.front().kind == AnswerKind::buy)
        show.next = "lotwort buy";
    else if (adoptable && !found.shortages.lines.empty())
        show.next =
            fmt::format("lotwort substitute{} --take {}", show.named, report::number_of(found.answers.front().kind));
    return shown(call, show, status, csv);
}

} // namespace

constinit const Command substitute_command{
    .name = "substitute",
    .group = Group::brew,
    .summary = "answers to a shortage and what each does; --take N adopts one",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
