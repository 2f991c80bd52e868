#include "page.hpp"
#include "run.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace lotwort::serve {

namespace {

struct Place {
    std::string_view path, name;
};
constexpr Place places[] = {{"/", "Today"},      {"/brew-day", "Brew day"}, {"/stock", "Stock"},
                            {"/plans", "Plans"}, {"/brews", "Brews"},       {"/recipes", "Recipes"},
                            {"/buy", "Buy"},     {"/history", "Entries"},   {"/all", "All else"}};

// The part of the address that says where one is: /stock/PAM-1 is in /stock.
bool is_in(std::string_view path, std::string_view place) {
    return place == "/" ? path == "/" : path == place || path.starts_with(std::string(place) + "/");
}

std::string navigation(const Visit& visit) {
    std::string items;
    for (const Place& place : places)
        items +=
            html::element("li", fmt::format("<a href=\"{}\"{}>{}</a>", place.path,
                                            is_in(visit.path, place.path) ? " aria-current=\"page\"" : "", place.name));
    return html::element("nav", html::element("ul", items), "aria-label=\"Pages\"");
}

std::string head(const std::string& title) {
    return html::element("head", "<meta charset=\"utf-8\"/>\n"
                                 "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
                                 "<link rel=\"icon\" href=\"data:,\"/>\n"
                                 "<link rel=\"stylesheet\" href=\"/style.css\"/>\n"
                                 "<script src=\"/page.js\" defer=\"defer\"></script>\n" +
                                     html::of_text("title", title));
}

std::string document(const std::string& title, const std::string& body, const std::string& attributes) {
    return "<!DOCTYPE html>\n" + html::element("html", head(title) + html::element("body", body, attributes),
                                               "lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\"");
}

std::string who_is_in(const Visit& visit) {
    std::string said = visit.session.name.empty() ? "booked under no name" : visit.session.name + " books";
    if (visit.read_only) said = "for looking only";
    return html::element("p", html::escaped(said) + " · " + link("/sessions", "sessions"), "class=\"who\"");
}

} // namespace

std::string link(std::string_view to, std::string_view text, std::string_view style) {
    return fmt::format("<a href=\"{}\"{}>{}</a>", html::escaped(to),
                       style.empty() ? "" : fmt::format(" class=\"{}\"", style), html::escaped(text));
}

std::string framed(const Page& page, const Visit& visit, const std::string& answer) {
    const std::string header = html::of_text("h1", page.title) + html::paragraphs(page.under);
    const std::string body =
        "<a class=\"skip\" href=\"#main\">To the page itself</a>\n" + navigation(visit) +
        html::element("header", header) + html::element("main", answer + page.body, "id=\"main\"") +
        html::element("footer", "<p id=\"news\" role=\"status\" hidden=\"hidden\"></p>" + who_is_in(visit));
    return document(page.title, body, fmt::format("data-newest=\"{}\"", visit.newest));
}

std::string framed_outside(const Page& page) {
    return document(page.title,
                    html::element("header", html::of_text("h1", page.title) + html::paragraphs(page.under)) +
                        html::element("main", page.body, "id=\"main\""),
                    "");
}

std::string hidden_field(std::string_view name, std::string_view value) {
    return fmt::format("<input type=\"hidden\" name=\"{}\" value=\"{}\"/>\n", html::escaped(name),
                       html::escaped(value));
}

Form::Form(const Visit& visit, std::string verb, std::string id)
    : visit_(visit), verb_(std::move(verb)), id_(std::move(id)), was_refused_(visit.typed.one("of") == id_) {
    hidden("token", visit.session.token);
    // corrected, it books what it would have booked
    hidden("form", was_refused_ ? visit.typed.one("form") : unguessable());
    hidden("seen", std::to_string(visit.newest));
    hidden("back", visit.path);
    hidden("of", id_);
}

std::string Form::id_of(std::string_view name) const {
    return fmt::format("{}-{}-{}", id_, name, ++last_id_);
}

std::string Form::kept(std::string_view name, const std::string& value) const {
    return was_refused_ && visit_.typed.has(name) ? visit_.typed.one(name) : value;
}

void Form::hidden(std::string_view name, std::string_view value) {
    inner_ += hidden_field(name, value);
}

void Form::field(const Field& f) {
    const std::string id = html::escaped(id_of(f.name));
    std::string attributes = fmt::format("id=\"{}\" name=\"{}\" value=\"{}\" autocomplete=\"off\"", id,
                                         html::escaped(f.name), html::escaped(kept(f.name, f.value)));
    if (!f.ghost.empty()) attributes += fmt::format(" placeholder=\"{}\"", html::escaped(f.ghost));
    if (f.number) attributes += " inputmode=\"decimal\" class=\"figure\"";
    if (f.required) attributes += " required=\"required\"";
    if (!f.list.empty()) attributes += fmt::format(" list=\"{}\"", html::escaped(f.list));
    if (!f.hint.empty()) attributes += fmt::format(" aria-describedby=\"{}-hint\"", id);
    std::string inner = fmt::format("<label for=\"{}\">{}</label>\n<span class=\"entry\"><input {}/>{}</span>\n", id,
                                    html::escaped(f.label), attributes,
                                    f.unit.empty() ? "" : html::of_text("span", f.unit, "class=\"unit\""));
    if (!f.hint.empty()) inner += html::of_text("small", f.hint, fmt::format("id=\"{}-hint\"", id));
    inner_ += html::element("div", inner, f.number || f.short_text ? "class=\"field short\"" : "class=\"field\"");
}

void Form::lines(const Field& f) {
    const std::string id = html::escaped(id_of(f.name));
    std::string inner =
        fmt::format("<label for=\"{0}\">{1}</label>\n<textarea id=\"{0}\" name=\"{2}\" rows=\"3\">{3}"
                    "</textarea>\n",
                    id, html::escaped(f.label), html::escaped(f.name), html::escaped(kept(f.name, f.value)));
    if (!f.hint.empty()) inner += html::of_text("small", f.hint);
    inner_ += html::element("div", inner, "class=\"field\"");
}

void Form::choice(const Field& f, const std::vector<std::string>& values) {
    const std::string id = html::escaped(id_of(f.name)), now = kept(f.name, f.value);
    std::string options;
    for (const std::string& value : values)
        options += fmt::format("<option value=\"{0}\"{1}>{0}</option>", html::escaped(value),
                               value == now ? " selected=\"selected\"" : "");
    inner_ +=
        html::element("div",
                      fmt::format("<label for=\"{0}\">{1}</label>\n<select id=\"{0}\" name=\"{2}\">{3}</select>\n", id,
                                  html::escaped(f.label), html::escaped(f.name), options),
                      f.short_text ? "class=\"field short\"" : "class=\"field\"");
}

void Form::file(std::string_view name, std::string_view label, std::string_view hint) {
    const std::string id = html::escaped(id_of(name));
    sends_files_ = true;
    inner_ += html::element("div",
                            fmt::format("<label for=\"{0}\">{1}</label>\n<input type=\"file\" id=\"{0}\" name=\"{2}\" "
                                        "aria-describedby=\"{0}-hint\"/>\n<small id=\"{0}-hint\">{3}</small>\n",
                                        id, html::escaped(label), html::escaped(name), html::escaped(hint)),
                            "class=\"field\"");
}

void Form::check(std::string_view name, std::string_view label) {
    const std::string id = html::escaped(id_of(name));
    const bool is_on = was_refused_ && visit_.typed.has(std::string(name) + "!");
    inner_ +=
        html::element("div",
                      fmt::format("<input type=\"checkbox\" id=\"{0}\" name=\"{1}!\" value=\"\"{2}/> "
                                  "<label for=\"{0}\">{3}</label>",
                                  id, html::escaped(name), is_on ? " checked=\"checked\"" : "", html::escaped(label)),
                      "class=\"check\"");
}

void Form::fold_begins(std::string_view summary) {
    inner_ += fmt::format("<details{}>", was_refused_ ? " open=\"open\"" : "") + html::of_text("summary", summary);
}

void Form::group_begins(std::string_view legend) {
    inner_ += "<fieldset>" + html::of_text("legend", legend) + "<div class=\"row\">";
}

std::string Form::html(std::string_view button, bool can_try, Button looks) const {
    std::string buttons =
        html::of_text("button", button, looks == Button::main ? "type=\"submit\" class=\"main\"" : "type=\"submit\"");
    if (can_try) buttons += html::of_text("button", tries_, "type=\"submit\" name=\"dry-run!\" value=\"\"");
    const Command* command = served_verb(verb_);
    const bool may_be_sure =
        was_refused_ && command != nullptr && command->doubts && inner_.find("\"sure!\"") == inner_.npos;
    const std::string sure =
        fmt::format("<div class=\"check\"><input type=\"checkbox\" id=\"{0}-sure\" name=\"sure!\" value=\"\"/> "
                    "<label for=\"{0}-sure\">It is so, however unlikely</label></div>\n",
                    html::escaped(id_));
    return html::element(
        "form", inner_ + (may_be_sure ? sure : "") + html::element("div", buttons, "class=\"buttons\""),
        fmt::format("method=\"post\" action=\"/do/{}\" id=\"{}\"{}{}", html::escaped(verb_), html::escaped(id_),
                    forecasts_ ? " data-forecast=\"1\"" : "", sends_files_ ? " enctype=\"multipart/form-data\"" : ""));
}

std::string Form::folded(std::string_view summary, std::string_view button, bool can_try) const {
    return html::element("details", html::of_text("summary", summary) + html(button, can_try),
                         was_refused_ ? "open=\"open\"" : "");
}

namespace {

bool is_bare_number(std::string_view text) {
    return !text.empty() && text.find_first_not_of("0123456789.,") == std::string_view::npos;
}

std::string trimmed(std::string text) {
    text.erase(0, std::min(text.find_first_not_of(" \t\n"), text.size()));
    text.erase(text.find_last_not_of(" \t\n") + 1);
    return text;
}

// A pattern's text up to its end or the closing bracket; none where a field of it is empty.
std::optional<std::string> composed(std::string_view& pattern, const Fields& fields, bool is_inside = false) {
    std::string out;
    bool whole = true;
    while (!pattern.empty() && !(is_inside && pattern.front() == ']')) {
        const char c = pattern.front();
        pattern.remove_prefix(1);
        if (c == '[' && !is_inside) {
            out += composed(pattern, fields, true).value_or("");
            if (!pattern.empty()) pattern.remove_prefix(1);
        } else if (c == '{') {
            const auto end = std::min(pattern.find('}'), pattern.size());
            const std::string_view inside = pattern.substr(0, end);
            const auto bar = std::min(inside.find('|'), inside.size());
            const std::string typed = trimmed(fields.one(inside.substr(0, bar)));
            whole = whole && !typed.empty();
            out += typed;
            if (is_bare_number(typed) && bar < inside.size()) out += inside.substr(bar + 1);
            pattern.remove_prefix(std::min(end + 1, pattern.size()));
        } else {
            out += c;
        }
    }
    return whole ? std::optional(out) : std::nullopt;
}

bool is_own(std::string_view name) {
    constexpr std::string_view own[] = {"token", "form", "seen", "back", "of", "sent", "run"};
    return std::ranges::find(own, name) != std::end(own) || name.starts_with('.');
}

} // namespace

std::map<std::string, std::vector<std::string>, std::less<>> words_of(const Fields& fields) {
    std::map<std::string, std::vector<std::string>, std::less<>> words;
    for (const auto& [name, value] : fields.pairs()) {
        if (is_own(name)) continue;
        if (name.starts_with('~')) {
            std::string_view pattern = value;
            if (auto word = composed(pattern, fields)) words[name.substr(1)].push_back(std::move(*word));
            continue;
        }
        std::string_view rest = value; // a word for each line
        const bool is_switch = value.empty();
        if (is_switch && name.ends_with('!')) words[name.substr(0, name.size() - 1)].emplace_back();
        while (!rest.empty()) {
            const std::string_view line = rest.substr(0, rest.find('\n'));
            rest.remove_prefix(std::min(line.size() + 1, rest.size()));
            if (std::string word = trimmed(std::string(line)); !word.empty()) words[name].push_back(std::move(word));
        }
    }
    return words;
}

namespace {

std::string csv_cell(const std::string& cell) {
    std::string text = "\"";
    for (const char c : cell) text += c == '"' ? "\"\"" : std::string(1, c);
    return text + "\"";
}

} // namespace

std::string table_of(const Fields& fields) {
    std::vector<std::string> headings;
    std::string_view rest;
    const std::string columns = fields.one(".columns");
    for (rest = columns; !rest.empty(); rest.remove_prefix(std::min(headings.back().size() + 1, rest.size())))
        headings.emplace_back(rest.substr(0, rest.find(',')));
    std::map<int, std::map<std::string, std::string>> rows;
    for (const auto& [name, value] : fields.pairs()) {
        const auto dot = name.find('.', 1);
        if (!name.starts_with(".row") || dot == std::string::npos || dot < 5 || dot > 8) continue;
        const std::string number = name.substr(4, dot - 4);
        if (number.find_first_not_of("0123456789") != std::string::npos) continue;
        if (std::string cell = trimmed(value); !cell.empty())
            rows[std::stoi(number)][name.substr(dot + 1)] = std::move(cell);
    }
    std::string text = columns + "\n";
    for (auto& [number, row] : rows) {
        const bool says_something =
            std::ranges::any_of(row, [](const auto& cell) { return cell.first != "lot" && cell.first != "unit"; });
        for (std::size_t i = 0; i < headings.size(); ++i)
            text += (i == 0 ? "" : ",") + (csv_cell(says_something ? row[headings[i]] : ""));
        text += "\n";
    }
    return text;
}

} // namespace lotwort::serve
