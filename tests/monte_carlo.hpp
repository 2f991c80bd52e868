// What a figure does when its inputs are drawn at random: the judge of what slopes say of its uncertainty.
#pragma once

#include <array>
#include <cmath>
#include <random>

namespace lotwort::test {

inline constexpr unsigned long long draw_seed = 20241103;

// Normal numbers by hand (Box and Muller): the library's distributions differ from one compiler to another.
class Normal {
public:
    explicit Normal(unsigned long long from) : engine_(from) {}
    double operator()() {
        const double u = 1.0 - uniform(), v = uniform();
        return std::sqrt(-2.0 * std::log(u)) * std::cos(6.283185307179586 * v);
    }

private:
    double uniform() { return static_cast<double>(engine_() >> 11) * 0x1.0p-53; }
    std::mt19937_64 engine_;
};

struct Drawn {
    double mean = 0.0;
    double sd = 0.0;
};

template <std::size_t N, class F>
Drawn monte_carlo(F&& f, const std::array<double, N>& x, const std::array<double, N>& sd, int draws) {
    Normal normal(draw_seed);
    double sum = 0.0, squares = 0.0;
    const double origin = f(x); // sums are taken about it, or they would cancel
    for (int i = 0; i < draws; ++i) {
        std::array<double, N> at = x;
        for (std::size_t k = 0; k < N; ++k) at[k] += sd[k] * normal();
        const double y = f(at) - origin;
        sum += y;
        squares += y * y;
    }
    const double mean = sum / draws;
    return {origin + mean, std::sqrt(squares / draws - mean * mean)};
}

} // namespace lotwort::test
