// How open plans keep themselves when something is booked: what they reserve then, and what is said of it.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <string>
#include <vector>

namespace lotwort {

struct PlansKept {
    std::vector<Plan> changed; // as they are to be booked with it, or behind it
    std::string said;          // "P1 takes 5 kg of PAM-3"; empty where nothing changed
};

// Once the part is booked (brew/plan_lacks.hpp, reserved_anew). Plans that the part states itself are left as it has
// them. Nothing where today is past: what is there now is not what was there then.
[[nodiscard]] PlansKept plans_kept(const Desk& desk, const Book& part);

} // namespace lotwort
