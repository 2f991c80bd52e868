// A full or failing disk, for one program, loaded ahead of the C library. It lets ledgers and their journals grow by
// as many bytes as FULL_DISK_ROOM says. What would grow them further it answers as a full disk does (ENOSPC). What is
// written over bytes that are there already goes through, as it does on a disk without room. With BAD_DISK_READ=N the
// Nth reading of a ledger fails (EIO), with BAD_DISK_FLUSH each flush of a folder.
#include <cerrno>
#include <cstdlib>
#include <dlfcn.h>
#include <string>
#include <string_view>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

namespace {

off64_t& room() {
    static off64_t left = [] {
        const char* text = std::getenv("FULL_DISK_ROOM");
        return text == nullptr ? off64_t{1} << 60 : static_cast<off64_t>(std::atoll(text));
    }();
    return left;
}

bool is_of_a_ledger(int file) {
    char path[4096];
    const std::string link = "/proc/self/fd/" + std::to_string(file);
    const ssize_t size = readlink(link.c_str(), path, sizeof path);
    return size > 0 &&
           std::string_view(path, static_cast<std::size_t>(size)).find(".lotwort") != std::string_view::npos;
}

// How many of `count` bytes at `from` the disk takes; what is taken leaves so much less room.
std::size_t taken(int file, std::size_t count, off64_t from) {
    struct stat64 now {};
    if (!is_of_a_ledger(file) || fstat64(file, &now) != 0) return count;
    const off64_t growth = from + static_cast<off64_t>(count) - now.st_size;
    if (growth <= 0) return count;
    const off64_t missing = growth > room() ? growth - room() : 0;
    room() -= growth - missing;
    return missing >= static_cast<off64_t>(count) ? 0 : count - static_cast<std::size_t>(missing);
}

ssize_t no_room() {
    errno = ENOSPC;
    return -1;
}

bool is_folder(int file) {
    struct stat64 status {};
    return fstat64(file, &status) == 0 && S_ISDIR(status.st_mode);
}

int number_in(const char* variable) {
    const char* text = std::getenv(variable);
    return text == nullptr ? 0 : std::atoi(text);
}

template <class Function>
Function real(const char* name) {
    return reinterpret_cast<Function>(dlsym(RTLD_NEXT, name));
}

} // namespace

extern "C" {

ssize_t pread64(int file, void* bytes, std::size_t count, off64_t from) {
    static const auto next = real<ssize_t (*)(int, void*, std::size_t, off64_t)>("pread64");
    static const int bad = number_in("BAD_DISK_READ");
    static int readings = 0;
    if (bad != 0 && is_of_a_ledger(file) && ++readings == bad) {
        errno = EIO;
        return -1;
    }
    return next(file, bytes, count, from);
}

ssize_t pread(int file, void* bytes, std::size_t count, off_t from) {
    return pread64(file, bytes, count, from);
}

int fsync(int file) {
    static const auto next = real<int (*)(int)>("fsync");
    if (std::getenv("BAD_DISK_FLUSH") == nullptr || !is_folder(file)) return next(file);
    errno = EIO;
    return -1;
}

int fdatasync(int file) {
    static const auto next = real<int (*)(int)>("fdatasync");
    return is_folder(file) ? fsync(file) : next(file);
}

ssize_t pwrite64(int file, const void* bytes, std::size_t count, off64_t from) {
    static const auto next = real<ssize_t (*)(int, const void*, std::size_t, off64_t)>("pwrite64");
    const std::size_t some = taken(file, count, from);
    return some == 0 && count > 0 ? no_room() : next(file, bytes, some, from);
}

ssize_t pwrite(int file, const void* bytes, std::size_t count, off_t from) {
    return pwrite64(file, bytes, count, from);
}

ssize_t write(int file, const void* bytes, std::size_t count) {
    static const auto next = real<ssize_t (*)(int, const void*, std::size_t)>("write");
    const off64_t from = is_of_a_ledger(file) ? lseek64(file, 0, SEEK_CUR) : 0;
    const std::size_t some = taken(file, count, from < 0 ? 0 : from);
    return some == 0 && count > 0 ? no_room() : next(file, bytes, some);
}

int ftruncate64(int file, off64_t size) {
    static const auto next = real<int (*)(int, off64_t)>("ftruncate64");
    struct stat64 now {};
    if (is_of_a_ledger(file) && fstat64(file, &now) == 0 && size > now.st_size) {
        if (size - now.st_size > room()) return static_cast<int>(no_room());
        room() -= size - now.st_size;
    }
    return next(file, size);
}

int ftruncate(int file, off_t size) {
    return ftruncate64(file, size);
}

} // extern "C"
