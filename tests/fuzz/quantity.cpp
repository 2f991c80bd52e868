// What people type for an amount: a number, a unit, perhaps a temperature.
#include "fuzz_target.hpp"
#include <cmath>
#include <lotwort/core/typed.hpp>
#include <variant>

using namespace lotwort;
using namespace lotwort::test;

FUZZ_TARGET(quantity) {
    const auto text = as_text(data, size);
    for (const Dimension dimension : {Dimension::any, Dimension::gravity, Dimension::colour, Dimension::extract})
        may_refuse([&] {
            const Typed typed = parse_typed(text, dimension);
            must(std::visit([](const auto& value) { return std::isfinite(value.value()); }, typed.value));
            must(!typed.sd || (std::isfinite(*typed.sd) && *typed.sd >= 0.0));
        });
    may_refuse([&] { // an amount as it is printed is read as the same amount
        const Amount amount = parse_amount(text);
        must(amount.units >= 0);
        must(parse_amount(to_text(amount)) == amount);
    });
    may_refuse([&] { static_cast<void>(parse_gravity_at(text)); });
    may_refuse([&] { static_cast<void>(parse_volume_at(text)); });
    may_refuse([&] { must(parse_money_minor(text, "EUR") >= 0); });
    return 0;
}
