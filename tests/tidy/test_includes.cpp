// Each file includes what it uses, by itself or through a header of ours. With headers precompiled a missing one goes
// unnoticed, until a build without them (the sanitizers', a packager's) stops.
#include "golden.hpp"
#include <algorithm>
#include <cctype>
#include <doctest/doctest.h>
#include <filesystem>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace fs = std::filesystem;
using namespace lotwort::test;

namespace {

using Names = std::set<std::string>;

// The headers of the standard whose names are seldom brought by another, and the names that need them.
const std::map<std::string, Names> names_of{
    {"algorithm", {"sort",      "stable_sort", "find",    "find_if",     "count",       "count_if",    "any_of",
                   "all_of",    "none_of",     "min",     "max",         "clamp",       "minmax",      "reverse",
                   "transform", "lower_bound", "unique",  "max_element", "min_element", "nth_element", "remove_if",
                   "equal",     "upper_bound", "shuffle", "replace",     "for_each"}},
    {"array", {"array"}},
    {"atomic", {"atomic"}},
    {"charconv", {"from_chars", "to_chars"}},
    {"chrono", {"chrono"}},
    {"cmath",
     {"sqrt", "exp", "log", "log10", "log1p", "expm1", "pow", "abs", "floor", "ceil", "round", "lround", "isfinite",
      "isnan", "hypot", "erf", "erfc", "fmod", "cbrt"}},
    {"condition_variable", {"condition_variable"}},
    {"deque", {"deque"}},
    {"filesystem", {"filesystem"}},
    {"fstream", {"ifstream", "ofstream", "fstream"}},
    {"functional", {"function", "invoke", "reference_wrapper", "ref", "cref", "less", "greater", "identity"}},
    {"iostream", {"cout", "cerr", "cin"}},
    {"iterator", {"back_inserter", "inserter", "istreambuf_iterator", "make_move_iterator"}},
    {"limits", {"numeric_limits"}},
    {"list", {"list"}},
    {"map", {"map", "multimap"}},
    {"memory", {"unique_ptr", "make_unique", "shared_ptr", "make_shared", "weak_ptr"}},
    {"mutex", {"mutex", "lock_guard", "unique_lock", "scoped_lock"}},
    {"numbers", {"numbers"}},
    {"numeric", {"accumulate", "iota", "inner_product", "reduce"}},
    {"optional", {"optional", "nullopt"}},
    {"random", {"mt19937", "mt19937_64", "normal_distribution", "uniform_real_distribution"}},
    {"ranges", {"views"}},
    {"regex", {"regex", "smatch", "regex_search", "regex_match", "sregex_iterator"}},
    {"set", {"set", "multiset"}},
    {"span", {"span"}},
    {"sstream", {"istringstream", "ostringstream", "stringstream"}},
    {"string", {"string", "to_string"}},
    {"string_view", {"string_view"}},
    {"thread", {"thread", "jthread", "this_thread"}},
    {"tuple", {"tuple", "tie", "make_tuple"}},
    {"unordered_map", {"unordered_map"}},
    {"unordered_set", {"unordered_set"}},
    {"variant", {"variant", "visit", "holds_alternative", "get_if", "monostate"}},
    {"vector", {"vector"}}};

// What stands in <ranges> and <iterator>, not in <algorithm>, of what is named std::ranges::.
const Names no_algorithms{"begin", "end",  "size", "empty",   "data",     "views",       "subrange", "distance", "next",
                          "prev",  "swap", "less", "greater", "equal_to", "input_range", "range",    "advance"};

// A header that brings others by its own documentation.
const std::map<std::string, Names> brings{{"date/date.h", {"date", "chrono"}},
                                          {"fmt/format.h", {"fmt"}},
                                          {"fmt/core.h", {"fmt"}},
                                          {"fmt/color.h", {"fmt"}},
                                          {"fmt/ranges.h", {"fmt"}},
                                          {"string", {"string_view"}},
                                          {"sstream", {"string"}},
                                          {"fstream", {"string"}},
                                          {"iostream", {"string"}},
                                          {"filesystem", {"string"}},
                                          {"regex", {"string", "vector"}},
                                          {"stdexcept", {"string"}}};

struct File {
    Names includes;
    Names uses; // headers its text asks for
};

bool of_a_name(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

std::string name_at(std::string_view text, std::size_t at) {
    const auto begin = text.substr(std::min(at, text.size()));
    const auto end = std::ranges::find_if_not(begin, of_a_name);
    return {begin.begin(), end};
}

// Without comments, preprocessor lines and what stands between quotes.
std::string code_of(std::string_view text) {
    std::string code;
    for (std::size_t at = 0; at < text.size(); ++at) {
        const std::string_view rest = text.substr(at);
        std::size_t skip = 0;
        if (rest.starts_with("//") || (rest.front() == '#' && (code.empty() || code.back() == '\n')))
            skip = rest.find('\n');
        else if (rest.starts_with("/*"))
            skip = rest.find("*/", 2) + 2;
        else if (rest.starts_with("R\"")) {
            const std::string close = ")" + std::string(rest.substr(2, rest.find('(') - 2)) + "\"";
            skip = rest.find(close, 2) + close.size();
        } else if (rest.front() == '"' || (rest.front() == '\'' && !(at > 0 && of_a_name(text[at - 1])))) {
            skip = 1;
            while (skip < rest.size() && rest[skip] != rest.front()) skip += rest[skip] == '\\' ? 2 : 1;
            ++skip;
        }
        if (skip == std::string_view::npos) break;
        if (skip > 0)
            at += skip - 1;
        else
            code += rest.front();
    }
    return code;
}

std::string header_of(const std::string& first, const std::string& second) {
    if (first == "ranges" && !no_algorithms.contains(second)) return "algorithm";
    if (first == "ranges") return second == "views" || second == "subrange" ? "ranges" : "";
    const auto found = std::ranges::find_if(names_of, [&](const auto& row) { return row.second.contains(first); });
    return found == names_of.end() ? "" : found->first;
}

File read(const std::string& path) {
    const std::string text = project_file(path);
    File file;
    for (std::size_t at = text.find("#include "); at != std::string::npos; at = text.find("#include ", at + 1))
        if (at == 0 || text[at - 1] == '\n')
            file.includes.insert(text.substr(at + 10, text.find_first_of(">\"", at + 10) - at - 10));
    const std::string code = code_of(text);
    for (std::size_t at = code.find("::"); at != std::string::npos; at = code.find("::", at + 2)) {
        std::size_t from = at;
        while (from > 0 && of_a_name(code[from - 1])) --from;
        const std::string space = code.substr(from, at - from);
        if (from > 1 && code[from - 1] == ':') continue; // the middle of a longer name
        if (space == "fmt" || space == "date") file.uses.insert(space);
        if (space != "std") continue;
        const std::string first = name_at(code, at + 2);
        file.uses.insert(header_of(first, name_at(code, at + 4 + first.size())));
    }
    file.uses.erase("");
    return file;
}

// Where #include "NAME" or <NAME> is found from a file: in a folder above it, in a room, or installed.
std::string our_header(const std::string& file, const std::string& name, const std::map<std::string, File>& files) {
    for (fs::path folder = fs::path(file).parent_path(); !folder.empty(); folder = folder.parent_path())
        if (const auto beside = (folder / name).string(); files.contains(beside)) return beside;
    if (files.contains("include/" + name)) return "include/" + name;
    for (const auto& room : fs::directory_iterator(fs::path(LOTWORT_SOURCE_DIR) / "src"))
        if (const auto own = (fs::relative(room.path(), LOTWORT_SOURCE_DIR) / name).string(); files.contains(own))
            return own;
    return files.contains("tests/cli/" + name) ? "tests/cli/" + name : "";
}

// What a file includes, and what the headers of ours among it include.
Names all_includes(const std::string& path, const std::map<std::string, File>& files) {
    static std::map<std::string, Names> known;
    if (const auto before = known.find(path); before != known.end()) return before->second;
    known[path] = {};
    Names all;
    for (const std::string& name : files.at(path).includes) {
        all.insert(name);
        if (const auto more = brings.find(name); more != brings.end())
            all.insert(more->second.begin(), more->second.end());
        if (const std::string ours = our_header(path, name, files); !ours.empty()) all.merge(all_includes(ours, files));
    }
    return known[path] = all;
}

} // namespace

TEST_CASE("every file includes what it uses, itself or through a header of ours") {
    std::map<std::string, File> files;
    for (const char* folder : {"include", "src", "tests"})
        for (const auto& entry : fs::recursive_directory_iterator(fs::path(LOTWORT_SOURCE_DIR) / folder))
            if (entry.path().extension() == ".hpp" || entry.path().extension() == ".cpp") {
                const auto path = fs::relative(entry.path(), LOTWORT_SOURCE_DIR).string();
                files[path] = read(path);
            }
    int uses = 0;
    for (const auto& [path, file] : files) {
        const Names has = all_includes(path, files);
        for (const std::string& header : file.uses) CHECK_MESSAGE(has.contains(header), path, " uses <", header, ">");
        uses += static_cast<int>(file.uses.size());
    }
    CHECK(uses > 3000); // the scan itself sees the code
}
