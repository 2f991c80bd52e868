// Readings that make sense one by one, and not beside each other: asked about before they are booked.
#pragma once

#include "readings.hpp"
#include <string>
#include <vector>

namespace lotwort::verbs {

// What is said now, beside what stands.
struct ReadNow {
    const std::vector<Reading>& fresh;
    const std::vector<Reading>& standing;
    int brews_in_fermenter = 1;
};

// A fermenter that is warmer than any yeast bears, or more litres in it than in the full kettle with a weaker gravity:
// the lines may be swapped.
void doubt_swapped(const Call& call, const ReadingPlace& place, const ReadNow& read);

// Two like readings of the fermenter, each about half of what the brew was to give: two halves, or read twice?
void doubt_halves(const Call& call, const ReadingPlace& place, const ReadNow& read, Litres meant);

// A gravity in the fermenter on a later day that is below the wort's by more than both may be out: it ferments.
void doubt_fermenting(const Call& call, const ReadingPlace& place, const ReadNow& read,
                      const std::optional<Recipe>& recipe);

// Of liquor that is booked behind a reading of what it went into: what it comes to with it, and what to type where the
// reading had it in already.
[[nodiscard]] std::vector<std::string> liquor_remarks(const ReadingPlace& place, const ReadNow& read);

} // namespace lotwort::verbs
