// The answer of `lotwort trace`: one step back and one step forward, with amounts, as a recall needs it.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/brew/package.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/movement.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// What went from a lot into a brew, or out of stock some other way, at one stroke.
struct TraceStep {
    Movement movement;
    std::string recipe; // of the brew; empty where it went into none
};

struct TracedLot {
    LotState state;
    std::vector<TraceStep> steps; // all that stands but the receipt, by day
};

// What was made of the lots asked for, one in another: a lot or a brew, and what it was reached by.
struct Reached {
    std::string of; // a lot's code or a brew's
    std::optional<TracedLot> lot;
    std::optional<Brew> brew;
    bool beside = false; // a brew run into the fermenter of brew `of`
};

// A run of packages, and the brew or the lot of priming sugar that it was reached by.
struct ReachedPackage {
    std::string of;
    Package package;
};

// A brew's step back: what it was made of.
struct TracedPart {
    Addition addition;
    Lot lot;
};

struct TracedBrew {
    Brew brew;
    std::vector<TracedPart> parts;
    std::vector<Lot> harvested; // yeast taken from it
    BrewCost cost;
    std::vector<Package> packages; // out of its fermenter
};

// Lots (one, or all of one supplier's lot), a brew, or a run of packages.
struct TraceAnswer {
    std::string asked;
    bool by_supplier_lot = false;
    std::vector<TracedLot> lots;
    std::vector<Reached> reached;         // from the lots; else what the beer was made of
    std::vector<ReachedPackage> packages; // from the lots
    std::optional<TracedBrew> brew;
    std::optional<Package> package;
    Date today;
    std::optional<Booked> booked; // a hold or a release
};

[[nodiscard]] std::string trace_text(const TraceAnswer& answer);
[[nodiscard]] std::string
trace_csv(const TraceAnswer& answer); // a line for each lot and brew that met, lots made of others too
[[nodiscard]] std::string trace_json(const TraceAnswer& answer); // lotwort/trace/1

} // namespace lotwort::report
