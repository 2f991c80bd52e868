// A delivery note as an uploaded file; and bodies that are nearly one.
#include "../../src/serve/multipart.hpp"
#include "served.hpp"
#include <doctest/doctest.h>
#include <random>

using namespace lotwort::test;
using lotwort::serve::multipart_fields;

namespace {

constexpr const char* type = "multipart/form-data; boundary=xyz";

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::string part(const std::string& name, const std::string& value, const std::string& more = {}) {
    return "--xyz\r\nContent-Disposition: form-data; name=\"" + name + "\"" + more + "\r\n\r\n" + value + "\r\n";
}

std::string upload(const std::map<std::string, std::string>& fields, const std::string& file,
                   const std::string& filename = "note.csv") {
    std::string body;
    for (const auto& [name, value] : fields) body += part(name, value);
    return body + part("sent", file, "; filename=\"" + filename + "\"\r\nContent-Type: text/csv") + "--xyz--\r\n";
}

} // namespace

TEST_CASE("the parts of a form: names, values with line ends, a file by its content") {
    const auto fields = multipart_fields(type, upload({{"a", "1\r\n2"}, {"b b", ""}}, "x,y\r\n1,2\r\n"));
    REQUIRE(fields);
    CHECK(fields->one("a") == "1\n2");
    CHECK(fields->has("b b"));
    CHECK(fields->one("sent") == "x,y\n1,2\n");
    CHECK(!fields->has("filename"));
    CHECK(multipart_fields("multipart/form-data; charset=utf-8; boundary=\"xyz\"", "--xyz--")->pairs().empty());
    CHECK(multipart_fields(type, part("a%22b", "1") + "--xyz--")->one("a\"b") == "1");
    CHECK(multipart_fields(type, part("a", "--xy and --xyz in a line") + "--xyz--")->one("a") ==
          "--xy and --xyz in a line");
}

TEST_CASE("a body that is no such form is none") {
    const std::string good = upload({{"a", "1"}}, "x");
    for (const std::string& wrong :
         {std::string(), std::string("--"), std::string("--xyz"), std::string("--xyz\r\n"), good.substr(1),
          good.substr(0, good.size() - 6), good + "", part("a", "1"), std::string("--xyz\r\n\r\n1\r\n--xyz--"),
          std::string("--xyz\r\nContent-Disposition: form-data\r\n\r\n1\r\n--xyz--"),
          std::string("--xyz\r\nContent-Disposition: form-data; name=\"a\r\n\r\n1\r\n--xyz--"),
          std::string("--xyz\r\n") + std::string(3000, 'x') + ": 1\r\n\r\n1\r\n--xyz--"}) {
        CAPTURE(wrong.substr(0, 200));
        CHECK(multipart_fields(type, wrong).has_value() == (wrong == good));
    }
    for (const char* other : {"multipart/form-data", "multipart/form-data; boundary=",
                              "multipart/form-data; boundary=\"", "multipart/form-data; boundary=abc"})
        CHECK(!multipart_fields(other, good));
    CHECK(
        !multipart_fields("multipart/form-data; boundary=" + std::string(71, 'x'), "--" + std::string(71, 'x') + "--"));
    std::string many;
    for (int i = 0; i < 301; ++i) many += part("a", "1");
    CHECK(!multipart_fields(type, many + "--xyz--"));
}

TEST_CASE("bodies made of bits of such a form end nothing") {
    const std::vector<std::string> bits{"--xyz",
                                        "--xyz--",
                                        "\r\n",
                                        "\r\n\r\n",
                                        "Content-Disposition: form-data",
                                        "; name=\"",
                                        "\"",
                                        "; filename=\"x",
                                        ";",
                                        "=",
                                        "name=",
                                        "%22",
                                        std::string(1, 0),
                                        "\xff",
                                        "sent"};
    std::mt19937 random(7578);
    for (int i = 0; i < 20000; ++i) {
        std::string body = i % 2 == 0 ? "--xyz\r\n" : "", header = i % 3 == 0 ? type : "multipart/form-data";
        for (int k = 0; k < 10; ++k) body += bits[random() % bits.size()];
        for (int k = 0; k < 3; ++k) header += bits[random() % bits.size()];
        const auto fields = multipart_fields(header, body);
        CHECK((!fields || fields->pairs().size() < 10));
    }
}

TEST_CASE("a delivery note is booked as a file, whatever the file is called; once") {
    Served served({"init", "receive 'pale ale malt' 25kg --lot PAM-1"});
    auto fields = hidden_fields(served.get("/receive").body, "note");
    fields["supplier"] = "Hillside";
    const std::string note = "item,amount,price,supplier-lot\r\npale ale malt,50kg,60,77\r\nwheat malt,25kg,35,78\r\n";
    const Served::Headers multipart{{"Content-Type", type}};
    const Got got = served.post("/do/receive", upload(fields, note, "../../etc/passwd"), multipart);
    CHECK_MESSAGE(holds(got.body, "received 2 lots"), got.body);
    CHECK(holds(served.post("/do/receive", upload(fields, note), multipart).body, "has booked entry 3"));
    CHECK(holds(served.run("stock"), "wheat malt"));
    auto wrong = hidden_fields(served.get("/receive").body, "note");
    const Got refused = served.post("/do/receive", upload(wrong, "item,amount\nrye malt,3 bags\n"), multipart);
    CHECK(refused.status == 422);
    CHECK(holds(refused.body, "line 2"));
    wrong["token"] = "0";
    CHECK(served.post("/do/receive", upload(wrong, note), multipart).status == 403);
    CHECK(served.post("/do/receive", "--xyz", multipart).status == 415);
    wrong = hidden_fields(served.get("/receive").body, "note");
    wrong["delivery"] = "/etc/passwd";
    CHECK(!holds(served.post("/do/receive", upload(wrong, note), multipart).body, "root:"));
    CHECK(served.run("history --csv").find("\n4,") == std::string::npos);
}

TEST_CASE("an exchange file is imported as a file") {
    Served from({"init", "receive 'pale ale malt' 25kg --lot PAM-1"}), to({"init"});
    const auto fields = hidden_fields(to.get("/ask/import").body, "verb");
    const Got got = to.post("/do/import", upload(fields, from.run("export"), "brewery.json"), {{"Content-Type", type}});
    CHECK_MESSAGE(holds(got.body, "booked as entry 2"), got.body);
    CHECK(to.run("export") == from.run("export"));
}

TEST_CASE("codes and names are links to their pages, on report's pages and in answers") {
    Served served({"init", "receive 'pale ale malt' 25kg --lot PAM-1", "brewhouse add shed 23L",
                   "recipe add pale 23L --gravity 1.040 --malt 'pale ale malt=100%'", "plan pale --on 2026-03-14",
                   "brew P1", "plan pale --on 2026-03-28"});
    for (const auto& [page, target] : {std::pair(std::string("/stock"), std::string("/stock/pale%20ale%20malt")),
                                       {"/brews/B1", "/lots/PAM-1"},
                                       {"/page/trace/PAM-1", "/brews/B1"},
                                       {"/ask/trace?run=&CODE=PAM-1", "/brews/B1"},
                                       {"/history", "/brews/B1"},
                                       {"/page/calendar", "/plans/P2"}}) {
        CAPTURE(page);
        CHECK(holds(served.get(page).body, std::string("<a href=\"") + target + "\""));
    }
    CHECK(holds(served.get("/page/labels").body, "<div class=\"labels\">"));
}
