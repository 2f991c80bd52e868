// A recipe made and altered in a form; the forecast by a button, without a script.
#include "../near.hpp"
#include "served.hpp"
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace lotwort::test;

namespace {

const std::vector<std::string> small_brewery{
    "init",
    "receive 'pale ale malt' 50kg --lot PAM-1",
    "receive 'crystal malt' 5kg --lot CM-1",
    "receive 'bittering hop' 500g --lot BH-1 --alpha 10%",
    "brewhouse add shed 23L",
    "recipe add pale 23L --gravity 1.048 --malt 'pale ale malt=93%' --malt 'crystal malt=7%' "
    "--hop 'bittering hop=30g@boil,60' --yeast 'ale yeast' --other 'finings=5g@boil,15' --pitch 0.8",
};

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// A form's fields one behind the other, as a browser sends them: a pattern of one name may come many times.
std::string as_sent(const std::string& page, const std::map<std::string, std::string>& typed) {
    std::string body;
    const auto form = page.find(" id=\"recipe\""), end = page.find("</form>", form);
    const auto attribute = [](const std::string& tag, const std::string& name) {
        const auto at = tag.find(" " + name + "=\"");
        if (at == std::string::npos) return std::string();
        const auto from = at + name.size() + 3;
        return tag.substr(from, tag.find('"', from) - from);
    };
    for (auto at = page.find('<', form + 1); at < end; at = page.find('<', at + 1)) {
        const std::string tag = page.substr(at, page.find('>', at) - at);
        std::string name = attribute(tag, "name"), value = attribute(tag, "value");
        if (tag.starts_with("<select")) {
            const auto option = page.find(" selected", at);
            const auto first = page.find("<option value=\"", at);
            const auto from = option < page.find("</select>", at) ? page.rfind("<option value=\"", option) : first;
            value = page.substr(from + 15, page.find('"', from + 15) - from - 15);
        } else if (!tag.starts_with("<input") || name.empty()) {
            continue;
        }
        if (const auto found = typed.find(name); found != typed.end()) value = found->second;
        body += (body.empty() ? "" : "&") + encoded({{name, value}});
    }
    return body;
}

} // namespace

TEST_CASE("a form that is sent as it is says every line of the recipe; nothing changes") {
    Served served(small_brewery);
    const std::string before = served.run("recipe show pale");
    const Got page = served.get("/recipes/pale");
    CHECK(holds(page.body, "data-figure=\"original_gravity_sg\""));
    CHECK(holds(page.body, "1.0480"));
    const Got got = served.post("/do/recipe", as_sent(page.body, {}));
    CHECK(got.status == 422);
    CHECK(holds(got.body, "nothing about pale would change"));
    CHECK(served.run("recipe show pale") == before);
}

TEST_CASE("lines are altered, added and taken out in one entry; what the form does not show stays") {
    Served served(small_brewery);
    const std::string page = served.get("/recipes/pale").body;
    const Got got = served.post("/do/recipe", as_sent(page, {{".m0.amount", "90%"},
                                                             {".m1.item", ""},
                                                             {".m2.item", "wheat malt"},
                                                             {".m2.amount", "10"},
                                                             {".h1.item", "late hop"},
                                                             {".h1.amount", "40"},
                                                             {".h1.stage", "stand"},
                                                             {".h1.when", "20"},
                                                             {".h1.heat", "80"},
                                                             {".o0.item", ""}}));
    CHECK_MESSAGE(holds(got.body, "booked as entry"), got.body);
    const auto kept = nlohmann::json::parse(served.run("recipe show pale --json"))["recipes"][0];
    CHECK(kept["grist"].size() == 2);
    CHECK(kept["grist"][1]["item"] == "wheat malt");
    CHECK(kept["grist"][1]["share_pct"] == 10.0);
    CHECK(kept["hops"].size() == 2);
    CHECK(kept["hops"][1]["temperature_c"] == 80.0);
    CHECK(kept["others"].size() == 1);
    CHECK(kept["pitch_million_per_ml_plato"] == 0.8);
    const std::string history = served.run("history --last 1 --json");
    CHECK(holds(history, "without crystal malt"));
    CHECK(!holds(history, "bittering hop"));
}

TEST_CASE("a look at the forecast books nothing and keeps what was typed; then it is kept") {
    Served served(small_brewery);
    const std::string page = served.get("/new-recipe").body;
    CHECK(holds(page, "Look at the forecast"));
    std::map<std::string, std::string> typed{{"NAME", "dark"},         {".volume", "20"},
                                             {"gravity", "1.060"},     {".m0.item", "pale ale malt"},
                                             {".m0.amount", "80%"},    {".m1.item", "crystal malt"},
                                             {".m1.amount", "20%"},    {".h0.item", "bittering hop"},
                                             {".h0.amount", "25IBU"},  {".h0.when", "60"},
                                             {".y0.item", "ale yeast"}};
    const Got tried = served.post("/do/recipe", as_sent(page, typed) + "&dry-run!=");
    CHECK(tried.status == 200);
    CHECK(holds(tried.body, "nothing booked"));
    CHECK(holds(tried.body, "Expected: 1.0600"));
    CHECK(holds(tried.body, "value=\"25IBU\""));
    CHECK(holds(served.run("recipe show dark", true), "dark"));
    const Got kept = served.post("/do/recipe", as_sent(tried.body, typed));
    CHECK_MESSAGE(holds(kept.body, "added recipe dark"), kept.body);
}

TEST_CASE("the forecast of what is typed, for a script") {
    Served served(small_brewery);
    const Got got = served.json("recipe", R"({"ACTION": "change", "NAME": "pale", "whole": true, "forecast": true,
        "dry-run": true, "gravity": "1.050", "malt": ["pale ale malt=100%"], "hop": ["bittering hop=20IBU@boil,60"]})");
    CHECK(got.status == 200);
    const auto forecast = nlohmann::json::parse(got.body)["forecasts"][0];
    CHECK(forecast["recipe"] == "pale");
    CHECK(forecast["brewhouse"] == "shed");
    CHECK(forecast["original_gravity_sg"]["value"].get<double>() == near(1.050, 0.0005));
    CHECK(forecast["bitterness_ibu"]["value"].get<double>() == near(20.0, 0.03));
    CHECK(!holds(served.run("recipe show pale"), "1.0500"));
}

TEST_CASE("a recipe that somebody altered meanwhile is told before it is altered again") {
    Served served(small_brewery);
    const std::string page = served.get("/recipes/pale").body;
    (void)served.run("recipe change pale --boil 75min --by Ben");
    const Got got = served.post("/do/recipe", as_sent(page, {{".m0.amount", "90%"}, {".m1.amount", "10%"}}));
    CHECK(got.status == 409);
    CHECK(holds(got.body, "by Ben: changed recipe pale"));
}
