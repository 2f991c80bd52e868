// The malts of a brew: what was weighed, what was meant, and what of the first stood in for what lacked.
#pragma once

#include <lotwort/brew/forecast.hpp>
#include <lotwort/brew/learned.hpp>
#include <lotwort/infer/explain.hpp>
#include <optional>
#include <vector>

namespace lotwort::infer_detail {

struct MaltSum {
    double mass_kg = 0.0, moisture_kg = 0.0, certified_kg = 0.0; // the last: extract by the certificates
    void add(const PlannedMalt& malt);
};

struct Grist {
    std::vector<PlannedMalt> malts;
    std::vector<char> stands_in; // of each malt
    MaltSum meant, stand_in;     // of the recipe's own items; of others in their place
    void add(const UsedLot& used, Kilograms mass, Date day, bool is_stand_in);
    [[nodiscard]] double certified_kg() const { return meant.certified_kg + stand_in.certified_kg; }
};

[[nodiscard]] Grist weighed_grist(const ReconcileInput& in);

// What the plan promised of the recipe's grist, whether or not it was used; none where one of its lots is not known.
[[nodiscard]] std::optional<Grist> planned_grist(const ExplainRequest& request);

// True extract expected: certified times exp of the mean of what is learned of the malts, by extract, as the forecast
// has it (brew/forecast.hpp). The balance knows the extract of all malts together. What it differs by from what was
// expected of them falls to the stand-ins by their share of its variance (the mean of a Gaussian given its sum); sd_kg
// is what that leaves open.
struct ExtractSplit {
    double all_kg = 0.0, all_sd_kg = 0.0; // weighing and malts
    double meant_kg = 0.0;                // of it, that of the malts meant
    double meant_factor = 1.0;            // over their certified extract
    double share = 0.0;                   // the stand-ins', of any difference
    double sd_kg = 0.0;
    [[nodiscard]] double stand_in_kg() const { return all_kg - meant_kg; }
};
[[nodiscard]] ExtractSplit extract_split(const Grist& grist, const std::optional<Learned>& learned);

} // namespace lotwort::infer_detail
