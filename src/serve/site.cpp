#include "site.hpp"
#include "generic.hpp"
#include "multipart.hpp"
#include "pages.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/qr.hpp>
#include <lotwort/verbs/units.hpp>
#include <lotwort/verbs/visible.hpp>

namespace lotwort::serve {

namespace {

// An address of ours to come back to, and nothing else.
std::string own_path(const std::string& path) {
    const bool is_own = path.starts_with('/') && !path.starts_with("//") && path.find_first_of("\r\n\\") == path.npos;
    return is_own ? path : "/";
}

// None: it is no form.
std::optional<Fields> fields_of(const Request& request) {
    const std::string type = request.header("content-type");
    if (type.starts_with("application/x-www-form-urlencoded")) return Fields(request.body);
    if (type.starts_with("multipart/form-data;")) return multipart_fields(type, request.body);
    return std::nullopt;
}

std::string in_capital(std::string_view name) {
    std::string title(name);
    title.front() = static_cast<char>(title.front() - 'a' + 'A');
    return title;
}

// What stands behind "/ask/": none where the path does not begin so.
std::optional<std::string> behind(const std::string& path, std::string_view begins) {
    if (!path.starts_with(begins)) return std::nullopt;
    return path.substr(begins.size());
}

} // namespace

Reply page_reply(std::string body, int status) {
    return {.status = status, .body = std::move(body)};
}

Reply refused_outside(int status, const std::string& title, const std::string& what) {
    return page_reply(framed_outside({title, what, {}}), status);
}

std::string Site::address_to_enter() const {
    return fmt::format("http://{}/{}", own_.host(), own_.in_network ? "enter?key=" + sessions_.key() : "");
}

std::optional<Session> Site::session_of(const Request& request) {
    if (auto session = sessions_.find(cookie(request, cookie_name()))) return session;
    if (own_.in_network) return std::nullopt;
    static std::mutex first;
    const std::scoped_lock lock(first);
    if (!local_ || !sessions_.find(local_->id)) local_ = sessions_.open(runner_.asked().by.value_or(""), true);
    return local_;
}

Reply Site::answer(const Request& request) {
    Reply reply;
    try {
        reply = routed(request);
    } catch (const Error& fault) {
        reply = refused_outside(fault.kind() == ErrorKind::refused ? 503 : 500, "This cannot be shown",
                                std::string(fault.what()) + "\n" + fault.hint());
    } catch (const std::exception& fault) {
        reply = refused_outside(500, "A fault of the program, not yours", fault.what());
    }
    add_safe_headers(reply);
    return reply;
}

Reply Site::routed(const Request& request) {
    if (const std::string why = why_refused(request, own_); !why.empty()) return refused_outside(403, "Not here", why);
    if (request.path == "/style.css" || request.path == "/page.js") {
        const bool is_style = request.path == "/style.css";
        return {.type = is_style ? "text/css; charset=utf-8" : "text/javascript; charset=utf-8",
                .body = is_style ? style_of_pages() : script_of_pages(),
                .headers = {{"Cache-Control", "max-age=3600"}}};
    }
    if (request.path == "/enter") return entering(request);
    const auto session = session_of(request);
    if (!session)
        return refused_outside(401, "Come in by the key",
                               "The machine that serves these pages shows an address and a code for your telephone: "
                               "open one of them. Whoever is in already finds the same under \"sessions\".");
    Reply reply = known({request, Fields(request.query), *session});
    if (session->is_local && cookie(request, cookie_name()) != session->id)
        reply.headers.emplace_back("Set-Cookie",
                                   fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict", cookie_name(), session->id));
    return reply;
}

Reply Site::known(const Known& from) {
    return from.request.method == "POST" ? post(from) : get(from);
}

Reply Site::get(const Known& from) {
    const std::string& path = from.request.path;
    if (path == "/changes") return changes(from);
    const auto verb = behind(path, "/ask/");
    if (verb && from.query.has("run")) return asked(from, *verb);
    if (const auto id = behind(path, "/search/")) return worked(from, *id);
    if (auto work = searched(from)) return shown(from, std::move(work));
    return drawn(from, path, {}, {});
}

Reply Site::post(const Known& from) {
    const std::string& path = from.request.path;
    if (const auto verb = behind(path, "/v1/")) return for_program(from, *verb);
    const auto sent = fields_of(from.request);
    if (!sent)
        return refused_outside(415, "This is no form of ours",
                               "Send application/x-www-form-urlencoded, or multipart/form-data with a file.");
    if (!is_same_secret(sent->one("token"), from.session.token)) {
        const std::string said = html::element(
            "section",
            html::of_text("h2", "Send it once more") +
                html::of_text("p",
                              "The program was started anew, or your session ended, since this form was drawn. What "
                              "you typed stands below; if it was booked, it is not booked twice."),
            "class=\"answer no\" role=\"alert\"");
        return drawn(from, own_path(sent->one("back")), said, *sent, 403);
    }
    if (const auto verb = behind(path, "/do/")) return done(from, *verb, *sent);
    if (path.starts_with("/sessions/")) return sessions_changed(from);
    if (const auto id = behind(path, "/search/")) return stopped(*id);
    return drawn(from, path, {}, {});
}

namespace {

Sender sender_of(const Session& session, const Fields& fields) {
    Sender sender;
    sender.name = session.name;
    if (fields.has("form")) sender.form = fields.one("form");
    for (const std::string& sent : fields.all("sent")) // as a file, or as text
        if (!sender.sent || sender.sent->empty()) sender.sent = sent;
    if (fields.has(".columns")) sender.sent = table_of(fields);
    sender.shows = fields.all(".shows");
    const std::string seen = fields.one("seen");
    if (!seen.empty() && seen.size() < 16 && seen.find_first_not_of("0123456789") == seen.npos)
        sender.seen = std::stoll(seen);
    return sender;
}

std::string title_of(const Command& command) {
    return fmt::format("{}: {}", command.name, command.summary);
}

bool is_page(const Ran& ran) {
    return ran.answer && ran.answer->is_file && ran.answer->text.starts_with("<!DOCTYPE html>");
}

Reply as_file(const Ran& ran, const std::string& verb) {
    return {.type = "text/plain; charset=utf-8",
            .body = ran.answer->text,
            .headers = {{"Content-Disposition", "attachment; filename=\"lotwort-" + verb + ".txt\""}}};
}

// A table's first row is its headings; a form has none, and its first line is line 1.
std::string with_lines_of_form(std::string text) {
    constexpr std::string_view begins = "line ";
    for (auto at = text.find(begins); at != std::string::npos; at = text.find(begins, at + 1)) {
        const auto from = at + begins.size(), end = text.find_first_not_of("0123456789", from);
        if (end == std::string::npos || end == from || end - from > 6 || text[end] != ':') continue;
        text.replace(from, end - from, std::to_string(std::stoi(text.substr(from, end - from)) - 1));
    }
    return text;
}

Ran of_form(Ran ran) {
    if (ran.refusal) ran.refusal->message = with_lines_of_form(ran.refusal->message);
    if (ran.answer) ran.answer->text = with_lines_of_form(ran.answer->text);
    return ran;
}

} // namespace

// What a run came to, above the page at that address. `sent`: the form's fields; none where an address asked, which has
// its query then, whichever address it is told at.
Reply Site::told(const Known& from, const Ran& came, const std::string& verb, const std::string& address, Fields sent) {
    const std::string path = without_query(address);
    if (came.answer && came.answer->is_file && !is_page(came)) return as_file(came, verb);
    const Ran ran = sent.has(".columns") ? of_form(came) : came;
    const Visit visit{.session = from.session, .path = path, .read_only = runner_.asked().read_only};
    const auto pages = linked_pages();
    const report::Linked linked(*pages);
    std::string answer = !ran.changed.empty() ? answer_of_changed(ran, verb, sent, visit)
                         : is_page(ran)       ? html::main_of(ran.answer->text)
                                              : answer_of(ran, visit);
    if (sent.pairs().empty() && ran.answer && ran.answer->text.find("with --full") != std::string::npos)
        answer += html::element("p", link(address + "&full!=", "All lines of it", "go"));
    const int status = ran.own_fault ? 500 : !ran.changed.empty() ? 409 : ran.refusal ? 422 : 200;
    const bool is_to_be_sent_again = ran.refusal || sent.has("dry-run!");
    return drawn(from, path, answer, is_to_be_sent_again ? std::move(sent) : Fields(), status);
}

Reply Site::done(const Known& from, const std::string& verb, const Fields& fields) {
    const Command* command = served_verb(verb);
    if (command == nullptr) return drawn(from, "/all", {}, {}, 404);
    const NamedWords words = words_of(fields);
    Sender sender = sender_of(from.session, fields);
    const std::string back = own_path(fields.one("back"));
    if (!Runner::may_last(*command, words)) return told(from, runner_.run(*command, words, sender), verb, back, fields);
    // sent twice, it is one run
    const std::string key = "/do/" + verb + " " + from.request.body;
    return shown(from, works_.begin(
                           key, title_of(*command), back, fields,
                           [this, command, words, sender](Work& work) mutable {
                               sender.pursuit = work.pursuit();
                               return Work::Came{runner_.run(*command, words, sender)};
                           },
                           Runner::is_to_book(*command, words)));
}

Reply Site::asked(const Known& from, const std::string& verb) {
    const Command* command = served_verb(verb);
    if (command == nullptr) return drawn(from, from.request.path, {}, {});
    Sender sender{.name = from.session.name};
    sender.only_looks = true;
    const NamedWords words = words_of(from.query);
    const std::string address = from.request.path + "?" + from.request.query;
    if (!Runner::may_last(*command, words)) return told(from, runner_.run(*command, words, sender), verb, address, {});
    return shown(from, works_.begin(address + " " + state_now(), title_of(*command), address, {},
                                    [this, command, words, sender](Work& work) mutable {
                                        sender.pursuit = work.pursuit();
                                        return Work::Came{runner_.run(*command, words, sender)};
                                    }));
}

Reply Site::changes(const Known& from) {
    const Ledger ledger(runner_.asked().ledger, Access::read);
    const std::int64_t since = sender_of(from.session,
                                         [&] {
                                             Fields seen;
                                             seen.add("seen", from.query.one("since"));
                                             return seen;
                                         }())
                                   .seen;
    HistoryFilter last;
    last.last = 3;
    JsonWriter w(0);
    w.begin_object().field("newest", ledger.newest_entry()).key("said").begin_array();
    for (const Entry& entry : ledger.history(last))
        if (entry.number > since)
            w.value(fmt::format("{}{}", entry.head.what, entry.head.by.empty() ? "" : " (" + entry.head.by + ")"));
    w.end_array().end_object();
    return {.type = "application/json", .body = std::move(w).text()};
}

namespace {

std::string said_of_before(const std::string& state, const std::string& path) {
    return html::element("p",
                         html::escaped(fmt::format(
                             "What the brews taught is as of {} here; what came since is being learned. ", state)) +
                             link(path, "Show it with that"),
                         "class=\"expected\" role=\"status\"");
}

} // namespace

Reply Site::drawn(const Known& from, const std::string& path, const std::string& answer, Fields typed, int status,
                  const std::function<Page(const Visit&)>& found) {
    Teaching teaching(runner_.taught());
    verbs::Surroundings around = runner_.around(from.session.name);
    around.teaching = &teaching;
    verbs::Call call(looks, verbs::Arguments(looks), std::move(around));
    const report::AnswersIn units = verbs::answers_in(call, verbs::work_in(call.ledger().definitions().brewhouses));
    Visit visit{.session = from.session,
                .path = path,
                .newest = call.ledger().newest_entry(),
                .read_only = runner_.asked().read_only,
                .in_network = own_.in_network,
                .typed = std::move(typed)};
    const auto pages = linked_pages(call.desk(), visit.newest);
    const report::Linked linked(*pages);
    try {
        Page page = found ? found(visit) : page_at(path, from.query, call.desk(), visit);
        if (teaching.behind()) page.body = said_of_before(*teaching.behind(), path) + page.body;
        return page_reply(framed(page, visit, answer), status);
    } catch (const Error& fault) {
        const bool is_broken = fault.kind() == ErrorKind::ledger;
        const std::string what = report::refusal_as_answered(fault.what()),
                          hint = report::refusal_as_answered(fault.hint());
        const Page page{"This cannot be shown", what, html::of_text("pre", hint)};
        return page_reply(framed(page, visit, answer), is_broken ? 503 : status == 200 ? 404 : status);
    }
}

Page Site::page_at(const std::string& path, const Fields& query, const Desk& desk, const Visit& visit) {
    struct Named { // one of the many of that kind
        std::string_view begins;
        Page (*page)(const Desk&, const Visit&, const std::string&);
    };
    struct Alone {
        std::string_view path;
        Page (*page)(const Desk&, const Visit&);
        bool has_forms = false; // each with a number of its own
    };
    constexpr Alone alone[] = {{"/", today_page},
                               {"/brew-day", brew_days_page},
                               {"/stock", stock_page},
                               {"/receive", receive_page, true},
                               {"/count", count_page, true},
                               {"/plans", plans_page, true},
                               {"/brews", brews_page},
                               {"/recipes", recipes_page},
                               {"/new-recipe", new_recipe_page, true},
                               {"/history", history_page, true}};
    constexpr Named named[] = {
        {"/brew-day/", brew_day_page}, {"/stock/", item_page}, {"/lots/", lot_page}, {"/recipes/", recipe_page}};
    for (const Alone& page : alone)
        if (page.path == path) return page.has_forms ? page.page(desk, visit) : kept(path, page.page, desk, visit);
    for (const Named& page : named)
        if (const auto name = behind(path, page.begins)) return page.page(desk, visit, *name);
    if (const auto name = behind(path, "/plans/"))
        return plan_page(desk, visit, name->substr(0, name->find("/answers")));
    if (path == "/buy") // with what came of an order above it; the search is behind the link
        return {
            "Buy",
            {},
            html::element("p", link("/buy", "What to buy now", "go") + " " + link("/ask/order", "Open orders", "go"))};
    if (const auto brew = behind(path, "/brews/")) return reported("/page/brew/" + *brew, visit, desk.teaching);
    if (path == "/all") return {"All that can be done", "as on the command line", list_of_verbs()};
    if (path == "/sessions" || path.starts_with("/sessions/")) return sessions_page(visit);
    if (behind(path, "/page/")) return reported(path, visit, desk.teaching);
    if (const auto verb = behind(path, "/ask/")) {
        const Command* command = served_verb(*verb);
        if (command != nullptr)
            return {in_capital(command->name), std::string(command->summary), generic_form(*command, visit, query)};
    }
    throw Error(ErrorKind::refused, "there is no such page", "go by the names above");
}

// A page is a function of the ledger's entries and the day: one without forms is drawn once for each.
Page Site::kept(const std::string& path, Page (*page)(const Desk&, const Visit&), const Desk& desk,
                const Visit& visit) {
    const std::string state = fmt::format("{} {}", visit.newest, to_iso(desk.today));
    {
        const std::scoped_lock lock(keeping_);
        const auto found = kept_.find(path);
        if (found != kept_.end() && found->second.state == state) return found->second.page;
    }
    Page drawn = page(desk, visit);
    if (desk.ledger.newest_entry() != visit.newest) return drawn; // of two states, perhaps
    const std::scoped_lock lock(keeping_);
    kept_[path] = {state, drawn};
    return drawn;
}

namespace {

std::string unescaped(std::string text) {
    for (const auto& [entity, sign] : {std::pair("&lt;", "<"), {"&gt;", ">"}, {"&quot;", "\""}, {"&amp;", "&"}})
        for (auto at = text.find(entity); at != std::string::npos; at = text.find(entity, at + 1))
            text.replace(at, std::string_view(entity).size(), sign);
    return text;
}

// The month before a calendar's, and the one after; it is of today's month unless it is named.
std::string months_beside(const std::string& named, Date today) {
    const auto first = parse_iso_date((named.empty() ? to_iso(today).substr(0, 7) : named) + "-01");
    if (!first) return {};
    const auto to = [&](int days) {
        const std::string month = to_iso(*first + std::chrono::days(days)).substr(0, 7);
        return link("/page/calendar/" + month, month, "go");
    };
    return html::element("p", to(-1) + " " + to(31));
}

} // namespace

// /page/brew/B1: what `lotwort report brew B1` draws.
Page Site::reported(const std::string& path, const Visit& visit, Teaching* teaching) {
    NamedWords words;
    const std::string rest = path.substr(std::string_view("/page/").size());
    const auto slash = std::min(rest.find('/'), rest.size());
    words["WHAT"] = {rest.substr(0, slash)};
    if (slash + 1 < rest.size()) words["NAME"] = {rest.substr(slash + 1)};
    const Ran ran = runner_.run(*served_verb("report"), words, {.name = visit.session.name, .teaching = teaching});
    if (ran.refusal) throw Error(ran.refusal->kind, ran.refusal->message, ran.refusal->hint);
    std::string body = html::main_of(ran.answer->text);
    if (const std::string of = html::class_of(ran.answer->text); !of.empty()) // a sheet, or labels: to be printed
        body = html::element("div", body, "class=\"" + of + "\"");
    else
        body = with_commands_linked(body, path);
    if (words["WHAT"].front() == "calendar")
        body = months_beside(words.contains("NAME") ? words["NAME"].front() : "", runner_.around({}).today) + body;
    return {unescaped(html::title_of(ran.answer->text)), {}, body};
}

} // namespace lotwort::serve
