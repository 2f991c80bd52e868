// Generated inputs for laws that hold for any wort, hop or scale. Seeds are fixed and printed: a failure comes back.
#pragma once

#include <cmath>
#include <random>

namespace lotwort::test {

inline constexpr unsigned long long seed = 20240917;
inline constexpr int tries = 20000;

// Uniform numbers by hand: the library's distributions differ from one compiler to another.
class Generator {
public:
    explicit Generator(unsigned long long from) : engine_(from) {}
    double between(double low, double high) {
        return low + (high - low) * static_cast<double>(engine_() >> 11) * 0x1.0p-53;
    }
    // 0 to n - 1
    std::size_t one_of(std::size_t n) { return static_cast<std::size_t>(engine_() % n); }

private:
    std::mt19937_64 engine_;
};

inline bool is_near(double a, double b, double within = 1e-9) {
    return std::abs(a - b) <= within; // a NaN is near nothing
}

} // namespace lotwort::test
