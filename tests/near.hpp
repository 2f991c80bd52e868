// A figure that is to come out near another: |figure - value| <= relative * |value| + absolute.
//
// The test library's own comparison allows relative * (1 + the larger one), which takes almost anything for a figure far
// below 1: here a relative tolerance is one, and a value of 0 wants an absolute one said.
#pragma once

#include <cmath>
#include <concepts>
#include <ostream>

namespace lotwort::test {

struct Near {
    double value = 0.0;
    double within = 0.0;

    template <class Figure>
    requires std::convertible_to<Figure, double>
    friend bool operator==(const Figure& figure, const Near& near) {
        return std::abs(static_cast<double>(figure) - near.value) <= near.within; // a NaN is near nothing
    }
    friend std::ostream& operator<<(std::ostream& out, const Near& near) {
        const auto before = out.precision(12);
        out << near.value << " +- " << near.within;
        out.precision(before);
        return out;
    }
};

// As figures are printed, to five digits, unless said.
inline Near near(double value, double relative = 1e-5, double absolute = 0.0) {
    return {value, relative * std::abs(value) + absolute};
}

} // namespace lotwort::test
