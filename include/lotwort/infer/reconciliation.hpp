// A brew to be reconciled, and what came of it: values alone.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/brew/kit.hpp>
#include <lotwort/brew/recipe.hpp>
#include <lotwort/core/estimate.hpp>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/lot.hpp>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace lotwort {

// A malt or sugar that went in, with its certificate.
struct UsedLot {
    Item item;
    Lot lot;
};

// What other brews, and checks of instruments, lead to expect of a brew before its own readings are looked at: one
// joint Gaussian. docs/methods/learn.md.
struct Elsewhere {
    // How many of `mean` stand before the instruments: brew_figures, or none where the brew is not expected by them.
    // They are ln of the conversion against the true extract, ln of lautering against its expectation, boil-off in
    // L/h, absorption in L/kg, and kettle loss in L without the hops' share. The last is ln of the grist's true
    // extract over what its certificates have.
    static constexpr std::size_t brew_figures = 6;
    std::size_t figures = 0;
    // Lasting errors (read minus true), each counted in what the instrument is stated to err by. A typical instrument
    // is named by its brewhouse and kind.
    std::vector<std::string> instruments;
    std::vector<double> mean, covariance; // row by row
    int brews = 0;                        // others that taught something
};

// So many brews of one mash can share a fermenter and be balanced together (of two mashes each, four).
inline constexpr std::size_t most_in_fermenter = 6;

struct ReconcileInput {
    Brew brew;
    Brewhouse brewhouse;
    std::vector<Instrument> instruments;
    std::map<std::string, UsedLot> lots; // by code, all that the brew's additions name
    std::optional<Recipe> recipe;        // for the boil's time and target volume where the brew has none
    // Brews run into the same fermenter before and after this one, in that order (theirs are empty). A fermenter
    // reading speaks of what had run in by then: the brew it was booked for and those before it.
    std::vector<ReconcileInput> earlier_in_fermenter, later_in_fermenter;
    // Where they are too many for that: how many there are before and after it, and nothing of them. It is then
    // balanced by itself, without what was read in a fermenter that others had run into before.
    std::size_t untied_before = 0, untied_after = 0;
    // What other brews taught (infer/learn.hpp, learned_elsewhere); none: what is stated, and checks, stand alone.
    std::optional<Elsewhere> elsewhere;
};

// The efficiencies of design: D/X, K/D, K/X, F/cast-out extract, F/X, as fractions.
struct Efficiencies {
    Estimated conversion, lauter, kettle_yield, transfer, brewhouse;
};

// One equation: a reading, or an expectation, as it was and as the balance has it.
struct ReconciledEquation {
    std::string id;    // the reading's id, or expect:NAME
    std::string point; // reading point, or the expectation's name
    std::string kind;  // volume, gravity, mass, extract, boil-off, ...
    std::string unit;
    double read = 0.0;                           // in its own unit and scale
    double reconciled = 0.0;                     // what the balance says should have been read
    double sd = 0.0;                             // of the reading (bias included)
    std::optional<double> standardised_residual; // none where nothing else speaks of it
    bool is_expectation = false;
};

struct GlobalTest {
    double statistic = 0.0;
    int degrees_of_freedom = 0;
    std::optional<double> p_value; // none at 0 degrees of freedom
    bool passed = true;            // at 5 %
};

struct Suspect {
    std::string reading; // id
    std::string point;
    std::string kind;
    std::string unit;
    double likely_error = 0.0; // read minus true
    double likely_error_sd = 0.0;
    double p_value = 1.0; // one degree of freedom, uncorrected
    bool is_expectation = false;
    std::vector<std::string> cannot_be_told_from; // ids
    std::vector<std::string> looks_like;          // slips that would explain it, best first, in sentences
    std::string in_reading;  // of liquor that nobody wrote down: the first reading that it would be in; else empty
    bool is_swapped = false; // kettle-full and fermenter look written down the wrong way round
    std::string impossible;  // why no brew can have given it: then likely_error and p_value say nothing; else empty
    Efficiencies efficiencies_without;
    GlobalTest test_without;
};

// A reading not taken that would have lowered the sd of what was asked about.
struct NextReading {
    std::string point;
    std::string kind;
    std::string about; // brewhouse, lauter, ...
    double sd_now = 0.0;
    double sd_then = 0.0;
};

struct Reconciliation {
    std::string brew;
    Efficiencies efficiencies;
    std::vector<std::pair<std::string, Estimated>> quantities; // named as in docs/commands/reconcile.md, in that order
    GlobalTest test;                                           // its degrees of freedom are the redundancy
    std::vector<ReconciledEquation> readings;                  // readings first, then expectations
    // Strongest first; where the test passes only what is impossible.
    std::vector<Suspect> suspects;
    // Ids of what the figures are without: impossible readings, and what no brew fits together with the others.
    std::vector<std::string> answered_without;
    std::vector<NextReading> measure_next; // best first
    int readings_used = 0;
    int others = 0; // brews that what was expected rests on; none: on what is stated
    // "The final gravity (r4, 1.0520) is not below the original (1.0480): ..."; empty where it is, or was not read.
    std::string beyond_original;
    std::optional<double> textbook_yield_pct; // extract collected per mass of grist, 100 F/m
    std::vector<std::string> remarks;         // what was assumed or left out, in sentences
    std::size_t assumed_figures = 0;          // of the brewhouse: typical, neither stated nor taught by brews
    bool has_weights = true;                  // false: no malt is booked for it, and nothing was balanced
};

} // namespace lotwort
