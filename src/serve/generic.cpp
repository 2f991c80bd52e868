#include "generic.hpp"
#include "pages.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace lotwort::serve {

namespace {

using verbs::LedgerUse;

// "add, change, list or show": the words that an explanation lists, where it lists nothing else.
std::vector<std::string> listed(std::string_view what) {
    const std::string_view list = what.substr(0, what.find_first_of(";:"));
    if (list.find(", ") == std::string_view::npos) return {};
    std::vector<std::string> words;
    std::string word;
    for (const char c : std::string(list) + ",") {
        if (c != ',' && c != ' ') {
            word += c;
            continue;
        }
        if (!word.empty() && word != "or" && word != "and") words.push_back(word);
        word.clear();
    }
    const bool are_words = std::ranges::none_of(
        words, [](const std::string& w) { return w.find_first_not_of("abcdefghijklmnopqrstuvwxyz-") != w.npos; });
    return are_words ? words : std::vector<std::string>{};
}

std::string label_of(std::string_view name) {
    std::string label;
    for (const char c : name) label += c == '-' ? ' ' : c >= 'A' && c <= 'Z' ? static_cast<char>(c + 'a' - 'A') : c;
    if (!label.empty() && label.front() >= 'a') label.front() = static_cast<char>(label.front() - 'a' + 'A');
    return label;
}

std::string together(const std::vector<std::string>& values) {
    std::string text;
    for (const std::string& value : values) text += (text.empty() ? "" : "\n") + value;
    return text;
}

void add_positional(Form& form, const verbs::Positional& positional, const Fields& given) {
    Field field{.name = std::string(positional.name), .label = label_of(positional.name)};
    field.hint = std::string(positional.what);
    field.value = together(given.all(positional.name));
    field.required = !positional.optional;
    auto choices =
        positional.name == "ACTION" || positional.name == "WHAT" ? listed(positional.what) : std::vector<std::string>{};
    if (positional.optional && !choices.empty()) choices.insert(choices.begin(), "");
    if (!choices.empty())
        form.choice(field, choices);
    else if (positional.many)
        form.lines({field.name, field.label, field.hint + "; a line for each", field.value});
    else
        form.field(field);
}

void add_option(Form& form, const verbs::Option& option, const Fields& given) {
    if (option.value.empty()) return form.check(option.name, label_of(option.name) + ": " + std::string(option.what));
    const Field field{.name = std::string(option.name),
                      .label = label_of(option.name),
                      .hint = std::string(option.what) + (option.many ? "; a line for each" : ""),
                      .value = together(given.all(option.name))};
    if (option.many)
        form.lines(field);
    else
        form.field(field);
}

// What a page has no use for: how the answer is written, and what is done by a button.
bool is_for_terminals(std::string_view name) {
    constexpr std::string_view words[] = {"json", "csv", "dry-run", "ledger", "units", "force"};
    return std::ranges::find(words, name) != std::end(words);
}

std::string entry_said(const Entry& entry) {
    return fmt::format("entry {}{}: {}", entry.number, entry.head.by.empty() ? "" : " by " + entry.head.by,
                       entry.head.what);
}

std::string take_back(const Entry& entry, const Visit& visit) {
    if (visit.read_only || entry.reversed_by || entry.reverses) return {};
    Form form(visit, "reverse", fmt::format("back-{}", entry.number));
    form.hidden("ENTRY", std::to_string(entry.number));
    return form.html(fmt::format("Take entry {} back", entry.number), false, Form::Button::plain);
}

std::string said_of_others(const Ran& ran) {
    std::string items;
    for (const Entry& entry : ran.meanwhile) items += html::of_text("li", entry_said(entry));
    if (items.empty()) return {};
    return html::of_text("p", "Booked by others since this page was drawn:") + html::element("ul", items);
}

// "every reading: lotwort reconcile B1 --full": the command is a link here, and is taken off the line.
std::string full_taken_off(std::string_view& line) {
    constexpr std::string_view begins = ": lotwort ";
    const auto at = line.find(begins);
    if (at == line.npos || !line.ends_with(" --full")) return {};
    const std::string command(line.substr(at + 2));
    line = line.substr(0, at);
    return html::element("p", link(page_of_command(command), "All of it", "go"));
}

// What is to be typed next is a button here: it is taken off the line.
std::string taken_off(std::string_view& line) {
    if (std::string full = full_taken_off(line); !full.empty()) return full;
    constexpr std::string_view begins = "next: lotwort ";
    const auto at = line.find(begins);
    const bool is_alone = at == 0, is_last = at != line.npos && at > 2 && line.substr(at - 2, 2) == "; ";
    if (!is_alone && !is_last) return {};
    const std::string command(line.substr(at + std::string_view("next: ").size()));
    line = line.substr(0, is_alone ? 0 : at - 2);
    return html::element("p", link(page_of_command(command), label_of_command(command), "go"));
}

} // namespace

std::string generic_form(const Command& command, const Visit& visit, const Fields& given) {
    const bool books = command.ledger == LedgerUse::writes;
    Form form(visit, std::string(command.name), "verb");
    for (const auto& positional : command.positionals)
        if (!verbs::names_file(positional.name)) add_positional(form, positional, given);
    const auto options = verbs::all_options(command);
    const std::size_t own = command.options.size();
    const auto add = [&](std::size_t from, std::size_t to) {
        for (std::size_t i = from; i < to; ++i)
            if (!is_left_out(options[i].name, options[i].value) && !is_for_terminals(options[i].name))
                add_option(form, options[i], given);
    };
    const bool folds = own > 3 && !command.positionals.empty();
    if (folds)
        form.raw("<details" + std::string(given.pairs().empty() ? "" : " open=\"open\"") +
                 "><summary>More that may be said</summary>\n");
    add(0, options.size());
    if (folds) form.raw("</details>\n");
    if (command.name == "import") {
        form.hidden("FILE", "-");
        form.file("sent", "The file", "an exchange file, or a table as CSV, of at most 900 kB");
        form.lines({"sent", "or what it holds", "its text", ""});
    }
    return form.html(books ? "Book it" : "Ask", books);
}

std::string answer_text(const std::string& text) {
    std::string out, block;
    bool is_table = false;
    const auto close = [&] {
        if (!block.empty())
            out += is_table ? html::element("pre", html::preformatted(block), "class=\"table\" tabindex=\"0\"")
                            : html::paragraphs(block);
        block.clear();
    };
    for (std::string_view rest = text; !rest.empty();) {
        std::string_view line = rest.substr(0, rest.find('\n'));
        rest.remove_prefix(std::min(line.size() + 1, rest.size()));
        const std::string next = taken_off(line);
        if (!next.empty() && line.empty()) {
            close();
            out += next;
            continue;
        }
        const auto begins = std::min(line.find_first_not_of(' '), line.size());
        if (block.ends_with(":\n") && line.substr(begins).starts_with("lotwort ")) {
            const std::string command(line.substr(begins));
            close();
            out += html::element("p", link(page_of_command(command), label_of_command(command), "go"));
            continue;
        }
        const bool in_columns = line.substr(begins).find("  ") != std::string_view::npos;
        // what is set in below a heading or a sentence goes with it
        if (line.empty() || (begins == 0 && in_columns != is_table)) {
            close();
            is_table = in_columns;
        }
        if (begins > 0 && in_columns) is_table = true;
        block += std::string(line) + "\n";
        if (!next.empty()) {
            close();
            out += next;
        }
    }
    close();
    return out;
}

std::string answer_of_changed(const Ran& ran, const std::string& verb, const Fields& sent, const Visit& visit) {
    std::string items, fields;
    for (const Entry& entry : ran.changed) {
        if (items.size() > 2000) break;
        items += html::of_text("li", entry_said(entry));
    }
    for (const auto& [name, value] : sent.pairs())
        if (name != "token" && name != "seen") fields += hidden_field(name, value);
    fields += hidden_field("token", visit.session.token) + hidden_field("seen", std::to_string(ran.newest));
    const bool only_tries = sent.has("dry-run!");
    return html::element(
        "section",
        html::of_text("h2", only_tries ? "It has changed since this page was drawn"
                                       : "Not booked: it has changed since this page was drawn") +
            html::element("ul", items) +
            html::of_text("p", "The page below shows it as it is now, with what you typed.") +
            html::element(
                "form",
                fields +
                    html::element("div",
                                  html::of_text("button", only_tries ? "Try it all the same" : "Book it all the same",
                                                "type=\"submit\""),
                                  "class=\"buttons\""),
                fmt::format("method=\"post\" action=\"/do/{}\" id=\"all-the-same\"", html::escaped(verb))),
        "class=\"answer no\" role=\"alert\"");
}

std::string answer_of(const Ran& ran, const Visit& visit) {
    if (ran.refusal) {
        const bool is_bad_news = ran.refusal->kind == ErrorKind::shortage;
        return html::element("section",
                             html::of_text("h2", is_bad_news ? "It does not go" : "Not booked") +
                                 html::of_text("pre", ran.refusal->message) +
                                 (ran.refusal->hint.empty() ? "" : html::of_text("pre", ran.refusal->hint)) +
                                 said_of_others(ran),
                             "class=\"answer no\" role=\"alert\"");
    }
    if (ran.was_booked)
        return html::element("section",
                             html::of_text("h2", "It was booked already") +
                                 html::of_text("p", fmt::format("This form has booked {}; nothing was booked twice.",
                                                                entry_said(*ran.booked))) +
                                 take_back(*ran.booked, visit),
                             "class=\"answer\" role=\"status\"");
    if (!ran.answer) return {};
    return html::element("section",
                         html::of_text("h2", ran.booked ? "Booked" : "The answer") + answer_text(ran.answer->text) +
                             said_of_others(ran) + (ran.booked ? take_back(*ran.booked, visit) : ""),
                         ran.answer->status == 0 ? "class=\"answer\" role=\"status\""
                                                 : "class=\"answer no\" role=\"status\"");
}

std::string list_of_verbs() {
    std::string rows;
    for (const Command* command : verbs::commands())
        if (served_verb(command->name) != nullptr)
            rows += html::element("dt", link("/ask/" + std::string(command->name), command->name)) +
                    html::of_text("dd", command->summary);
    return html::element("dl", rows);
}

} // namespace lotwort::serve
