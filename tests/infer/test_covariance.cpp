// The errors of a brew's equations share parts with one another: whatever they are, the matrix of them is a covariance.
#include "../../src/infer/reconcile/brew_problem.hpp"
#include "near.hpp"
#include "simulated_brew.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <Eigen/Cholesky>
#include <fmt/format.h>
#include <lotwort/infer/learn.hpp>
#include <random>

using namespace lotwort;
using namespace lotwort::test;
using infer_detail::BrewEquation;

namespace {

// Some equations with errors from none to huge, of a few sources and instruments that they share as chance has it.
std::vector<BrewEquation> some_equations(std::mt19937& chance) {
    const auto below = [&](int count) { return std::uniform_int_distribution<int>(0, count - 1)(chance); };
    const auto size = [&] { return below(4) == 0 ? 0.0 : std::pow(10.0, below(12) - 6.0); };
    std::vector<BrewEquation> equations(static_cast<std::size_t>(2 + below(12)));
    for (auto& e : equations) {
        e.own_sd = size();
        if (below(2) == 0) {
            e.instrument = fmt::format("instrument {}", below(3));
            e.bias_sd = size();
        }
        for (int source = 0; source < 4; ++source)
            if (below(2) == 0) e.shared.push_back({fmt::format("lot {}", source), size()});
        if (e.sd() == 0.0) e.own_sd = 1e-5; // as brew_model keeps it
    }
    return equations;
}

// Two brews of the same lot into one fermenter.
LearnRequest double_batch() {
    auto first = simulate({}), second = simulate({.conversion = 0.91, .boil_off_l_per_h = 3.4});
    for (auto* brew : {&first, &second}) {
        read_everything(*brew);
        std::erase_if(brew->input.brew.readings, [](const Reading& r) { return r.point == ReadingPoint::fermenter; });
    }
    second.input.brew.code = "B2";
    second.input.brew.fermented_with = "B1";
    LearnRequest request;
    auto one = first.input, two = second.input;
    one.later_in_fermenter = {second.input};
    two.earlier_in_fermenter = {first.input};
    request.brews = {one, two};
    return request;
}

} // namespace

TEST_CASE("whatever errors equations share, their matrix is a covariance") {
    std::mt19937 chance(20260314);
    for (int i = 0; i < 2000; ++i) {
        const auto equations = some_equations(chance);
        const Eigen::MatrixXd sigma = infer_detail::covariance_of(equations);
        CAPTURE(i);
        CHECK(Eigen::LLT<Eigen::MatrixXd>(sigma).info() == Eigen::Success);
        for (std::size_t k = 0; k < equations.size(); ++k) {
            const auto at = static_cast<Eigen::Index>(k);
            CHECK(std::sqrt(sigma(at, at)) == near(equations[k].sd(), 1e-6));
        }
    }
}

TEST_CASE("a double batch of one lot in one fermenter teaches: both brews, and neither stops the other") {
    const auto learned = learn(double_batch());
    CHECK(learned.levels.size() == 2);
    for (const auto& remark : learned.remarks) CHECK(remark.find("teaches nothing") == std::string::npos);
    REQUIRE(learned.lots.size() == 1);
    CHECK(learned.lots.front().uses == 2);
    CHECK(std::abs(learned.lots.front().difference.value) < 0.02); // both brews are near what is expected
}
