#include "place.hpp"
#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <climits>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <lotwort/store/new_file.hpp>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace lotwort {

namespace fs = std::filesystem;

namespace {

// The one file that is unfinished, for a signal's handler; 0 ends it.
std::array<char, PATH_MAX> unfinished{};

std::string last_put_; // into its place, whole

void note_unfinished(const std::string& path) noexcept {
    unfinished[0] = '\0';
    std::atomic_signal_fence(std::memory_order_seq_cst);
    if (path.size() >= unfinished.size()) return;
    std::copy(path.begin() + std::min<std::ptrdiff_t>(1, std::ssize(path)), path.end(), unfinished.begin() + 1);
    unfinished[path.size()] = '\0';
    std::atomic_signal_fence(std::memory_order_seq_cst);
    if (!path.empty()) unfinished[0] = path[0]; // last: until then there is none
}

[[noreturn]] void refuse(const Placing& how, const std::string& what, const std::string& hint) {
    throw Error(how.fault, what, hint);
}

bool is_in_use(const Placing& how, const std::string& path) {
    return !how.ledger.empty() && store::same_file(how.ledger, path);
}

// The one in use is never opened for this: to close it again would give up SQLite's locks on it.
bool is_a_ledger(const Placing& how, const std::string& path) {
    return is_in_use(how, path) || store::is_ledger(path);
}

constexpr std::array<std::string_view, 3> journal_ends{"-journal", "-wal", "-shm"};

// The ledger to which a file of this name belongs; empty where it belongs to none.
std::string journal_of(const std::string& path, const Placing& how) {
    for (const auto end : journal_ends)
        if (path.ends_with(end))
            if (auto ledger = path.substr(0, path.size() - end.size()); is_a_ledger(how, ledger)) return ledger;
    return {};
}

void check_link(const std::string& path, const Placing& how) {
    std::error_code unread;
    const auto target = fs::read_symlink(path, unread);
    if (unread) return;
    const auto resolved = (fs::path(path).parent_path() / target).lexically_normal().string();
    if (is_a_ledger(how, path))
        refuse(how, fmt::format("{} is a link to the ledger {}", path, resolved), "name another file");
    refuse(how, fmt::format("{} is a link to {}, and nothing is written through a link", path, resolved),
           fmt::format("name {} itself, or remove the link", resolved));
}

void check_replaced(const std::string& path, const Placing& how) {
    if (how.over == Over::ledger && !store::is_ledger(path))
        refuse(how, fmt::format("{} is there already and is no backup of a ledger", path), "name another file");
    if (how.over == Over::plain_file && store::is_ledger(path))
        refuse(how, fmt::format("{} is a ledger, which only a backup may replace", path), "name another file");
    if (!how.replaces)
        refuse(how, fmt::format("{} exists already", path),
               fmt::format("name another file{}{}", how.instead.empty() ? "" : ", or ", how.instead));
    if (::access(path.c_str(), R_OK) != 0)
        refuse(how, fmt::format("{} may not be read, so it may be a ledger: it is not replaced", path),
               "name another file");
}

void check_place(const std::string& path, const Placing& how) {
    std::error_code ignored;
    if (is_in_use(how, path) && !fs::is_symlink(path, ignored))
        refuse(how, fmt::format("{} is the ledger itself", path), "name another file");
    if (const auto ledger = journal_of(path, how); !ledger.empty())
        refuse(how, fmt::format("{} belongs to the ledger {}", path, ledger), "name another file");
    check_link(path, how);
    const auto status = fs::status(path, ignored);
    if (!fs::exists(status)) return;
    if (fs::is_directory(status)) refuse(how, fmt::format("{} is a folder", path), "name a file in it");
    if (!fs::is_regular_file(status)) refuse(how, fmt::format("{} is no plain file", path), "name another file");
    check_replaced(path, how);
}

// What a killed program left of a ledger that is gone would be taken for this one's, and undone in it.
void check_no_journal(const std::string& path, const Placing& how) {
    for (const auto end : journal_ends)
        if (std::error_code ignored; fs::exists(fs::symlink_status(path + std::string(end), ignored)))
            refuse(how, fmt::format("{}{} is there, left of another ledger of that name", path, end),
                   "move it to another folder first, or name another file");
}

} // namespace

NewFile::NewFile(std::string path, Placing how) : path_(std::move(path)), how_(std::move(how)) {
    check_place(path_, how_);
    create();
}

NewFile::~NewFile() {
    if (file_ >= 0) ::close(file_);
    if (!made_.empty()) store::remove_quietly(made_);
    note_unfinished({});
}

// Nobody else's file, and none that a link leads to.
void NewFile::create() {
    const auto place = fs::absolute(path_).string(); // never one of the database's special names
    for (int attempt = 1; attempt < 100 && file_ < 0; ++attempt) {
        const auto name = fmt::format("{}.part-{}-{}", place, ::getpid(), attempt);
        file_ = ::open(name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
        if (file_ < 0 && errno != EEXIST) break;
        if (file_ >= 0) made_ = name;
    }
    if (file_ < 0) give_up(errno);
    note_unfinished(made_);
}

void NewFile::append(std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(file_, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) give_up(errno);
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
}

void NewFile::flush() {
    if (::fsync(file_) != 0 && errno != EINVAL) give_up(errno);
    const int closed = ::close(std::exchange(file_, -1));
    if (closed != 0) give_up(errno);
}

void NewFile::take_place() {
    const auto moved = [&] { return ::rename(made_.c_str(), path_.c_str()) == 0; };
    // where nothing may be replaced a link tells whether something is there; not every file system has links
    const bool linked = !how_.replaces && ::link(made_.c_str(), path_.c_str()) == 0;
    if (linked)
        ::unlink(made_.c_str());
    else if ((!how_.replaces && errno == EEXIST) || !moved())
        give_up(errno);
    made_.clear();
    note_unfinished({});
    last_put_ = path_;
}

const std::string& NewFile::last_put() noexcept {
    return last_put_;
}

void NewFile::put() {
    flush();
    check_place(path_, how_);
    if (how_.over == Over::ledger) check_no_journal(path_, how_);
    take_place();
    if (const int fault = store::sync_folder_of(path_); fault != 0)
        throw Error(
            how_.fault,
            fmt::format("{} is written, but the disk failed before it was safe: {}", path_, std::strerror(fault)),
            "look at the disk, and whether the file is whole, before you rely on it");
}

void NewFile::give_up(int fault) const {
    throw Error(how_.fault, fmt::format("{} cannot be written: {}", path_, std::strerror(fault)),
                fault == EFBIG ? "raise the limit on the size of files (ulimit -f)"
                               : "look at who may write there, and whether the disk is full");
}

void NewFile::remove_unfinished() noexcept {
    if (unfinished[0] != '\0') ::unlink(unfinished.data());
}

} // namespace lotwort
