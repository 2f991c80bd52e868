// Who comes in, and the sessions of who is in.
#include "generic.hpp"
#include "site.hpp"
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/report/qr.hpp>
#include <lotwort/verbs/visible.hpp>

namespace lotwort::serve {

Reply Site::entering(const Request& request) {
    const Fields sent(request.method == "POST" ? request.body : request.query);
    if (request.method != "POST") {
        const std::string form = fmt::format(
            "<input type=\"hidden\" name=\"key\" value=\"{}\"/>\n"
            "<div class=\"field\"><label for=\"name\">Your name, as it is to stand with what you book</label>"
            "<span class=\"entry\"><input id=\"name\" name=\"name\" required=\"required\" maxlength=\"60\" "
            "autocomplete=\"name\"/></span></div>\n"
            "<div class=\"buttons\"><button type=\"submit\" class=\"main\">Come in</button></div>\n",
            html::escaped(sent.one("key")));
        return page_reply(framed_outside({"Come in", "The key is worth one telephone.",
                                          html::element("form", form, "method=\"post\" action=\"/enter\"")}));
    }
    const std::string name = sent.one("name");
    try {
        verbs::demand_text(name, "the name");
    } catch (const Error& fault) {
        return refused_outside(422, "Come in", fault.what());
    }
    if (name.empty() || name.size() > 200) return refused_outside(422, "Come in", "Say your name, in a few letters.");
    const auto session = sessions_.enter(sent.one("key"), name);
    if (!session)
        return refused_outside(403, "This key is used up",
                               "It lets in one telephone. The machine shows a new one, and so does \"sessions\" on a "
                               "telephone that is in.");
    const std::scoped_lock lock(saying_);
    runner_.outside().say(fmt::format("{} came in; the next one: {}\n", name, address_to_enter()));
    if (runner_.outside().is_terminal) runner_.outside().say(report::qr_terminal(address_to_enter()));
    return session_begun(*session);
}

Reply Site::session_begun(const Session& session) const {
    Reply reply{.status = 303, .body = {}, .headers = {{"Location", "/"}}};
    reply.headers.emplace_back("Set-Cookie",
                               fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict", cookie_name(), session.id));
    return reply;
}

Reply Site::sessions_changed(const Known& from) {
    const Fields sent(from.request.body);
    if (from.request.path == "/sessions/end") {
        const std::string number = sent.one("number");
        const bool is_number =
            !number.empty() && number.size() < 9 && number.find_first_not_of("0123456789") == number.npos;
        if (is_number) sessions_.end(std::stoi(number));
        if (!sessions_.find(from.session.id) && own_.in_network)
            return refused_outside(200, "You are out", "Your session has ended on this telephone.");
    }
    if (from.request.path == "/sessions/name" && !own_.in_network) {
        const std::string name = sent.one("name");
        verbs::demand_text(name, "the name");
        if (!name.empty() && name.size() <= 200) return session_begun(sessions_.open(name, true));
    }
    return {.status = 303, .body = {}, .headers = {{"Location", "/sessions"}}};
}

Page Site::sessions_page(const Visit& visit) const {
    const auto form = [&](const std::string& action, const std::string& inner, std::string_view button) {
        return html::element(
            "form",
            fmt::format("<input type=\"hidden\" name=\"token\" value=\"{}\"/>\n{}<div class=\"buttons\">"
                        "<button type=\"submit\">{}</button></div>",
                        visit.session.token, inner, button),
            "method=\"post\" action=\"/sessions/" + action + "\"");
    };
    std::string items;
    for (const Session& session : sessions_.all()) {
        const std::string name = session.name.empty() ? "the machine itself" : session.name;
        items += html::element(
            "li",
            html::escaped(name + (session.id == visit.session.id ? " (this one)" : "")) +
                form("end", fmt::format("<input type=\"hidden\" name=\"number\" value=\"{}\"/>\n", session.number),
                     "End it"),
            "");
    }
    Page page{"Sessions", "Who may look and book here.", html::element("ul", items, "class=\"todo\"")};
    if (own_.in_network)
        page.body +=
            html::section("Let somebody else in",
                          report::qr_svg(address_to_enter(), "the address with its key, for a telephone") +
                              html::of_text("p", address_to_enter()) +
                              html::of_text("p", "It lets in one telephone; load this page again for the next."));
    else
        page.body += html::section(
            "Who books here",
            form("name",
                 "<div class=\"field\"><label for=\"name\">Name</label><span class=\"entry\"><input id=\"name\" "
                 "name=\"name\" maxlength=\"60\"/></span></div>\n",
                 "Book under this name"));
    return page;
}

} // namespace lotwort::serve
