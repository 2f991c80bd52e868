#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/distributions.hpp>

namespace lotwort::stats {

double chi_square_upper_tail(double x, int degrees) {
    LOTWORT_CHECK(degrees >= 1 && x >= 0.0);
    return cdf(complement(boost::math::chi_squared(degrees), x));
}

double chi_square_quantile(double p, int degrees) {
    LOTWORT_CHECK(degrees >= 1 && p > 0.0 && p < 1.0);
    return quantile(boost::math::chi_squared(degrees), p);
}

double normal_quantile(double p) {
    LOTWORT_CHECK(p > 0.0 && p < 1.0);
    return quantile(boost::math::normal(), p);
}

} // namespace lotwort::stats
