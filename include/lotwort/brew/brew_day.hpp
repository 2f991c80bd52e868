// What was weighed on the brew day, against what was planned.
//
// A brewer weighs out what the plan says and notes where it came out otherwise: 4.36 kg in the bucket, the last of a
// sack, another lot for the rest. What is not noted went in as planned.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/brew/planned.hpp>
#include <string>
#include <vector>

namespace lotwort {

// The additions that a plan's reservations stand for, in the order of its lines; of a lot one for each place it goes
// to.
[[nodiscard]] std::vector<Addition> planned_additions(const PlannedBrew& planned);

// One note of the brew day. Stage and minutes may be left out where the lot is planned for one place only.
struct Weighing {
    std::string lot;
    Amount amount;
    std::optional<Stage> stage;
    std::optional<Minutes> minutes;
    std::optional<int> mash;        // which of several mashes
    ItemKind kind = ItemKind::malt; // of the lot's item
    bool planned_only = false;      // it corrects a planned weight and is refused where there is none
    std::optional<std::string> instead_of = std::nullopt; // the recipe's item that it stands in for
};

// A planned addition that came out otherwise; weighed may be nothing.
struct Difference {
    Addition planned;
    Amount weighed;
};

struct WeighedIn {
    std::vector<Addition> additions;
    std::vector<Difference> differences;
};

// Notes laid over the plan, in their order. A planned_only note that fits a planned addition (its lot, and its stage
// and minutes where the note says them) takes the place of its weight. Another that fits adds to it. Any other is an
// addition of its own, at the stage that its kind of item goes to: malt to the mash, sugar to the kettle, yeast to
// the fermenter. Error(refused) where a note fits several additions, where the stage of a hop is not said, and where
// a planned_only note fits none.
[[nodiscard]] WeighedIn weigh_in(const std::vector<Addition>& planned, const std::vector<Weighing>& notes);

} // namespace lotwort
