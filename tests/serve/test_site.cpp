// The pages as the room itself answers them: who comes in, what a form becomes, every verb as a form.
#include "../../src/serve/generic.hpp"
#include "../../src/serve/site.hpp"
#include "served.hpp"
#include <algorithm>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::serve;

namespace {

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// In a network, of which only the site is asked.
class InNetwork {
public:
    InNetwork()
        : served_({"init", "receive 'pale ale malt' 25kg --lot PAM-1"}),
          runner_(asked(), {},
                  {[](verbs::Surroundings& world) {
                       world.today = *parse_iso_date("2026-03-14");
                       world.booked_at = "2026-03-14T12:00:00Z";
                   },
                   [this](const std::string& said) { said_ += said; }, false}),
          site_(runner_, {"192.0.2.7", 8017, true}) {}

    Reply ask(Request request) {
        request.headers.emplace("host", "192.0.2.7:8017");
        return site_.answer(request);
    }
    Reply get(const std::string& path, const std::string& query = {}, const std::string& cookie = {}) {
        Request request{"GET", path, query, {}, {}};
        if (!cookie.empty()) request.headers["cookie"] = cookie;
        return ask(request);
    }
    Reply post(const std::string& path, const std::string& body, const std::string& cookie = {}) {
        Request request{"POST", path, {}, {{"content-type", "application/x-www-form-urlencoded"}}, body};
        if (!cookie.empty()) request.headers["cookie"] = cookie;
        return ask(request);
    }
    // Comes in by the key of now; the cookie.
    std::string enter(const std::string& name) {
        const std::string address = site_.address_to_enter();
        const Reply reply = post("/enter", "key=" + address.substr(address.find('=') + 1) + "&name=" + name);
        for (const auto& [header, value] : reply.headers)
            if (header == "Set-Cookie") return value.substr(0, value.find(';'));
        return {};
    }
    [[nodiscard]] std::string address() const { return site_.address_to_enter(); }
    [[nodiscard]] const std::string& said() const { return said_; }
    [[nodiscard]] test::Served& beside() { return served_; }

private:
    [[nodiscard]] verbs::Serving asked() const {
        verbs::Serving asked;
        asked.ledger = served_.folder() + "/b.lotwort";
        asked.in_network = true;
        return asked;
    }
    test::Served served_;
    std::string said_;
    Runner runner_;
    Site site_;
};

} // namespace

TEST_CASE("in a network nothing of the ledger is shown without a session") {
    InNetwork site;
    for (const char* path :
         {"/", "/stock", "/lots/PAM-1", "/history", "/changes", "/sessions", "/page/stock", "/ask/stock"}) {
        CAPTURE(path);
        const Reply reply = site.get(path, "run=");
        CHECK(reply.status == 401);
        CHECK(!holds(reply.body, "pale"));
        CHECK(!holds(reply.body, "key="));
    }
    Request program{"POST", "/v1/stock", {}, {{"content-type", "application/json"}}, "{}"};
    CHECK(site.ask(program).status == 401);
}

TEST_CASE("a key lets in one telephone, and gives way to the next") {
    InNetwork site;
    const std::string first = site.address();
    CHECK(site.get("/enter", first.substr(first.find('?') + 1)).status == 200); // a look at it uses nothing up
    const std::string anna = site.enter("Anna");
    CHECK(!anna.empty());
    CHECK(site.get("/stock", {}, anna).status == 200);
    CHECK(site.address() != first);
    CHECK(holds(site.said(), "Anna came in; the next one: " + site.address()));
    CHECK(site.post("/enter", first.substr(first.find('?') + 1) + "&name=Eve").status == 403);
    CHECK(site.post("/enter", "key=&name=Eve").status == 403);
    CHECK(site.post("/enter", "name=Eve").status == 403);
    CHECK(holds(site.get("/sessions", {}, anna).body, site.address().substr(0, 30)));
}

TEST_CASE("a session books under its name, and is ended") {
    InNetwork site;
    const std::string anna = site.enter("Anna"), ben = site.enter("Ben");
    auto fields = test::hidden_fields(site.get("/lots/PAM-1", {}, anna).body, "discard");
    fields["AMOUNT"] = "1kg";
    fields["reason"] = "spilled";
    CHECK(site.post("/do/discard", test::encoded(fields), ben).status == 403); // another's token
    CHECK(holds(site.post("/do/discard", test::encoded(fields), anna).body, "booked as entry 3"));
    CHECK(holds(site.beside().run("history 3"), "Anna"));
    const std::string sessions = site.get("/sessions", {}, anna).body;
    CHECK(holds(sessions, "Ben"));
    const std::string token = "token=" + fields["token"];
    CHECK(site.post("/sessions/end", token + "&number=2", anna).status == 303);
    CHECK(site.get("/stock", {}, ben).status == 401);
    CHECK(site.post("/sessions/end", token + "&number=1", anna).status == 200);
    CHECK(site.get("/stock", {}, anna).status == 401);
}

TEST_CASE("every verb that is served is a form of all its words, each with its label") {
    Visit visit{.session = {}, .path = "/"};
    int seen = 0;
    for (const Command* command : verbs::commands()) {
        if (served_verb(command->name) == nullptr) continue;
        ++seen;
        const std::string form = generic_form(*command, visit, {});
        for (const auto& positional : command->positionals) {
            CAPTURE(std::string(command->name) + " " + std::string(positional.name));
            CHECK((verbs::names_file(positional.name) || holds(form, "name=\"" + std::string(positional.name) + "\"")));
        }
        for (const verbs::Option& option : command->options) {
            CAPTURE(std::string(command->name) + " --" + std::string(option.name));
            const std::string name = std::string(option.name) + (option.value.empty() ? "!" : "");
            CHECK((is_left_out(option.name, option.value) || option.name == "force" ||
                   holds(form, "name=\"" + name + "\"")));
        }
        for (auto at = form.find(" id=\"verb-"); at != std::string::npos; at = form.find(" id=\"verb-", at + 1)) {
            const std::string id = form.substr(at + 5, form.find('"', at + 5) - at - 5);
            CHECK_MESSAGE((id.ends_with("-hint") || holds(form, "<label for=\"" + id + "\">")), id);
        }
    }
    CHECK(seen > 25);
}

TEST_CASE("the words of a form: a line is a word, a switch is on, fields make one word by their pattern") {
    const auto words = [](std::string_view sent) { return words_of(serve::Fields(sent)); };
    CHECK(words("ITEM=pale+ale+malt&AMOUNT=25kg&token=x&form=y&back=z") ==
          verbs::NamedWords{{"ITEM", {"pale ale malt"}}, {"AMOUNT", {"25kg"}}});
    CHECK(words("READING=kettle-full%0D%0A28L%40C%0A%0A+1.040+") ==
          verbs::NamedWords{{"READING", {"kettle-full", "28L@C", "1.040"}}});
    CHECK(words("dry-run%21=") == verbs::NamedWords{{"dry-run", {""}}});
    CHECK(words("note=").empty());
    const std::string volume = "%7EREADING=%7B.v%7CL%7D%5B%40%7B.t%7CC%7D%5D"; // ~READING={.v|L}[@{.t|C}]
    CHECK(words(volume + "&.v=28&.t=95") == verbs::NamedWords{{"READING", {"28L@95C"}}});
    CHECK(words(volume + "&.v=28.5&.t=") == verbs::NamedWords{{"READING", {"28.5L"}}});
    CHECK(words(volume + "&.v=7.5gal&.t=203F") == verbs::NamedWords{{"READING", {"7.5gal@203F"}}});
    CHECK(words(volume + "&.v=&.t=95").empty());
    CHECK(words("%7Ex=%5B%5B%5B%7B").empty() == false); // a pattern that is none makes some word, and no harm
}

TEST_CASE("rows of a form become a table; what is empty but for its lot is left out") {
    serve::Fields fields;
    fields.add(".columns", "lot,counted,reason");
    fields.add(".row2.lot", "A \"1\"");
    fields.add(".row2.counted", "3,5kg");
    fields.add(".row3.lot", "B");
    fields.add(".rowx.lot", "C");
    fields.add(".row99999999999.lot", "D");
    CHECK(table_of(fields) == "lot,counted,reason\n\"A \"\"1\"\"\",\"3,5kg\",\"\"\n\"\",\"\",\"\"\n");
}
