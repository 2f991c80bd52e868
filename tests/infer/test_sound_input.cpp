// What a program hands to reconcile() and no brew can have been.
#include "simulated_brew.hpp"
#include <doctest/doctest.h>
#include <functional>
#include <limits>
#include <lotwort/core/error.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::string refused(const std::function<void(ReconcileInput&)>& change) {
    auto brew = simulate({});
    read_everything(brew);
    change(brew.input);
    try {
        (void)reconcile(brew.input);
        return "taken";
    } catch (const Error& fault) {
        return fault.what();
    }
}

Reading& first(ReconcileInput& in, bool with_volume) {
    for (Reading& reading : in.brew.readings)
        if (with_volume ? reading.volume.has_value() : reading.gravity_sg.has_value()) return reading;
    throw std::runtime_error("no such reading");
}

} // namespace

// What breaks if this breaks: a figure in the wrong unit is balanced against the others and comes out as an efficiency.
TEST_CASE("a figure that no instrument shows is refused with its name") {
    const auto says = [](const std::function<void(ReconcileInput&)>& change, const std::string& what) {
        const std::string said = refused(change);
        CHECK_MESSAGE(said.find(what) != std::string::npos, what, ": ", said);
    };
    says([](ReconcileInput&) {}, "taken");
    says([](ReconcileInput& in) { first(in, false).gravity_sg = SpecificGravity(38.0); }, "gravity_sg is 38");
    says([](ReconcileInput& in) { first(in, true).volume = Litres(-5.0); }, "volume_l is -5");
    says([](ReconcileInput& in) { first(in, true).volume = Litres(std::numeric_limits<double>::quiet_NaN()); },
         "volume_l is nan");
    says([](ReconcileInput& in) { in.brew.additions[0].amount = Amount::of(Kilograms(-4.0)); }, "-4 kg of ");
    says([](ReconcileInput& in) { in.lots.clear(); }, "went in, and is not handed over");
    says([](ReconcileInput& in) { in.brewhouse.boil_off = LitresPerHour(-3.0); }, "boil_off_l_per_h is -3");
    says([](ReconcileInput& in) { first(in, true).mass = Kilograms(20.0); }, "states more than one");
}
