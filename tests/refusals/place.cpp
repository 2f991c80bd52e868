#include "place.hpp"
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <unistd.h>

namespace lotwort::test {

namespace fs = std::filesystem;

namespace {

constexpr int nobody = 65534; // Debian's user and group to whom nothing belongs
constexpr const char* line_file = ".line";
constexpr const char* error_file = ".error";

std::string content(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

void write(const fs::path& path, const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
}

// The test's own files: the command (Workplace's, and the one it calls) and what it complained of.
bool is_own(const std::string& name) {
    return name == line_file || name == error_file || name == ".command";
}

bool is_root() {
    return geteuid() == 0;
}

} // namespace

std::string differences(const Snapshot& before, const Snapshot& after) {
    std::string text;
    for (const auto& [name, state] : before) {
        const auto found = after.find(name);
        if (found == after.end())
            text += name + " is gone\n";
        else if (found->second != state)
            text += name + " changed\n";
    }
    for (const auto& [name, state] : after)
        if (!before.contains(name)) text += name + " is new\n";
    return text;
}

Place::Place() {
    fs::permissions(workplace_.folder(), fs::perms(0755));
    if (!is_root()) return;
    std::string folder = (fs::temp_directory_path() / "lotwort-program-XXXXXX").string();
    if (mkdtemp(folder.data()) == nullptr) throw std::runtime_error("no temporary folder: " + folder);
    open_folder_ = folder;
    fs::permissions(folder, fs::perms(0755));
    fs::copy_file(LOTWORT_PROGRAM, folder + "/lotwort");
    fs::permissions(folder + "/lotwort", fs::perms(0755));
}

Place::~Place() {
    std::error_code ignored;
    (void)workplace_.run("chmod -R u+rwX ."); // what a case locked is to go as well
    if (!open_folder_.empty()) fs::remove_all(open_folder_, ignored);
}

void Place::prepare(const Transcript& transcript) const {
    for (const Given& given : transcript.given) {
        if (given.command.empty()) {
            write(workplace_.folder() + "/" + given.file, given.text);
            continue;
        }
        const auto result = workplace_.run(given.command + " 2>&1");
        if (result.status != 0)
            throw std::runtime_error(fmt::format("{}: given $ {}\n{}", transcript.name, given.command, result.out));
    }
}

Said Place::play(const std::string& before, const std::string& command) const {
    write(workplace_.folder() + "/" + line_file, command + "\n");
    const auto result = workplace_.run(fmt::format("{} sh ./{} 2>{}", before, line_file, error_file));
    return {result.out, content(workplace_.folder() + "/" + error_file), result.status};
}

Said Place::run(const std::string& command) const {
    return play("", command);
}

Said Place::run(const Refusal& refusal) const {
    if (refusal.as_nobody && is_root())
        return play(
            fmt::format("setpriv --reuid={0} --regid={0} --clear-groups env PATH=\"{1}:$PATH\"", nobody, open_folder_),
            refusal.command);
    if (!refusal.disk.empty())
        return play(
            fmt::format("env ASAN_OPTIONS=verify_asan_link_order=0 LD_PRELOAD='{}' {}", FULL_DISK, refusal.disk),
            refusal.command);
    return run(refusal.command);
}

std::string Place::obstacle(const Refusal& refusal) const {
    if (!refusal.as_nobody || !is_root()) return {};
    const Refusal probe{"", "lotwort --version >/dev/null", 0, "", {}, true, "", 0};
    return run(probe).status == 0 ? ""
                                  : "root cannot run it as nobody here (setpriv, or a temporary folder closed to all)";
}

Snapshot Place::look() const {
    Snapshot snapshot;
    for (const auto& entry : fs::recursive_directory_iterator(workplace_.folder())) {
        const auto name = fs::relative(entry.path(), workplace_.folder()).string();
        if (is_own(name)) continue;
        const auto mode = static_cast<unsigned>(entry.symlink_status().permissions());
        snapshot[name] = fmt::format("{:o} ", mode) + (entry.is_regular_file() ? content(entry.path()) : "");
    }
    return snapshot;
}

} // namespace lotwort::test
