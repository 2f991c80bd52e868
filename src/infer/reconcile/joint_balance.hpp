// The balances of all mashes and brews of a model at one state, with slopes towards every unknown.
//
// Each mash is differentiated by its own six unknowns, each kettle by what runs into it and its own four, each
// fermenter by the mass and the extract in it; the chain rule ties them. A brew of one mash has ten unknowns; two
// mashes into one kettle sixteen; two brews into one fermenter twenty.
#pragma once

#include "brew_model.hpp"
#include <Eigen/Core>
#include <vector>

namespace lotwort::infer_detail {

inline constexpr std::size_t mash_unknowns = 6, kettle_unknowns = 4;
inline constexpr int most_unknowns = 64;

// Where the unknowns of a mash and of a kettle stand in theta: brew after brew, its mashes, then its kettle. In a mash:
// strike, sparge, X, D, R, K; in a kettle: boil-off, loss, top-up, kettle liquor.
class UnknownsOf {
public:
    explicit UnknownsOf(const BrewModel& model);
    [[nodiscard]] Eigen::Index count() const { return count_; }
    [[nodiscard]] Eigen::Index mash(std::size_t brew, std::size_t mash) const {
        return first_[brew] + static_cast<Eigen::Index>(mash_unknowns * mash);
    }
    [[nodiscard]] Eigen::Index kettle(std::size_t brew) const {
        return first_[brew + 1] - static_cast<Eigen::Index>(kettle_unknowns);
    }

private:
    std::vector<Eigen::Index> first_; // of each brew, and one past the last
    Eigen::Index count_ = 0;
};

// Never on the heap: a brew's equations are evaluated some hundred times.
using Gradient = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, most_unknowns, 1>;

struct Traced {
    double value = 0.0;
    Gradient slope;
};
[[nodiscard]] Traced operator+(Traced a, const Traced& b);
[[nodiscard]] Traced operator/(const Traced& a, const Traced& b);

class JointBalance {
public:
    using MashDual = Dual<mash_unknowns>;
    using KettleDual = Dual<2 + kettle_unknowns>; // run-off mass, run-off extract, then the kettle's own
    struct Mash {
        MashState<MashDual> state;
        MashBalance<MashDual> balance;
    };
    struct Kettle {
        KettleState<KettleDual> state;
        KettleBalance<KettleDual> balance;
    };

    // Keeps references to both.
    JointBalance(const BrewModel& model, const UnknownsOf& unknowns, const Eigen::VectorXd& theta);

    // Whether the state is a brew at all, however unlikely: liquor and wort there, nothing thicker than syrup. Outside,
    // the density polynomial means nothing, and the balances are not worked out.
    [[nodiscard]] bool is_a_brew() const { return is_a_brew_; }

    // What the equation's left side would read, in its own scale.
    [[nodiscard]] Traced predicted(const BrewEquation& equation) const;

    // A quantity of one mash or kettle with its slopes; a sum over a brew's mashes.
    [[nodiscard]] Traced of_mash(std::size_t brew, std::size_t mash, const MashDual& x) const;
    [[nodiscard]] Traced of_kettle(std::size_t brew, const KettleDual& x) const;
    template <class Member>
    [[nodiscard]] Traced sum_of_mashes(std::size_t brew, Member member) const {
        Traced sum = of_mash(brew, 0, member(mashes_[brew][0]));
        for (std::size_t m = 1; m < mashes_[brew].size(); ++m) sum = sum + of_mash(brew, m, member(mashes_[brew][m]));
        return sum;
    }
    [[nodiscard]] const std::vector<Mash>& mashes(std::size_t brew) const { return mashes_[brew]; }
    [[nodiscard]] const Kettle& kettle(std::size_t brew) const { return kettles_[brew]; }

    // The fermenter once brews 0 to `last` have run in: litres at 20 C and extract fraction.
    struct Fermenter {
        Traced litres, fraction, gravity_sg;
    };
    [[nodiscard]] Fermenter fermenter(std::size_t last) const;

private:
    [[nodiscard]] Traced of_fermenter(std::size_t last, const Dual<2>& x) const;
    [[nodiscard]] Dual<2> fermenter_mass(std::size_t last) const;
    [[nodiscard]] Dual<2> fermenter_extract(std::size_t last) const;

    const UnknownsOf& unknowns_;
    std::vector<std::vector<Mash>> mashes_;
    std::vector<Kettle> kettles_;
    bool is_a_brew_ = true;
};

} // namespace lotwort::infer_detail
