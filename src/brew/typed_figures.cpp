#include <lotwort/brew/recipe_gravity.hpp>
#include <lotwort/brew/typed_figures.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort {

Ebc malt_ebc(const TypedColour& colour) {
    if (const auto* ebc = std::get_if<Ebc>(&colour)) return *ebc;
    if (const auto* srm = std::get_if<Srm>(&colour)) return wort::to_ebc(*srm);
    return wort::malt_ebc(std::get<Lovibond>(colour));
}

SpecificGravity target_gravity(const TypedGravity& gravity) {
    if (const auto* sg = std::get_if<SpecificGravity>(&gravity)) return *sg;
    if (const auto* plato = std::get_if<Plato>(&gravity)) return gravity_of(*plato);
    throw Error(ErrorKind::refused, "a recipe's target is no reading in Brix", "write it such as 1.048 or 12P");
}

} // namespace lotwort
