// What do I do today? The first screen answers.
#include "pages.hpp"
#include "run.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/desk/brew_list.hpp>
#include <lotwort/desk/next_steps.hpp>
#include <lotwort/desk/plan_request.hpp>

namespace lotwort::serve {

namespace {

constexpr std::size_t most_brews = 5;

// The words of a command, those in quotes whole.
std::vector<std::string> words_in(const std::string& command) {
    std::vector<std::string> words;
    std::string word;
    char quote = 0;
    for (const char c : command + " ") {
        if (quote != 0 ? c == quote : c == '"' || c == '\'') {
            quote = quote != 0 ? static_cast<char>(0) : c;
        } else if (c == ' ' && quote == 0) {
            if (!word.empty()) words.push_back(word);
            word.clear();
        } else {
            word += c;
        }
    }
    return words;
}

std::string brew_of_the_day(const Desk& desk) {
    std::string cards;
    const auto lacks = lacks_of(desk.ledger.definitions(), desk.ledger.lots(), desk.today);
    const auto card = [&](const std::string& title, const std::string& code, std::string_view button) {
        std::string lacking;
        for (const auto& lack : lacks)
            if (lack.plan == code && lack.missing.units > 0)
                lacking += html::of_text("p", fmt::format("It lacks {} of {}.", to_text(lack.missing), lack.item),
                                         "class=\"missing\"");
        if (!lacking.empty()) lacking += html::element("p", link("/plans/" + in_address(code), "Fill it", "go"));
        cards += html::element("section",
                               html::of_text("p", title, "class=\"big\"") + lacking +
                                   html::element("p", link("/brew-day/" + in_address(code), button, "go")),
                               "class=\"card\"");
    };
    for (const Plan& plan : desk.ledger.definitions().plans)
        if (plan.date == desk.today) card(fmt::format("{}: {}", plan.code, plan.recipe), plan.code, "Weigh and begin");
    for (const Brew& brew : desk.ledger.brews())
        if (brew.date == desk.today && !brew.abandoned)
            card(fmt::format("{}: {}", brew.code, brew.recipe.value_or("a brew")), brew.code, "Go on with it");
    return cards;
}

// The command of a step that the card of the day shows already: brew a plan of today.
bool is_of_the_day(const report::NextStep& step, const Desk& desk) {
    const std::vector<Plan> plans = desk.ledger.definitions().plans;
    return std::ranges::any_of(plans, [&](const Plan& plan) {
        return plan.date == desk.today && page_of_command(step.command) == "/brew-day/" + in_address(plan.code);
    });
}

std::string due(const Desk& desk, const std::vector<report::NextStep>& steps) {
    std::string items;
    for (const report::NextStep& step : steps)
        if (!is_of_the_day(step, desk))
            items += html::element("li", said(step.why) +
                                             link(page_of_command(step.command), label_of_command(step.command), "go"));
    if (items.empty())
        items = html::element("li", html::of_text("span", "Nothing else is due.") + link("/plans", "Plan a brew", "go"),
                              "class=\"fine\"");
    return html::element("ul", items, "class=\"todo\"");
}

// Those that are not due yet.
std::string shortages(const Desk& desk, const std::vector<report::NextStep>& steps) {
    std::string items;
    for (const auto& lack : lacks_of(desk.ledger.definitions(), desk.ledger.lots(), desk.today)) {
        const std::string page = "/plans/" + in_address(lack.plan);
        const bool is_due = std::ranges::any_of(
            steps, [&](const report::NextStep& step) { return page_of_command(step.command) == page; });
        if (lack.missing.units > 0 && !is_due && lack.date > desk.today)
            items += html::element("li", said(fmt::format("{} of {} lacks {} of {}", lack.plan, to_iso(lack.date),
                                                          to_text(lack.missing), lack.item)) +
                                             link(page, "Fill it", "go"));
    }
    return items.empty() ? "" : html::element("ul", items, "class=\"todo\"");
}

} // namespace

std::string_view label_of_command(const std::string& command) {
    constexpr std::pair<std::string_view, std::string_view> labels[] = {{"brew", "Brew day"},
                                                                        {"substitute", "What can stand in"},
                                                                        {"measure", "Enter readings"},
                                                                        {"receive", "Receive"},
                                                                        {"stock", "Look at its lots"},
                                                                        {"discard", "Take it out"},
                                                                        {"count", "Count"},
                                                                        {"brewhouse", "Add the brewhouse"},
                                                                        {"plan", "Plan a brew"},
                                                                        {"recipe", "Write one"},
                                                                        {"reconcile", "Balance it"},
                                                                        {"trace", "Where it went"},
                                                                        {"explain", "Why it differs"},
                                                                        {"buy", "What to buy"},
                                                                        {"lot", "Look at the lot"}};
    const auto words = words_in(command);
    if (words.size() == 2 && words[1] == "stock") return "The stock";
    if (words.size() > 2 && words[2] == "show") return "Look at it";
    const auto* const found =
        std::ranges::find(labels, words.size() > 1 ? std::string_view(words[1]) : std::string_view(),
                          &std::pair<std::string_view, std::string_view>::first);
    return found == std::end(labels) ? "Do it" : found->second;
}

namespace {

// The answer itself: positionals and switches as they are typed.
std::string page_of_answer(const std::vector<std::string>& words) {
    std::string address = "/ask/" + in_address(words[1]) + "?run=";
    const Command* command = served_verb(words[1]);
    std::size_t positional = 0;
    for (std::size_t i = 2; i < words.size(); ++i)
        if (words[i].starts_with("--"))
            address += "&" + in_address(words[i].substr(2)) + "!=";
        else if (command != nullptr && positional < command->positionals.size())
            address += "&" + std::string(command->positionals[positional++].name) + "=" + in_address(words[i]);
    return address;
}

} // namespace

std::string page_of_command(const std::string& command) {
    const std::vector<std::string> words = words_in(command);
    if (words.size() < 2 || words.front() != "lotwort") return "/all";
    const std::string& verb = words[1];
    const bool has_name = words.size() > 2 && !words[2].starts_with('-');
    const std::string name = has_name ? in_address(words[2]) : "";
    if (std::ranges::find(words, "--full") != words.end() || (words.size() > 2 && words[2] == "show"))
        return page_of_answer(words);
    if (has_name && (verb == "brew" || verb == "measure")) return "/brew-day/" + name;
    if (verb == "plan" && std::ranges::find(words, "--on") != words.end()) return "/plans"; // one is to be made
    if (has_name && (verb == "substitute" || verb == "plan")) return "/plans/" + name;
    if (verb == "stock") return has_name ? "/stock/" + name : "/stock";
    if (verb == "receive")
        return words.size() > 3 && words[2] == "--order" ? "/ask/receive?order=" + in_address(words[3]) : "/receive";
    if (verb == "count") return "/count";
    if (has_name && verb == "reconcile") return "/brews/" + name;
    if (has_name && verb == "trace") return "/page/trace/" + name;
    if (has_name && verb == "explain") return "/ask/explain?run=&BREW=" + name;
    if (verb == "buy") return "/buy";
    if (has_name && verb == "recipe" && words.size() > 3) return "/recipes/" + in_address(words[3]);
    if (verb == "discard" || verb == "lot") return has_name ? "/lots/" + name : "/stock";
    return "/ask/" + in_address(verb);
}

std::string brews_listed(std::vector<report::ListedBrew> brews, std::size_t most) {
    std::ranges::reverse(brews);
    if (brews.size() > most) brews.resize(most);
    std::string items;
    for (const report::ListedBrew& listed : brews) {
        std::string said = fmt::format("{}, {}: {}", listed.brew.code, to_iso(listed.brew.date),
                                       listed.brew.recipe.value_or("a brew"));
        if (listed.original_sg) said += fmt::format(", {}", fixed(*listed.original_sg, 4));
        if (listed.final_sg) said += fmt::format(" to {}", fixed(*listed.final_sg, 4));
        if (listed.efficiency) said += fmt::format(", brewhouse efficiency {} %", fixed(*listed.efficiency * 100.0, 1));
        if (listed.brew.abandoned) said += ", given up";
        items += html::element("li",
                               html::of_text("span", said) +
                                   link("/brew-day/" + in_address(listed.brew.code), "Measure", "go") +
                                   link("/brews/" + in_address(listed.brew.code), "Balance"),
                               "class=\"fine\"");
    }
    return items.empty() ? "" : html::element("ul", items, "class=\"todo\"");
}

Page today_page(const Desk& desk, const Visit&) {
    const auto steps = next_steps(desk);
    const std::string left = brew_of_the_day(desk) + html::section("To do", due(desk, steps)) +
                             html::section("What open plans will lack", shortages(desk, steps));
    const std::string right = html::section("Last brews", brews_listed(listed_brews(desk.ledger), most_brews));
    return {"Today", fmt::format("{}, {}", weekday_of(desk.today), to_iso(desk.today)),
            html::element("div", html::element("div", left) + html::element("div", right), "class=\"two\"")};
}

Page brews_page(const Desk& desk, const Visit&) {
    const std::vector<report::ListedBrew> brews = listed_brews(desk.ledger);
    if (brews.empty())
        return {"Brews", "nothing was brewed yet", html::element("p", link("/brew-day", "Brew day", "go"))};
    return {"Brews", "the last twenty; the newest first",
            brews_listed(brews, 20) +
                html::element("p", link("/ask/brew?run=&full!=", "All, as a list", "go") + " " +
                                       link("/page/brewhouse", "What they say of the brewhouse", "go") + " " +
                                       link("/ask/trend?run=", "Trend", "go"))};
}

} // namespace lotwort::serve
