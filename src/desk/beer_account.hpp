// Beer of a period by month: brewed, packaged, lost, in tanks.
//
// A brew's litres are what its fermenter held after it, at 20 °C, less what the brews before it brought; a run's what
// its packages hold. A fermenter is taken to be empty from the run on that leaves no more than a tenth of it: the rest
// was yeast and trub, and is lost that day. What a brew that was given up had brought is lost on its day.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/report/statement.hpp>

namespace lotwort {

// Adds the months and what is to be said of them.
void add_beer(report::Statement& statement, Ledger& ledger);

} // namespace lotwort
