// A file that nobody else sees and that is gone with the program, however it ends: what is too long to be held is laid
// aside in it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace lotwort {

// In TMPDIR, else in /var/tmp, else in /tmp, and removed as soon as it is open. Error(refused), with the folder and
// what to do, where there is no room or it cannot be written or read.
class TemporaryFile {
public:
    TemporaryFile();
    ~TemporaryFile();
    TemporaryFile(const TemporaryFile&) = delete;
    TemporaryFile& operator=(const TemporaryFile&) = delete;

    void append(std::string_view bytes);
    [[nodiscard]] std::uint64_t size() const { return size_; }
    // As many bytes from `at` as there are, at most those that `to` has room for; how many.
    [[nodiscard]] std::size_t read(std::uint64_t at, char* to, std::size_t room) const;
    // All of it as one text, in the computer's memory only as far as it is looked at; nothing may be appended after.
    [[nodiscard]] std::string_view map();
    // Nobody will look at the text before that byte soon: the memory it takes is given back. It can still be read.
    void forget(std::size_t before) const;

private:
    [[noreturn]] void fail(std::string_view what) const;

    std::string folder_;
    int file_ = -1;
    std::uint64_t size_ = 0;
    void* mapped_ = nullptr;
};

} // namespace lotwort
