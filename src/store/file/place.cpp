#include "place.hpp"
#include <array>
#include <cerrno>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/shell_word.hpp>
#include <sys/stat.h>
#include <sys/vfs.h>
#include <unistd.h>

namespace lotwort::store {

namespace fs = std::filesystem;

namespace {

// `lotwort stock >> LEDGER`: the answer would be written into it.
bool is_standard_output(const std::string& path) {
    struct stat ledger {
    }, output{};
    return ::stat(path.c_str(), &ledger) == 0 && ::fstat(STDOUT_FILENO, &output) == 0 &&
           ledger.st_dev == output.st_dev && ledger.st_ino == output.st_ino;
}

} // namespace

void demand_file(const std::string& path) {
    std::error_code error;
    const auto status = fs::status(path, error);
    if (error && error != std::errc::no_such_file_or_directory && error != std::errc::not_a_directory)
        throw Error(ErrorKind::ledger, fmt::format("the ledger {} cannot be opened: {}", path, error.message()),
                    "look at who may read it, or name another file with --ledger");
    if (!fs::exists(status))
        throw Error(ErrorKind::ledger, fmt::format("there is no ledger {}", path),
                    "`lotwort init` makes one; --ledger PATH or LOTWORT_LEDGER names another");
    if (fs::is_directory(status))
        throw Error(ErrorKind::ledger, fmt::format("{} is no ledger, it is a folder", path),
                    "name a file in it with --ledger");
    if (!fs::is_regular_file(status))
        throw Error(ErrorKind::ledger, fmt::format("{} is no ledger, it is no plain file", path),
                    "name the right file with --ledger");
    if (::access(path.c_str(), R_OK) != 0)
        throw Error(ErrorKind::ledger, fmt::format("the ledger {} cannot be read", path),
                    "look at who may read it, or name another file with --ledger");
    const bool is_empty = fs::file_size(path, error) == 0;
    if (is_standard_output(path))
        throw Error(ErrorKind::ledger, fmt::format("standard output goes into the ledger {} itself", path),
                    is_empty ? "the shell has emptied it for that: put a backup in its place, and name another file"
                             : "name another file");
    if (is_empty)
        throw Error(ErrorKind::ledger, fmt::format("{} is no ledger, it is empty", path),
                    fmt::format("name the right file with --ledger, or remove it and make a ledger with "
                                "`lotwort init --ledger {}`",
                                shell_word(path)));
}

void remove_quietly(const std::string& path) noexcept {
    std::error_code ignored;
    fs::remove(path, ignored);
    fs::remove(path + "-journal", ignored);
}

int sync_folder_of(const std::string& path) {
    const auto folder = fs::absolute(path).parent_path();
    const int file = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (file < 0) return errno;
    const int fault = ::fsync(file) == 0 ? 0 : errno;
    ::close(file);
    // a folder of some file systems cannot be flushed: the rename is then as sure as they make it
    return fault == EINVAL ? 0 : fault;
}

bool is_ledger(const std::string& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (file < 0) return false;
    std::array<char, 72> head{};
    struct stat status {};
    const bool read = ::fstat(file, &status) == 0 && S_ISREG(status.st_mode) &&
                      ::pread(file, head.data(), head.size(), 0) == static_cast<ssize_t>(head.size());
    ::close(file);
    const std::string_view bytes(head.data(), head.size());
    return read && bytes.starts_with(std::string_view("SQLite format 3", 16)) && bytes.substr(68) == "LoTT";
}

std::string_view network_name(std::uint64_t type) {
    switch (type) { // the numbers of linux/magic.h and of the file systems' own sources
    case 0x6969:
        return "NFS";
    case 0x517B:
    case 0xFE534D42:
    case 0xFF534D42:
        return "SMB";
    case 0x5346414F:
    case 0x6B414653:
        return "AFS";
    case 0x00C36400:
        return "Ceph";
    case 0x01021997:
        return "9P";
    case 0x65735546:
        return "FUSE";
    default:
        return {};
    }
}

std::string_view network_under(const std::string& path) {
    struct statfs found {};
    const auto folder = fs::absolute(path).parent_path();
    if (::statfs(folder.c_str(), &found) != 0) return {};
    return network_name(static_cast<std::uint64_t>(found.f_type) & 0xFFFFFFFFU);
}

bool same_file(const std::string& a, const std::string& b) {
    std::error_code ignored;
    return fs::equivalent(a, b, ignored);
}

} // namespace lotwort::store
