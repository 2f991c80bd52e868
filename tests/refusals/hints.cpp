#include "hints.hpp"
#include <algorithm>
#include <lotwort/core/shell_word.hpp>
#include <regex>

namespace lotwort::test {

namespace {

std::vector<std::string> all_of(const std::string& text, const std::string& pattern) {
    const std::regex expression(pattern);
    std::vector<std::string> found;
    for (auto at = std::sregex_iterator(text.begin(), text.end(), expression); at != std::sregex_iterator(); ++at)
        found.push_back((*at)[1].str());
    return found;
}

std::string without(const std::string& text, const std::string& pattern) {
    return std::regex_replace(text, std::regex(pattern), "");
}

// The refused text, a word or the end of one (PAM-1=4.5), with another in its place; none where it is not there.
std::optional<std::string> replaced(const std::string& command, const std::string& refused, const std::string& by) {
    if (refused.empty()) return std::nullopt;
    const std::string quoted = shell_word(refused);
    for (const std::string& typed : {"\"" + refused + "\"", quoted, refused})
        for (auto at = command.find(typed); at != std::string::npos; at = command.find(typed, at + 1)) {
            const char before = at == 0 ? ' ' : command[at - 1];
            const auto end = at + typed.size();
            const char behind = end == command.size() ? ' ' : command[end];
            if (std::string_view(" =@:\"").find(before) == std::string_view::npos) continue;
            if (std::string_view(" @:\"").find(behind) == std::string_view::npos) continue;
            return std::string(command).replace(at, typed.size(), before == ' ' ? shell_word(by) : by);
        }
    return std::nullopt;
}

std::string without_option(const std::string& command, const std::string& option) {
    return without(command, " --" + option + R"(((=|\s+)(\"[^\"]*\"|[^-\s]\S*))?)");
}

class Reader {
public:
    Reader(std::string command, const std::string& error) : command_(std::move(command)) {
        const auto end = std::min(error.find('\n'), error.size());
        const std::string message = error.substr(0, end);
        if (const auto refused = all_of(message, "`([^`]*)`"); !refused.empty()) refused_ = refused.front();
        message_ = message;
        hint_ = end < error.size() ? error.substr(end + 1) : "";
        // of several faults each has its own hint, which does not mend the others: the line to type does
        if (std::regex_search(message, std::regex("[0-9] faults$"))) {
            const auto line = hint_.find("\ntype");
            hint_ = line == std::string::npos ? "" : hint_.substr(line + 1);
        }
        // an example shows how such a thing looks, a range what is taken: neither is an offer
        offers_ =
            without(hint_, R"((, )?such as [^;\n]*|from \S+ to \S+|[^;\n]*YYYY[^;\n]*| of ISO \d+|\d+ gravity points)");
    }

    std::vector<TypedHint> read() {
        commands();
        options();
        words();
        values();
        return std::move(hints_);
    }

private:
    void add(const std::string& line) { hints_.push_back({line, std::nullopt, refused_, false}); }
    void offer(const std::string& value, bool is_quantity) {
        if (auto line = replaced(command_, refused_, value)) hints_.push_back({*line, value, refused_, !is_quantity});
    }

    void commands() {
        const std::string prose =
            R"((?=`|; |, |\n| \(names| (?:lists|alters|shows|adds|calls|names|takes|draws|prints|)"
            R"(has|makes|says|books|if|for all|first)\b|$))";
        for (std::string line : all_of(offers_, "(?:^|[^`\\w/])`?(lotwort(?: [^`;\\n]*?)?)" + prose)) {
            line = without(line, R"([\[\]])");
            add(line == "lotwort alone" ? "lotwort" : line);
        }
    }

    void options() {
        for (const auto& one : all_of(offers_, R"((--[a-z-]+ with one of: [^,;(\n]+))"))
            append(std::regex_replace(one, std::regex(" with one of:"), ""));
        const std::string added =
            R"((?:^|[ \n])(?:add|write|add it:|what:|why:|gone:|besides:|first:|states:) )"
            R"((--[a-z-]+(?: (?!with one|or |and |to |where |which )(?:\"[^\"]*\"|[^\s;:]*[^\s;:,]))?)";
        for (const auto& one : all_of(offers_, added + ")"))
            if (offers_.find(one + " with one of") == std::string::npos) append(one);
        for (const auto& option : all_of(offers_, R"(leave --([a-z-]+) out)")) add(without_option(command_, option));
        if (offers_.find("leave it out") != std::string::npos)
            for (const auto& option : all_of(message_.substr(0, message_.find('`')), R"(--([a-z-]+) has no)"))
                add(without_option(command_, option));
    }
    void append(const std::string& option) {
        add(without_option(command_, option.substr(2, option.find(' ') - 2)) + " " + option);
    }

    void words() {
        for (const auto& clause : all_of(offers_, R"(did you mean ([^?]*)\?)"))
            for (const auto& name : all_of(clause, "`([^`]*)`")) offer(name, false);
        for (const auto& list : all_of(offers_, R"((?:write one of:|choose) ([^;\n]*))"))
            for (const auto& word : all_of(list, R"(([a-z0-9][\w.:-]*)(?=,| or|$))")) offer(word, false);
    }

    void values() {
        for (const auto& clause : all_of(offers_, R"(([^;\n]+))")) {
            const bool offers = std::regex_search(
                clause, std::regex(R"(\bwrite |are written|has its unit|need none|number's unit|without the sign)"));
            if (!offers || std::regex_search(clause, std::regex("lotwort |one of|--|[A-Z]{3,}[:=]"))) continue;
            for (const auto& value : all_of(clause, R"((?:^|[\s'])(-?[0-9][^\s,;:']*)(?=[\s,;:'%]|$))"))
                offer(value, true);
        }
    }

    std::string command_, message_, refused_, hint_, offers_;
    std::vector<TypedHint> hints_;
};

} // namespace

std::vector<TypedHint> typed_hints(const std::string& command, const std::string& error) {
    return Reader(command, error).read();
}

std::vector<std::string> placeholders_in(const std::string& line) {
    return all_of(without(line, R"(\"[^\"]*\"|'[^']*')"), R"((?:^|[\s=])([A-Z]{3,}(?:=[A-Z]+)?(?:\.toml)?)(?=\s|$))");
}

} // namespace lotwort::test
