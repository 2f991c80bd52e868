// Books nobody would write by hand: every field of every record now present, now absent, at the ends of its
// range and in between, names in many scripts, all references in order.
#pragma once

#include <cstdint>
#include <lotwort/brew/book.hpp>

namespace lotwort::test {

// The same book for the same seed, on every machine. It passes every check of the exchange file.
[[nodiscard]] Book generated_book(std::uint64_t seed);

} // namespace lotwort::test
