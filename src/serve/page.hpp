// The frame that all pages stand in, and the forms on them.
#pragma once

#include "fields.hpp"
#include "sessions.hpp"
#include <cstdint>
#include <functional>
#include <lotwort/report/html.hpp>
#include <string>
#include <vector>

namespace lotwort::serve {

namespace html = lotwort::report::html;

// Who looks at a page, and what it has to remember.
struct Visit {
    Session session;
    std::string path;        // of the page: forms come back to it
    std::int64_t newest = 0; // entry, when it was drawn
    bool read_only = false;
    bool in_network = false;
    Fields typed{}; // what a form of it held that was refused
};

struct Page {
    std::string title;
    std::string under; // plain text, below the title
    std::string body;  // HTML
};

// `answer`: HTML, what has just been done or refused, above the rest.
[[nodiscard]] std::string framed(const Page& page, const Visit& visit, const std::string& answer = {});
// Without any of the ledger: for who is not in.
[[nodiscard]] std::string framed_outside(const Page& page);

[[nodiscard]] std::string style_of_pages(); // CSS
[[nodiscard]] std::string script_of_pages();

[[nodiscard]] std::string link(std::string_view to, std::string_view text, std::string_view style = {});

[[nodiscard]] std::string hidden_field(std::string_view name, std::string_view value);

// A text of a list, in which codes lead to their pages.
[[nodiscard]] inline std::string said(std::string_view text) {
    return html::of_text("span", text, "class=\"words\"");
}

struct Field {
    std::string name;
    std::string label;
    std::string hint = {};  // below it
    std::string value = {}; // that it begins with
    std::string ghost = {}; // shown where it is empty: what is meant then
    std::string unit = {};  // behind it
    bool number = false;    // figures on a telephone's keys
    bool required = false;
    std::string list = {}; // the id of a list of values
    bool short_text = false;
};

// A form that runs a verb. Its fields are the verb's words under their declared names; `compose` makes one word of
// several fields.
class Form {
public:
    // `id` is unique in the page; what is refused is put back into the form of that id.
    Form(const Visit& visit, std::string verb, std::string id);

    void hidden(std::string_view name, std::string_view value);
    void field(const Field& field);
    void lines(const Field& field); // a word for each line
    void choice(const Field& field, const std::vector<std::string>& values);
    // A file of whoever fills the form in: what it holds is sent, and its name is no word of the verb.
    void file(std::string_view name, std::string_view label, std::string_view hint);
    void check(std::string_view name, std::string_view label); // a switch
    // A word made of fields: "{volume|L}[@{at|C}]". A field in braces stands for what is typed in it, with the unit
    // behind it where it is a bare number. Brackets are left out where a field in them is empty. The word is left out
    // where another field is.
    void compose(std::string_view name, std::string_view pattern) { hidden("~" + std::string(name), pattern); }
    // Beside what its words name: "lot PAM-1"; "stock" for all that a purchase rests on. Where it has changed when the
    // form comes back, nothing is booked at first.
    void shows(std::string_view what) { hidden(".shows", what); }
    void raw(std::string_view inner) { inner_ += inner; }
    void group_begins(std::string_view legend);
    void row_begins() { inner_ += "<div class=\"row\">"; }
    void row_ends() { inner_ += "</div>\n"; }
    void group_ends() { inner_ += "</div></fieldset>\n"; }

    // What is rarely said, folded away; open where the form comes back.
    void fold_begins(std::string_view summary);
    void fold_ends() { inner_ += "</details>\n"; }

    // What the button that books nothing says.
    void tries_as(std::string_view label) { tries_ = label; }
    // The figures of a recipe's forecast stand beside it, and follow what is typed where there is a script.
    void forecasts() { forecasts_ = true; }

    // The whole, with its button.
    enum class Button { main, plain };
    [[nodiscard]] std::string html(std::string_view button, bool can_try = false, Button looks = Button::main) const;
    // Behind a line of text that opens it; open where what it sent was refused.
    [[nodiscard]] std::string folded(std::string_view summary, std::string_view button, bool can_try = false) const;

private:
    [[nodiscard]] std::string kept(std::string_view name, const std::string& value) const;
    [[nodiscard]] std::string id_of(std::string_view name) const;

    const Visit& visit_;
    std::string verb_, id_, inner_, tries_ = "Try, and book nothing";
    bool was_refused_ = false, forecasts_ = false, sends_files_ = false;
    mutable int last_id_ = 0;
};

// The words of a form that was sent, composed.
[[nodiscard]] std::map<std::string, std::vector<std::string>, std::less<>> words_of(const Fields& fields);

// The rows of a form as CSV, under the headings that its field `.columns` lists: the cell of line 2 is `.row2.HEADING`.
// What is empty but for its lot is left out.
[[nodiscard]] std::string table_of(const Fields& fields);

} // namespace lotwort::serve
