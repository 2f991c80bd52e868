// A parser that is thrown at whatever comes. It may refuse with Error; anything else it throws, a crash or a promise
// that does not hold is a finding.
//
// With clang and -DLOTWORT_FUZZ=ON each target is a libFuzzer program (tests/fuzz/run); in the ordinary test program
// they are plain functions that the corpus is replayed through.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <lotwort/core/error.hpp>
#include <string_view>

#ifdef LOTWORT_LIBFUZZER
#define FUZZ_TARGET(name) extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);
#else
#define FUZZ_TARGET(name) int fuzz_##name(const std::uint8_t* data, std::size_t size)
#endif

namespace lotwort::test {

inline std::string_view as_text(const std::uint8_t* data, std::size_t size) {
    return {reinterpret_cast<const char*>(data), size};
}

// What must hold whatever was read; abort is what libFuzzer and the test both take for a finding.
inline void must(bool holds) {
    if (!holds) std::abort();
}

// Runs `read`; a refusal is an answer, and it says something.
template <class Read>
void may_refuse(Read&& read) {
    try {
        read();
    } catch (const Error& e) {
        must(!std::string_view(e.what()).empty());
    }
}

} // namespace lotwort::test
