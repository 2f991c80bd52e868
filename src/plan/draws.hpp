// Choices as if by chance, always the same ones: a search that tries here and there stays a function of its question.
#pragma once

#include <cstddef>
#include <cstdint>

namespace lotwort::plan {

// Splitmix64 (Steele, Lea and Flood 2014, OOPSLA, Fast splittable pseudorandom number generators).
class Draws {
public:
    explicit Draws(std::uint64_t seed) : state_(seed) {}
    std::uint64_t next() {
        std::uint64_t z = (state_ += 0x9e3779b97f4a7c15U);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
        return z ^ (z >> 31);
    }
    // 0 to 1, 1 left out
    double share() { return static_cast<double>(next() >> 11) * 0x1p-53; }
    // 0 to n - 1; n is small beside 2^64
    std::size_t below(std::size_t n) { return static_cast<std::size_t>(next() % n); }

private:
    std::uint64_t state_;
};

} // namespace lotwort::plan
