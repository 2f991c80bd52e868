// A purchase written out whole: every offer on every day, none left out because it would not pay. A model of its own,
// that shares with the one it is held against nothing but the solver.
#pragma once

#include <lotwort/plan/purchase.hpp>

namespace lotwort::test {

// Two or three items of one or two suppliers over a week or two. Drawn by the seed: lead times by offer, closed
// days, delivery, minimum, free delivery, price steps, shelf lives, last days, ageing, stock, safety, holding, a cap on
// what is left, a budget.
[[nodiscard]] plan::PurchaseCase mixed_purchase(unsigned seed);

struct WholeAnswer {
    bool in_time = false; // all needs and safety stocks can be met
    double cost = 0.0;    // the least, if so
};
[[nodiscard]] WholeAnswer whole_answer(const plan::PurchaseCase& wanted);

} // namespace lotwort::test
