// Figures as a brewer reads them: a gravity in both units, an amount to what a scale shows.
#pragma once

#include <lotwort/brew/recipe_gravity.hpp>
#include <lotwort/core/amount.hpp>
#include <string>

namespace lotwort::report {

// "1.0480 (11.9 °P)"
[[nodiscard]] std::string gravity_and_plato(double gravity_sg);

// To 10 g or 10 ml from a kilogram or a litre on, below it to 0.1 g or 1 ml, below 100 g to 0.01 g. An ounce of a
// recipe is 28.35 g, and 10 lb are 4.54 kg. For what is yet to be weighed; what was booked is shown as it was.
[[nodiscard]] std::string to_be_weighed(Amount amount);

// To whole grams or millilitres from a kilogram or a litre on, below it as it is: a sack of 220 lb is 99.79 kg to be
// weighed, though 99.790321 kg of it are booked.
[[nodiscard]] std::string on_the_scale(Amount amount);

// To 10 ml, without needless zeros: five American gallons are 18.93.
[[nodiscard]] std::string round_litres(double litres);

} // namespace lotwort::report
