// What did happen: the balances of one brew against its readings, solved by generalised least squares.
//
// A brewer knows the kettle's marks to half a litre and the hydrometer to half a point, and boils off three litres an
// hour more or less. That makes five readings where nine quantities matter. Each reading and each expectation becomes
// an equation with its uncertainty. The balances of extract and of water tie them. What comes out is every quantity
// with its interval, whether the readings agree, and which one is odd. Method: docs/methods/reconcile.md.
#pragma once

#include <lotwort/infer/reconciliation.hpp>

namespace lotwort {

// about: the efficiency that measure_next serves (conversion, lauter, kettle_yield, transfer, brewhouse).
//
// Error(refused): another `about`; a lot of the brew that is not among input.lots; a figure outside the range of its
// field or that is no number; a record that breaks a rule of its kind (brew/rules.hpp). A brew without malt, readings
// that contradict each other and readings that no brew can have given are answers. An example:
// examples/library/one_brew.cpp.
[[nodiscard]] Reconciliation reconcile(const ReconcileInput& input, const std::string& about = "brewhouse");

} // namespace lotwort
