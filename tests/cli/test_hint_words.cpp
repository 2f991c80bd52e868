// What the program tells people to type exists: every verb and option in its sources' texts.
#include "golden.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <lotwort/cli/program.hpp>
#include <map>
#include <regex>
#include <set>
#include <string>

using namespace lotwort;
using namespace lotwort::cli;

// What breaks if this breaks: a brewer is refused with advice that is refused in turn, since no such option is there.

namespace {

namespace fs = std::filesystem;

const Command* find_verb(const std::string& name) {
    for (const Command* command : commands())
        if (command->name == name) return command;
    return nullptr;
}

bool has_option(const Command& command, const std::string& name) {
    return std::ranges::any_of(all_options(command), [&](const Option& option) { return option.name == name; });
}

// The texts between quotes, those that follow each other as one; remarks of the source are none.
std::vector<std::string> texts_of(const std::string& source) {
    std::string code;
    static const std::regex remark(R"(^(?:[^"]|"(?:\\.|[^"\\])*")*?(//.*)$)");
    std::size_t from = 0;
    while (from < source.size()) {
        const auto end = std::min(source.find('\n', from), source.size());
        std::string line = source.substr(from, end - from);
        std::smatch found;
        if (std::regex_match(line, found, remark)) line.resize(static_cast<std::size_t>(found.position(1)));
        if (!line.starts_with("#include")) code += line + "\n";
        from = end + 1;
    }
    static const std::regex text(R"re("((?:\\.|[^"\\])*)")re");
    std::vector<std::string> texts;
    std::ptrdiff_t last = -1;
    for (auto at = std::sregex_iterator(code.begin(), code.end(), text); at != std::sregex_iterator(); ++at) {
        const auto begin = at->position();
        const std::string between =
            last < 0 ? "x" : code.substr(static_cast<std::size_t>(last), static_cast<std::size_t>(begin - last));
        const bool goes_on = between.find_first_not_of(" \n") == std::string::npos;
        if (goes_on)
            texts.back() += (*at)[1].str();
        else
            texts.push_back((*at)[1].str());
        last = begin + at->length();
    }
    return texts;
}

// The verbs whose refusals a source words: its own, or those that call it.
std::vector<std::string> verbs_of(const std::string& file) { // below src, without its ending
    static const std::map<std::string, std::vector<std::string>> shared{
        {"desk/plan_request", {"plan", "brew"}},
        {"desk/purchase_wish", {"buy"}},
        {"desk/substitute_request", {"substitute"}},
        {"store/file/backup", {"backup"}},
        {"store/file/migrate", {"stock"}},
        {"store/file/place", {"stock"}},
        {"store/file/sqlite", {"stock"}},
        {"store/ledger", {"stock"}},
        {"verbs/brew/pins", {"plan", "brew"}},
        {"verbs/brew/reading_log", {"import"}},
        {"verbs/brew/reading_meaning", {"measure"}},
        {"verbs/brew/readings", {"measure"}},
        {"verbs/brew/weighing", {"brew"}},
        {"verbs/call", {"stock"}},
        {"verbs/certificate", {"receive", "lot"}},
        {"verbs/delivery_note", {"receive"}},
        {"verbs/stock/lot_day", {"count", "discard"}},
        {"verbs/stock/lot_share", {"lot"}},
    };
    const auto of_folder = [&](const std::string& folder, const std::string& verb) {
        return file.starts_with("verbs/" + folder + "/") ? std::vector{verb} : std::vector<std::string>{};
    };
    if (file.starts_with("verbs/") && find_verb(file.substr(6)) != nullptr) return {file.substr(6)};
    if (const auto found = shared.find(file); found != shared.end()) return found->second;
    for (const auto& [folder, verb] :
         {std::pair{"convert", "convert"}, {"receive", "receive"}, {"stock", "count"}, {"brewhouse", "brewhouse"}})
        if (auto verbs = of_folder(folder, verb); !verbs.empty()) return verbs;
    return {};
}

struct Source {
    std::string name; // below src, without its ending
    std::vector<std::string> texts;
};

std::vector<Source> sources() {
    std::vector<Source> all;
    const fs::path top(LOTWORT_SOURCE_DIR);
    for (const auto& entry : fs::recursive_directory_iterator(top / "src")) {
        const auto ending = entry.path().extension();
        if (ending != ".cpp" && ending != ".hpp") continue;
        if (entry.path().stem().string().starts_with("html_")) continue; // the names of a style sheet are no options
        const std::string path = fs::relative(entry.path(), top).generic_string();
        all.push_back({fs::relative(entry.path(), top / "src").replace_extension().generic_string(),
                       texts_of(lotwort::test::project_file(path))});
    }
    return all;
}

// Options of the program itself, before any verb, and of another program.
const std::set<std::string> of_no_verb{"help",  "version", "manual", "completion", "complete", "complete-described",
                                       "option"};

} // namespace

TEST_CASE("a source's texts are read as the compiler reads them") {
    CHECK(texts_of("f(\"a \" // no \"b\"\n  \"c\"); g(\"d \\\"e\\\"\");") ==
          std::vector<std::string>{"a c", "d \\\"e\\\""});
}

TEST_CASE("every command that a text of the program shows has its verb and that verb's options") {
    std::size_t seen = 0;
    const std::regex command(R"(lotwort ([a-z]+)([^;`\n]*))"), option(R"((?:^|[ `(])--([a-z][a-z-]*))");
    for (const Source& source : sources())
        for (const std::string& text : source.texts) {
            INFO("src " << source.name << ": " << text);
            std::string rest = std::regex_replace(text, std::regex(R"(\\n)"), "\n");
            for (auto at = std::sregex_iterator(rest.begin(), rest.end(), command); at != std::sregex_iterator();
                 ++at) {
                const std::string name = (*at)[1].str(), words = (*at)[2].str();
                if (name == "alone" || name == "keeps") continue; // no verbs: the program itself is spoken of
                const Command* verb = find_verb(name);
                CHECK_MESSAGE(verb != nullptr, "there is no verb " << name);
                if (verb == nullptr) continue;
                for (auto o = std::sregex_iterator(words.begin(), words.end(), option); o != std::sregex_iterator();
                     ++o)
                    CHECK_MESSAGE(has_option(*verb, (*o)[1].str()), name << " has no --" << (*o)[1].str());
                ++seen;
            }
        }
    CHECK(seen > 100); // else the sources are not looked at
}

TEST_CASE("every option that a text speaks of is one of the verb that speaks") {
    std::size_t seen = 0;
    const std::regex command(R"(lotwort ([a-z]+)[^;`\n]*)"), option(R"((?:^|[ `(])--([a-z][a-z-]*))");
    for (const Source& source : sources())
        for (const std::string& text : source.texts) {
            INFO("src " << source.name << ": " << text);
            const std::string own = std::regex_replace(text, command, "");
            for (auto o = std::sregex_iterator(own.begin(), own.end(), option); o != std::sregex_iterator(); ++o) {
                const std::string name = (*o)[1].str();
                if (of_no_verb.contains(name)) continue;
                const auto verbs = verbs_of(source.name);
                const bool anywhere =
                    std::ranges::any_of(commands(), [&](const Command* one) { return has_option(*one, name); });
                CHECK_MESSAGE(anywhere, "no verb has --" << name);
                for (const std::string& verb : verbs)
                    CHECK_MESSAGE(has_option(*find_verb(verb), name), verb << " has no --" << name);
                ++seen;
            }
        }
    CHECK(seen > 100);
}
