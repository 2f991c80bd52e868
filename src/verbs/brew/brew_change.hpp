// What is booked of a brew that is there already.
#pragma once

#include "shared.hpp"

namespace lotwort::verbs {

struct BrewChange {
    Book part;
    Brew whole;       // the brew as it stands then
    std::string what; // the entry's line
};

} // namespace lotwort::verbs
