// A silo is filled over what is left in it: what lies in it then is a lot made of both.
#pragma once

#include "shelf.hpp"
#include <lotwort/verbs/call.hpp>

namespace lotwort::verbs {

// By --silo: the delivery goes into the silo, and a lot that is made of it and of what is left there joins the part.
// Returns what is said of it; empty without --silo. Error(refused) where something else is in the silo, or several lots
// came at once.
[[nodiscard]] std::string fill_silo(Call& call, Shelf& shelf, Book& part);

} // namespace lotwort::verbs
