// All that was made of lots, as the ledger tells it.
#pragma once

#include <lotwort/report/trace.hpp>
#include <lotwort/store/ledger.hpp>
#include <map>
#include <string>
#include <vector>

namespace lotwort {

// A lot's movements that stand, each with the recipe of its brew; `recipes` keeps those that were read.
[[nodiscard]] report::TracedLot trace_lot(Ledger& ledger, LotState state, std::map<std::string, std::string>& recipes);

// The nearest first, the lots themselves left out (brew/follow.hpp). A brew that gave all of a lot back has none of it.
[[nodiscard]] std::vector<report::Reached> reached_from(Ledger& ledger, const std::vector<std::string>& lots,
                                                        std::map<std::string, std::string>& recipes);

// All that a brew was made of, the nearest first: its lots, what these were put together from, the brews that their
// yeast was harvested from, and on. `run`: of the beer in that run of packages alone; empty: of all of them.
[[nodiscard]] std::vector<report::Reached> made_of(Ledger& ledger, const std::string& brew, const std::string& run,
                                                   std::map<std::string, std::string>& recipes);

// The lots on hold among all that the beer in a run of packages was made of, or a brew's where run is empty.
[[nodiscard]] std::vector<Lot> held_in(Ledger& ledger, const std::string& brew, const std::string& run);

// The runs that hold beer of the brews reached, and those that were primed with a lot, a run once.
[[nodiscard]] std::vector<report::ReachedPackage> packages_reached(Ledger& ledger,
                                                                   const std::vector<report::TracedLot>& lots,
                                                                   const std::vector<report::Reached>& reached);

// Of the brew and all that share its fermenter.
[[nodiscard]] std::vector<Package> packages_of_fermenter(Ledger& ledger, const std::string& brew);

// A lot's code comes before a brew's and this before a run's, a code as typed before one in other capitals, and all
// before a supplier's number. Error(refused) where it is none of them.
[[nodiscard]] report::TraceAnswer traced(Ledger& ledger, const std::string& code);

} // namespace lotwort
