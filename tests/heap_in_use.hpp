// What a test holds in memory at this moment: where it should not grow with a file, it is looked at while the file is
// read.
#pragma once

#include <algorithm>
#include <cstddef>
#include <malloc.h>

namespace lotwort::test {

// Bytes handed out and not given back. Nothing is known of it where an allocator of a sanitizer stands in.
[[nodiscard]] inline std::size_t heap_in_use() {
    const auto info = ::mallinfo2();
    return info.uordblks + info.hblkhd;
}

// The most of several looks, beyond what was there at the beginning.
class MostInUse {
public:
    void look() { most_ = std::max(most_, heap_in_use()); }
    [[nodiscard]] std::size_t beyond_beginning() const { return most_ - begin_; }

private:
    std::size_t begin_ = heap_in_use();
    std::size_t most_ = begin_;
};

} // namespace lotwort::test
