#include "place.hpp"
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <sys/vfs.h>
#include <unistd.h>

namespace lotwort::store {

namespace {

[[noreturn]] void fail(std::string_view what, const std::string& path) {
    throw Error(ErrorKind::ledger, fmt::format("{} {}: {}", what, path, std::strerror(errno)),
                "look at who may write there, and whether the disk is full");
}

void sync(const std::string& path, int flags) {
    const int file = ::open(path.c_str(), flags | O_CLOEXEC);
    if (file < 0) fail("cannot open", path);
    const int synced = ::fsync(file);
    const int error = errno;
    ::close(file);
    errno = error;
    // a folder of some file systems cannot be flushed: the rename is then as sure as they make it
    if (synced != 0 && error != EINVAL) fail("cannot write", path);
}

} // namespace

std::string beside(const std::string& path) {
    return fmt::format("{}.new-{}", path, ::getpid());
}

void remove_quietly(const std::string& path) noexcept {
    std::error_code ignored;
    std::filesystem::remove(path, ignored);
    std::filesystem::remove(path + "-journal", ignored);
}

void sync_file(const std::string& path) {
    sync(path, O_RDONLY);
}

void sync_folder_of(const std::string& path) {
    sync(std::filesystem::absolute(path).parent_path(), O_RDONLY | O_DIRECTORY);
}

bool put_new(const std::string& made, const std::string& path) {
    if (::link(made.c_str(), path.c_str()) == 0) {
        ::unlink(made.c_str());
        return true;
    }
    if (errno == EEXIST) return false;
    // no hard links here: look, then rename
    std::error_code ignored;
    if (std::filesystem::exists(std::filesystem::symlink_status(path, ignored))) return false;
    put_over(made, path);
    return true;
}

void put_over(const std::string& made, const std::string& path) {
    if (::rename(made.c_str(), path.c_str()) != 0) fail("cannot write", path);
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
    const auto folder = std::filesystem::absolute(path).parent_path();
    if (::statfs(folder.c_str(), &found) != 0) return {};
    return network_name(static_cast<std::uint64_t>(found.f_type) & 0xFFFFFFFFU);
}

bool same_file(const std::string& a, const std::string& b) {
    std::error_code ignored;
    return std::filesystem::equivalent(a, b, ignored);
}

} // namespace lotwort::store
