#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/temporary_file.hpp>
#include <sys/mman.h>
#include <unistd.h>
#include <vector>

namespace lotwort {

namespace {

// /var/tmp before /tmp: the latter is a piece of memory on many machines.
std::vector<std::string> folders() {
    std::vector<std::string> folders{"/var/tmp", "/tmp"};
    if (const char* named = std::getenv("TMPDIR"); named != nullptr && *named != '\0')
        folders.insert(folders.begin(), named);
    return folders;
}

} // namespace

TemporaryFile::TemporaryFile() {
    for (const std::string& folder : folders()) {
        if (folder_.empty()) folder_ = folder;
        std::string name = folder + "/lotwort-XXXXXX";
        file_ = ::mkostemp(name.data(), O_CLOEXEC);
        if (file_ < 0) continue;
        ::unlink(name.c_str());
        folder_ = folder;
        return;
    }
    fail("cannot be written");
}

TemporaryFile::~TemporaryFile() {
    if (mapped_ != nullptr) ::munmap(mapped_, size_);
    if (file_ >= 0) ::close(file_);
}

void TemporaryFile::fail(std::string_view what) const {
    throw Error(ErrorKind::refused,
                fmt::format("the folder for temporary files, {}, {}: {}", folder_, what, std::strerror(errno)),
                "nothing was booked: make room there, or name another folder with TMPDIR");
}

void TemporaryFile::append(std::string_view bytes) {
    LOTWORT_CHECK(mapped_ == nullptr);
    while (!bytes.empty()) {
        const ssize_t written = ::write(file_, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) fail("cannot be written");
        size_ += static_cast<std::uint64_t>(written);
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
}

std::size_t TemporaryFile::read(std::uint64_t at, char* to, std::size_t room) const {
    std::size_t got = 0;
    while (got < room) {
        const ssize_t read = ::pread(file_, to + got, room - got, static_cast<off_t>(at + got));
        if (read < 0 && errno == EINTR) continue;
        if (read < 0) fail("cannot be read");
        if (read == 0) break;
        got += static_cast<std::size_t>(read);
    }
    return got;
}

std::string_view TemporaryFile::map() {
    if (size_ == 0) return {};
    if (mapped_ == nullptr) {
        void* const mapped = ::mmap(nullptr, size_, PROT_READ, MAP_PRIVATE, file_, 0);
        if (mapped == MAP_FAILED) fail("cannot be read");
        mapped_ = mapped;
    }
    return {static_cast<const char*>(mapped_), size_};
}

void TemporaryFile::forget(std::size_t before) const {
    if (mapped_ == nullptr) return;
    const auto page = static_cast<std::size_t>(::sysconf(_SC_PAGESIZE));
    (void)::madvise(mapped_, before / page * page, MADV_DONTNEED); // a hint: where it is not taken, all is as it was
}

} // namespace lotwort
