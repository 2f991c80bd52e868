// What the program writes beside its ledger: never over a ledger or its journal, never through a link, whole or not.
#include "ledger_support.hpp"
#include <csignal>
#include <doctest/doctest.h>
#include <fstream>
#include <lotwort/store/new_file.hpp>
#include <map>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

namespace fs = std::filesystem;

void put(const std::string& file, const std::string& bytes) {
    std::ofstream(file, std::ios::binary) << bytes;
}

std::string written(const std::string& path, const Placing& how, const std::string& text = "new") {
    return refusal([&] {
        NewFile file(path, how);
        file.append(text);
        file.put();
    });
}

// Every name in the folder, and what lies there: its bytes, or where a link leads.
std::map<std::string, std::string> look(const Folder& folder) {
    std::map<std::string, std::string> seen;
    for (const auto& entry : fs::directory_iterator(folder.file("")))
        seen[entry.path().filename().string()] = entry.is_symlink() ? "-> " + fs::read_symlink(entry.path()).string()
                                                 : entry.is_regular_file() ? bytes_of(entry.path().string())
                                                                           : "";
    return seen;
}

// A ledger with a name for everything that may stand where an output is to go.
struct Place {
    Folder folder;
    std::string ledger = folder.file("l");
    Place() {
        (void)stocked_ledger(ledger);
        fs::copy_file(ledger, folder.file("other"));
        fs::create_hard_link(ledger, folder.file("twin"));
        fs::create_symlink("l", folder.file("link"));
        fs::create_symlink("notes", folder.file("link-to-notes"));
        fs::create_symlink("gone", folder.file("link-to-nothing"));
        fs::create_directory(folder.file("folder"));
        put(folder.file("notes"), "notes");
        ::mkfifo(folder.file("pipe").c_str(), 0600);
    }
};

} // namespace

TEST_CASE("no output takes the place of a ledger, of a ledger's journal or of a link, whatever is asked") {
    const Place place;
    const auto before = look(place.folder);
    const Placing outputs[] = {
        {.ledger = place.ledger, .over = Over::plain_file, .replaces = true},
        {.ledger = place.ledger, .over = Over::plain_file},
        {.ledger = place.folder.file("link"), .over = Over::plain_file, .replaces = true}, // named by its link
        {.ledger = place.ledger, .over = Over::ledger, .replaces = true, .fault = ErrorKind::ledger},
        {.over = Over::ledger, .fault = ErrorKind::ledger},
    };
    for (const auto& how : outputs)
        for (const char* name : {"l", "twin", "link", "link-to-notes", "link-to-nothing", "l-journal", "l-wal", "l-shm",
                                 "other-journal", "link-journal", "folder", "pipe"}) {
            CAPTURE(name);
            const auto said = written(place.folder.file(name), how);
            CHECK(said.starts_with("kind " + std::to_string(static_cast<int>(how.fault)) + ": "));
            CHECK(said.find(" / name ") != std::string::npos); // what to do instead
            const bool same = look(place.folder) == before;
            CHECK(same);
        }
    CHECK(Ledger(place.ledger, Access::read).verify().empty());
}

TEST_CASE("another brewery's ledger is replaced by a backup alone, and any other file by no backup") {
    const Place place;
    const auto other = place.folder.file("other"), notes = place.folder.file("notes");
    CHECK(written(other, {.ledger = place.ledger, .over = Over::plain_file, .replaces = true}) ==
          "kind 1: " + other + " is a ledger, which only a backup may replace / name another file");
    CHECK(written(notes, {.ledger = place.ledger, .over = Over::ledger, .replaces = true}) ==
          "kind 1: " + notes + " is there already and is no backup of a ledger / name another file");
    CHECK(written(other, {.ledger = place.ledger, .over = Over::ledger, .replaces = true}) == "nothing");
    CHECK(written(notes, {.ledger = place.ledger, .over = Over::plain_file}) ==
          "kind 1: " + notes + " exists already / name another file");
    CHECK(bytes_of(notes) == "notes");
    CHECK(written(notes, {.ledger = place.ledger, .over = Over::plain_file, .replaces = true}) == "nothing");
    CHECK(bytes_of(notes) == "new");
    CHECK(bytes_of(other) == "new");
}

TEST_CASE("a link under the name of the file in the making is not followed") {
    const Place place;
    const auto path = place.folder.file("out");
    const auto taken = path + ".part-" + std::to_string(::getpid()) + "-1";
    fs::create_symlink(place.ledger, taken);
    const auto before = bytes_of(place.ledger);
    CHECK(written(path, {.ledger = place.ledger}) == "nothing");
    CHECK(bytes_of(path) == "new");
    CHECK(bytes_of(place.ledger) == before);
    CHECK(fs::is_symlink(taken)); // somebody else's
}

TEST_CASE("what is not put in its place leaves nothing, and what stood there stands") {
    const Place place;
    const auto before = look(place.folder);
    const auto notes = place.folder.file("notes");
    const Placing over_notes{.ledger = place.ledger, .over = Over::plain_file, .replaces = true};
    {
        NewFile file(notes, over_notes);
        file.append("half");
        CHECK(look(place.folder).size() == before.size() + 1);
    }
    CHECK((look(place.folder) == before));
    {
        NewFile file(notes, over_notes);
        NewFile::remove_unfinished(); // as an interrupt does
        CHECK((look(place.folder) == before));
    }
    { // a limit on the size of files is a full disk to whoever runs into it
        struct rlimit usual {};
        ::getrlimit(RLIMIT_FSIZE, &usual);
        const auto ignored = std::signal(SIGXFSZ, SIG_IGN);
        const struct rlimit small { 1000, usual.rlim_max };
        ::setrlimit(RLIMIT_FSIZE, &small);
        CHECK(written(notes, over_notes, std::string(5000, 'x')) ==
              "kind 1: " + notes +
                  " cannot be written: File too large / raise the limit on the size of files (ulimit -f)");
        ::setrlimit(RLIMIT_FSIZE, &usual);
        std::signal(SIGXFSZ, ignored);
    }
    CHECK((look(place.folder) == before));
}

TEST_CASE("what comes in the way while a file is in the making is not replaced") {
    const Place place;
    const auto path = place.folder.file("out");
    NewFile file(path, {.ledger = place.ledger, .over = Over::plain_file, .replaces = true});
    file.append("new");
    fs::copy_file(place.ledger, path);
    CHECK(refusal([&] { file.put(); }).starts_with("kind 1: " + path + " is a ledger"));
    CHECK(bytes_of(path) == bytes_of(place.ledger));
}

// SQLite would take it for this ledger's own, and undo in it what was half done in another.
TEST_CASE("no ledger is made or copied to where another's journal was left") {
    const Place place;
    const auto path = place.folder.file("out");
    put(path + "-journal", "left");
    const auto create = [&] { Ledger::create(path, "EUR", head(EntryKind::init, "2026-01-01")); };
    const auto left = "kind 4: " + path +
                      "-journal is there, left of another ledger of that name / move it to another "
                      "folder first, or name another file";
    CHECK(refusal(create) == left);
    CHECK(refusal([&] { Ledger(place.ledger, Access::read).backup(path); }) == left);
    CHECK(!fs::exists(path));
}
