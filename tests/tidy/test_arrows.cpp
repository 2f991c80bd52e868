// The arrows between rooms, as docs/rooms.md draws them: read from the #include lines, so that an arrow drawn
// backwards fails here with the line that draws it.
#include "golden.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <functional>
#include <map>
#include <regex>
#include <set>
#include <sstream>

namespace fs = std::filesystem;
using namespace lotwort::test;

namespace {

using Rooms = std::set<std::string>;

// A room may look into itself and these.
const std::map<std::string, Rooms> arrows{
    {"core", {}},
    {"wort", {"core"}},
    {"stats", {"core"}},
    {"stock", {"core", "wort"}},
    {"brew", {"core", "wort", "stock"}},
    {"infer", {"core", "wort", "stats", "stock", "brew"}},
    {"plan", {"core", "wort", "stock", "brew"}},
    {"store", {"core", "stock", "brew"}},
    {"exchange", {"core", "stock", "brew"}},
    {"report", {"core", "stock", "brew", "infer", "plan", "exchange", "store"}},
    {"desk", {"core", "wort", "stock", "brew", "infer", "plan", "store", "exchange", "report"}},
    {"verbs", {"core", "wort", "stats", "stock", "brew", "infer", "plan", "store", "exchange", "report", "desk"}},
    {"cli", {"core", "store", "report", "desk", "verbs"}},
    {"serve", {"core", "stock", "brew", "store", "exchange", "report", "desk", "verbs"}},
};

// A foreign header has one room (of headers and sources), or a few files of one.
struct Foreign {
    std::string begins;
    Rooms rooms;
};
const std::vector<Foreign> foreign{
    {"sqlite3.h", {"store"}},   {"nlohmann/", {"exchange"}},
    {"toml++/", {"exchange"}},  {"boost/program_options", {"cli"}},
    {"boost/math", {"stats"}},  {"Eigen/", {"stats", "infer"}},
    {"date/", {"core"}},        {"coin/", {"plan"}},
    {"qrencode.h", {"report"}}, {"event2/", {"serve"}},
};

// The arithmetic rooms reach nothing outside: no streams of the console or files, no clock, no randomness.
const Rooms arithmetic{"core", "wort", "stats", "stock", "brew", "infer", "plan"};
const std::set<std::string> outside{"iostream", "fstream", "filesystem", "thread",
                                    "random",   "ctime",   "cstdio",     "unistd.h"};

struct Include {
    std::string file; // below the top folder
    int line = 0;
    std::string room;
    std::string header;
    [[nodiscard]] std::string where() const {
        return file + ":" + std::to_string(line) + ": #include <" + header + ">";
    }
};

std::vector<fs::path> sources() {
    const fs::path top = LOTWORT_SOURCE_DIR;
    std::vector<fs::path> files;
    for (const char* folder : {"include", "src"})
        for (const auto& entry : fs::recursive_directory_iterator(top / folder))
            if (entry.path().extension() == ".hpp" || entry.path().extension() == ".cpp") files.push_back(entry.path());
    std::ranges::sort(files);
    return files;
}

// Of src/ROOM/.../x.cpp and include/lotwort/ROOM/x.hpp.
std::string room_of(const fs::path& file) {
    const fs::path below = fs::relative(file, LOTWORT_SOURCE_DIR);
    auto part = std::next(below.begin());
    if (*part == "lotwort") ++part;
    return arrows.contains(part->string()) ? part->string() : "";
}

std::vector<Include> includes() {
    const std::regex pattern(R"re(^\s*#\s*include\s*[<"]([^>"]+)[>"])re");
    std::vector<Include> found;
    for (const auto& path : sources()) {
        const auto file = fs::relative(path, LOTWORT_SOURCE_DIR).string();
        std::istringstream in(project_file(file));
        std::string text;
        for (int line = 1; std::getline(in, text); ++line) {
            std::smatch match;
            if (std::regex_search(text, match, pattern)) found.push_back({file, line, room_of(path), match[1]});
        }
    }
    return found;
}

} // namespace

TEST_CASE("rooms look one way: no #include against the arrows") {
    int seen = 0;
    for (const auto& include : includes()) {
        if (include.room.empty() || !include.header.starts_with("lotwort/")) continue;
        ++seen;
        const auto target = fs::path(include.header).parent_path().filename().string();
        const bool allowed = target == include.room || arrows.at(include.room).contains(target);
        CHECK_MESSAGE(allowed, include.where(), "  (", include.room, " must not look into ", target, ")");
    }
    CHECK(seen > 50); // the scan itself sees the code
}

// src/ROOM/FOLDER/x.cpp that includes "OTHER/y.hpp" looks from FOLDER into OTHER.
TEST_CASE("the picture of the rooms is what the includes make") {
    std::map<std::string, Rooms> looks;
    for (const Include& include : includes()) {
        if (include.room.empty() || !include.header.starts_with("lotwort/")) continue;
        const std::string into = fs::path(include.header).parent_path().filename().string();
        if (into != include.room) looks[include.room].insert(into);
    }
    // an arrow that goes without saying, for another room on the way has it, is left out
    const std::function<bool(const std::string&, const std::string&)> reaches = [&](const std::string& from,
                                                                                    const std::string& to) {
        return from == to || std::ranges::any_of(looks[from], [&](const auto& by) { return reaches(by, to); });
    };
    std::string picture = "```mermaid\nflowchart BT\n";
    for (const auto& [room, into] : looks)
        for (const std::string& to : into)
            if (std::ranges::none_of(into, [&](const auto& by) { return by != to && reaches(by, to); }))
                picture += "    " + room + " --> " + to + "\n";
    picture += "```\n";
    CAPTURE(picture);
    CHECK(project_file("docs/rooms.md").find(picture) != std::string::npos);
}

TEST_CASE("folders of a room look one way") {
    std::map<std::string, Rooms> into;
    for (const auto& include : includes()) {
        const fs::path file(include.file);
        const auto depth = std::distance(file.begin(), file.end());
        const fs::path header(include.header);
        if (include.room.empty() || depth != 4 || std::distance(header.begin(), header.end()) != 2) continue;
        if (include.header.starts_with("lotwort/")) continue;
        into[include.room + "/" + std::next(file.begin(), 2)->string()].insert(include.room + "/" +
                                                                               header.begin()->string());
    }
    CHECK(into.size() > 5); // the scan itself sees the code
    const auto reaches = [&](const std::string& from, const std::string& to, auto&& self) -> bool {
        return std::ranges::any_of(into[from], [&](const auto& next) { return next == to || self(next, to, self); });
    };
    for (const auto& [folder, others] : std::map(into))
        for (const auto& other : others) CHECK_MESSAGE(!reaches(other, folder, reaches), folder, " and ", other);
}

TEST_CASE("each foreign header has its room") {
    for (const auto& include : includes())
        for (const auto& [begins, rooms] : foreign)
            if (include.header.starts_with(begins))
                CHECK_MESSAGE(rooms.contains(include.room), include.where(), "  (belongs to another room)");
}

TEST_CASE("the solver has one file, and the drawer of codes has one") {
    int seen = 0;
    for (const auto& include : includes()) {
        if (include.header == "qrencode.h") CHECK_MESSAGE(include.file == "src/report/page/qr.cpp", include.where());
        if (!include.header.starts_with("coin/")) continue;
        ++seen;
        CHECK_MESSAGE(include.file == "src/plan/mip/mip.cpp", include.where(),
                      "  (src/plan/mip/mip.cpp alone knows CBC)");
    }
    CHECK(seen > 0);
}

TEST_CASE("the arithmetic rooms reach neither files nor console nor clock") {
    for (const auto& include : includes())
        if (arithmetic.contains(include.room)) CHECK_MESSAGE(!outside.contains(include.header), include.where());
    const std::regex clock(R"((system_clock|steady_clock)::now|std::time\(|random_device)");
    for (const auto& path : sources()) {
        if (!arithmetic.contains(room_of(path))) continue;
        const auto file = fs::relative(path, LOTWORT_SOURCE_DIR).string();
        CHECK_MESSAGE(!std::regex_search(project_file(file), clock), file, " reads a clock or chance");
    }
}

// A caller of the library has no command line: what to type is said in report, desk and verbs.
TEST_CASE("the arithmetic rooms tell nobody to type a command") {
    const std::regex command(R"("[^"\n]*lotwort [a-z][^"\n]*")");
    for (const auto& path : sources()) {
        if (!arithmetic.contains(room_of(path))) continue;
        const auto file = fs::relative(path, LOTWORT_SOURCE_DIR).string();
        const std::string text = project_file(file);
        std::smatch found;
        CHECK_MESSAGE(!std::regex_search(text, found, command), file, ": ", found.str());
    }
}

// An output that goes any other way may go over the ledger, or through a link.
TEST_CASE("every file that is written goes through NewFile") {
    const std::set<std::string> ways{"src/store/file/new_file.cpp"};
    const std::regex writes(R"(ofstream|std::fstream|\bfopen|\bcreat\(|O_WRONLY|O_RDWR|O_CREAT|mkstemp|mkostemp|)"
                            R"(\brename\(|copy_file\(|resize_file\(|SQLITE_OPEN_CREATE)");
    std::set<std::string> found;
    for (const auto& path : sources()) {
        const auto file = fs::relative(path, LOTWORT_SOURCE_DIR).string();
        std::istringstream in(project_file(file));
        std::string text;
        for (int line = 1; std::getline(in, text); ++line)
            if (std::regex_search(text, writes)) {
                found.insert(file);
                CHECK_MESSAGE(ways.contains(file), file, ":", line, ": ", text);
            }
    }
    CHECK(found == ways); // the scan sees it
}

namespace {

// A function that finds a record among others and returns a reference, pointer or view of it. Given what is gone at the
// statement's end, it would let its caller read freed memory: each has a twin for that, deleted.
struct Finder {
    std::string where; // file: declaration
    std::string room;
    std::string name;
};

std::vector<Finder> finders() {
    const std::string found =
        R"((?:const [\w:]+ ?[&*]|std::vector<const \w+\*>|(?:std::optional<)?std::string_view>?) ?(\w+)\()";
    const std::string among =
        R"(const (?:Book|\w*(?:Request|Case|Page|Input|Model)|Brew|Brewhouse|Lot|std::(?:vector|array)<[A-Z]\w*.*?>)& \w)";
    const std::regex declared(R"((?:\[\[nodiscard\]\] )?)" + found + "[^;{)]*?" + among + "[^;{)]*\\)[ \\n]*[;{]");
    std::vector<Finder> all;
    for (const auto& path : sources()) {
        const auto file = fs::relative(path, LOTWORT_SOURCE_DIR).string();
        const std::string text = "\n" + project_file(file);
        for (std::sregex_iterator at(text.begin(), text.end(), declared), end; at != end; ++at)
            if (text[static_cast<std::size_t>(at->position()) - 1] == '\n')
                all.push_back({file + ": " + at->str(), room_of(path), (*at)[1]});
    }
    return all;
}

} // namespace

TEST_CASE("who finds a record among others is not given a temporary to look in") {
    std::map<std::string, std::string> text_of_room;
    for (const auto& path : sources())
        text_of_room[room_of(path)] += project_file(fs::relative(path, LOTWORT_SOURCE_DIR).string());
    const auto all = finders();
    for (const auto& finder : all) {
        const std::regex deleted("\\b" + finder.name + R"(\([^;{]*&&[^;{]*\)\s*= delete;)");
        CHECK_MESSAGE(std::regex_search(text_of_room[finder.room], deleted), finder.where);
    }
    CHECK(all.size() > 30); // the scan itself sees the code
}

// The test library's own comparison allows eps (1 + the larger one): of a figure far below 1 it takes almost anything.
TEST_CASE("figures are compared by near(), whose relative tolerance is one") {
    const std::string loose = std::string("App") + "rox";
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(LOTWORT_SOURCE_DIR) / "tests")) {
        if (entry.path().extension() != ".cpp" && entry.path().extension() != ".hpp") continue;
        const auto file = fs::relative(entry.path(), LOTWORT_SOURCE_DIR).string();
        CHECK_MESSAGE(project_file(file).find(loose) == std::string::npos, file);
    }
}

TEST_CASE("the top folder holds what the layout allows, and nothing else in sight") {
    const std::set<std::string> allowed{
        "CMakeLists.txt", "CMakePresets.json", "README.md", "DEVELOPERS.md", "LICENSE", "src",
        "include",        "migrations",        "tests",     "examples",      "docs"};
    for (const auto& entry : fs::directory_iterator(LOTWORT_SOURCE_DIR)) {
        const auto name = entry.path().filename().string();
        if (name.starts_with(".") || name.starts_with("build")) continue;
        CHECK_MESSAGE(allowed.contains(name), name);
    }
}
