// Numbers drawn by a seed, the same on every machine.
#pragma once

#include <random>

namespace lotwort::test {

class Chance {
public:
    explicit Chance(unsigned seed) : engine_(seed) {}
    int draw(int low, int high) { return low + static_cast<int>(engine_() % static_cast<unsigned>(high - low + 1)); }
    bool once_in(int n) { return draw(1, n) == 1; }
    double of(double low, double high) { return low + (high - low) * double(engine_() % 100001U) / 1e5; }

protected:
    std::mt19937 engine_;
};

} // namespace lotwort::test
