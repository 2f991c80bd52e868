// Whether forecasts can be trusted: what the day before would have been foretold of each brew, against what came.
//
// It is of what was weighed, with the liquor that was poured (where that was not read, for the recipe's volume). It
// uses what was learned from the brews before it alone. Nothing that was read, analysed or booked for a later day is
// in it. The brewhouse's and the instruments' stated figures are as they stand now. What came is what was read in the
// fermenter, at 20 °C. The interval that it is compared with has the reading's own scatter in it too. A brew of
// several mashes, one that shares its fermenter or was topped up, and one before which nothing was learned are left
// out. Method, and what was measured: docs/methods/learn.md.
#pragma once

#include <lotwort/infer/learning.hpp>

namespace lotwort {

// A figure foretold, and what was read of it. The estimate is of the reading.
struct ForetoldFigure {
    Estimate foretold;
    double came = 0.0;
    [[nodiscard]] bool held() const { return foretold.low <= came && came <= foretold.high; }
};

struct ForetoldBrew {
    std::string brew, brewhouse;
    Date date;
    int learned_from = 0; // brews before it
    std::optional<ForetoldFigure> gravity_sg, volume_l;
};

struct ForecastScore {
    std::vector<ForetoldBrew> brews; // in brew order
};

// How the forecasts of one figure did.
struct FigureScore {
    int of = 0, held = 0;                     // 90 % intervals
    double mean_error = 0.0, rms_error = 0.0; // foretold less came
};
[[nodiscard]] FigureScore score_of(const ForecastScore& score, std::optional<ForetoldFigure> ForetoldBrew::*figure);

// Of the last so many brews of which a forecast can be held against a reading. What is learned goes on from brew to
// brew. How far brews and lots scatter, and whether something changed, is found anew where the brews have become a
// fifth more since. All is learned from the latest 150 before a brew alone, so that 1,000 brews take no longer than
// 200.
[[nodiscard]] ForecastScore score_forecasts(const LearnRequest& request, int last);

} // namespace lotwort
