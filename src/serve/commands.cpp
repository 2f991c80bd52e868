// Reports name commands to type; on a page each is a link to where that is done.
#include "pages.hpp"
#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

namespace lotwort::serve {

namespace {

// The words of a piece of HTML.
std::string plain(std::string_view piece) {
    std::string text;
    bool is_tag = false;
    for (const char c : piece) {
        if (c == '<') is_tag = true;
        if (!is_tag) text += c;
        if (c == '>') is_tag = false;
    }
    for (const auto& [entity, sign] : {std::pair("&lt;", "<"), {"&gt;", ">"}, {"&quot;", "\""}, {"&amp;", "&"}})
        for (auto at = text.find(entity); at != std::string::npos; at = text.find(entity, at + 1))
            text.replace(at, std::string_view(entity).size(), sign);
    return text;
}

std::string link_of(const std::string& command) {
    return link(page_of_command(command), label_of_command(command), "go");
}

} // namespace

std::string with_commands_linked(std::string_view body, std::string_view here) {
    constexpr std::string_view begins = "lotwort ", code = "<code>", code_ends = "</code>";
    std::string out;
    for (auto at = body.find(begins); at != body.npos; at = body.find(begins)) {
        const std::string_view before = body.substr(0, at);
        const std::string_view close = before.ends_with(code) ? code_ends : "</";
        auto end = body.find(close, at);
        if (before.ends_with(code) && end != body.npos) {
            const std::string command = plain(body.substr(at, end - at));
            out += before.substr(0, before.size() - code.size());
            // a plan's sheet is a button above it
            if (!command.starts_with("lotwort report ") && page_of_command(command) != here) out += link_of(command);
            body.remove_prefix(end + code_ends.size());
            continue;
        }
        end = std::min(body.find("</p>", at), body.find("</li>", at));
        const auto last = before.find_last_not_of(" \n");
        if (last == before.npos || before[last] != ':' || end == body.npos) {
            out += body.substr(0, at + begins.size());
            body.remove_prefix(at + begins.size());
            continue;
        }
        out += std::string(before) + link_of(plain(body.substr(at, end - at)));
        body.remove_prefix(end);
    }
    return out + std::string(body);
}

} // namespace lotwort::serve
