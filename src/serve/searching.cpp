// Pages that a search is behind: what could stand in, what to buy. Without a script too the page says how far it is,
// and a button stops it with the best so far.
#include "generic.hpp"
#include "pages.hpp"
#include "site.hpp"
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/desk/pages.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/substitute_request.hpp>
#include <lotwort/report/pages.hpp>
#include <lotwort/report/substitute.hpp>
#include <lotwort/verbs/units.hpp>
#include <set>

namespace lotwort::serve {

namespace {

// What is over so soon needs no page of its own.
constexpr std::chrono::milliseconds patience{400}, after_stopping{1500};

struct StandIns {
    std::string code;
    plan::SubstituteRequest request;
    plan::Substitution found;
    bool was_stopped = false;
};

// "the best that was found: within 3.2 % of what is possible"
std::string bound_said(const plan::SubstituteAnswer& answer) {
    if (answer.proven_optimal) return {};
    return fmt::format("The best that was found; none can be more than {} % better.", fixed(100.0 * answer.gap, 1));
}

std::string card(const StandIns& of, const plan::SubstituteAnswer& answer, const Visit& visit) {
    const int number = report::number_of(answer.kind);
    std::string inner =
        html::of_text("h3", fmt::format("{}: {}", number, word(answer.kind))) + html::of_text("p", answer.sentence);
    for (const std::string& left : answer.left) inner += html::of_text("p", left, "class=\"expected\"");
    if (const std::string bound = bound_said(answer); !bound.empty())
        inner += html::of_text("p", bound, "class=\"expected\"");
    inner += html::element(
        "p", link(fmt::format("/ask/substitute?run=&PLAN={}&show={}", in_address(of.code), number), "Line by line"));
    if (answer.kind == plan::AnswerKind::buy) return inner + html::element("p", link("/buy", "What to buy", "go"));
    if (visit.read_only) return inner;
    Form take(visit, "substitute", fmt::format("take-{}", number));
    take.hidden("PLAN", of.code);
    take.hidden("take", std::to_string(number));
    std::set<std::string> lots;
    for (const plan::AnswerLine& line : answer.lines)
        if (line.changed && lots.insert(line.lot).second) take.shows("lot " + line.lot);
    return inner + take.html("Take this one", true);
}

Page answers_page(const StandIns& of, const Visit& visit) {
    std::string cards;
    for (const auto& answer : of.found.answers)
        cards += html::element("section", card(of, answer, visit), "class=\"card\"");
    if (cards.empty()) cards = html::of_text("p", "Nothing lacks, or nothing that is there stands in for it.");
    return {"What can stand in for " + of.code,
            of.was_stopped ? "stopped: the best that was found so far" : "the recommended first",
            html::element("div", cards, "class=\"cards\"") +
                html::element("p", link("/plans/" + in_address(of.code), "Back to the plan", "go"))};
}

// What to order, with the way to book it.
Page buy_page(const std::string& body, bool has_orders, const Visit& visit) {
    Page page{"Buy", {}, body};
    if (has_orders && !visit.read_only) {
        Form order(visit, "buy", "order");
        order.hidden("order!", "");
        order.shows("stock");
        order.field({.name = "until", .label = "Only what must be ordered by", .ghost = "all of it"});
        page.body += html::section("Order it", order.html("Book the orders as open", true));
    }
    page.body +=
        html::element("p", link("/ask/buy", "Other terms", "go") + " " + link("/ask/order", "Open orders", "go"));
    return page;
}

// A search that ended in a refusal says it as the page would.
Work::Came came_to_nothing(const Error& fault) {
    return {{}, [fault](const Visit&) -> Page { throw Error(fault.kind(), fault.what(), fault.hint()); }};
}

} // namespace

std::string Site::state_now() {
    verbs::Surroundings around = runner_.around({});
    return fmt::format("{} {}", Ledger(*around.ledger, Access::read).newest_entry(), to_iso(around.today));
}

std::shared_ptr<Work> Site::searched(const Known& from) {
    constexpr std::string_view plans = "/plans/", answers = "/answers";
    const std::string path = from.request.path, name = from.session.name;
    if (path == "/buy")
        return works_.begin(path + " " + state_now(), "What to buy", path, {}, [this, name](Work& work) -> Work::Came {
            try {
                const Pursuit pursuit = work.pursuit();
                const auto search = runner_.searching(pursuit);
                verbs::Call call(looks, verbs::Arguments(looks), runner_.around(name, pursuit));
                const report::AnswersIn units =
                    verbs::answers_in(call, verbs::work_in(call.ledger().definitions().brewhouses));
                const auto pages = linked_pages(call.desk(), call.ledger().newest_entry());
                const report::Linked linked(*pages);
                const report::PurchasePage bought = purchase_for_page(call.desk());
                return {{},
                        [body = html::main_of(report::purchase_page(bought)),
                         any = !bought.plan.orders.empty()](const Visit& visit) { return buy_page(body, any, visit); }};
            } catch (const Error& fault) {
                return came_to_nothing(fault);
            }
        });
    if (!path.starts_with(plans) || !path.ends_with(answers)) return nullptr;
    const std::string code = path.substr(plans.size(), path.size() - plans.size() - answers.size());
    return works_.begin(path + " " + state_now(), "What can stand in for " + code, path, {},
                        [this, code, name](Work& work) -> Work::Came {
                            try {
                                const Pursuit pursuit = work.pursuit();
                                const auto search = runner_.searching(pursuit);
                                verbs::Call call(looks, verbs::Arguments(looks), runner_.around(name, pursuit));
                                const Book book = call.ledger().definitions();
                                auto of = std::make_shared<StandIns>();
                                of->code = code;
                                of->request =
                                    substitute_request(call.desk(), book, plans_to_fill(call.desk(), book, {code}));
                                of->found = plan::substitute(of->request);
                                of->was_stopped = work.is_stopped();
                                return {{}, [of](const Visit& visit) { return answers_page(*of, visit); }};
                            } catch (const Error& fault) {
                                return came_to_nothing(fault);
                            }
                        });
}

Reply Site::shown(const Known& from, const std::shared_ptr<Work>& work) {
    if (work->is_done(patience)) {
        const auto& came = work->came();
        if (!came.ran) return drawn(from, without_query(work->back), {}, {}, 200, came.page);
        const std::string verb = work->key.substr(0, work->key.find_first_of(" ?")).substr(work->key.find('/', 1) + 1);
        return told(from, *came.ran, verb, work->back, work->sent);
    }
    const std::string said = work->said(), address = "/search/" + work->id;
    const std::string button =
        work->is_stopped() ? html::of_text("p", "It is being stopped.")
                           : html::element("form",
                                           hidden_field("token", from.session.token) +
                                               html::element("div",
                                                             html::of_text("button",
                                                                           work->books ? "Stop it: nothing is booked"
                                                                                       : "Stop it: the best so far "
                                                                                         "will do",
                                                                           "type=\"submit\" class=\"main\""),
                                                             "class=\"buttons\""),
                                           "method=\"post\" action=\"" + address + "\" id=\"stop\"");
    const Visit visit{
        .session = from.session, .path = without_query(work->back), .read_only = runner_.asked().read_only};
    Reply reply;
    reply.body = framed({work->title, fmt::format("{} s so far; this page loads itself anew", work->since().count()),
                         html::of_text("p", said.empty() ? "It is begun." : said, "class=\"big\" role=\"status\"") +
                             button + html::element("p", link("/", "Do something else meanwhile", "go"))},
                        visit);
    reply.headers.emplace_back("Refresh", "1; url=" + address);
    return reply;
}

Reply Site::worked(const Known& from, const std::string& id) {
    if (auto work = works_.find(id)) return shown(from, work);
    return drawn(from, from.request.path, {}, {}, 404);
}

Reply Site::stopped(const std::string& id) {
    if (const auto work = works_.find(id)) {
        work->stop();
        (void)work->is_done(after_stopping);
    }
    return {.status = 303, .body = {}, .headers = {{"Location", "/search/" + id}}};
}

} // namespace lotwort::serve
