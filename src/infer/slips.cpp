#include "slips.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort::infer_detail {

namespace {

constexpr double litres_per_us_gallon = 3.785411784;
constexpr double litres_per_imperial_gallon = 4.54609;
constexpr double mash_liquor_c = 75.0, boiling_c = 98.0; // where hot volumes and hot samples are usually read

bool is_sg(const BrewEquation& e) {
    return e.scale == Scale::sg || e.scale == Scale::sg_at_20;
}
bool is_gravity(const BrewEquation& e) {
    return e.kind == "gravity";
}

int decimals(const BrewEquation& e) {
    return is_sg(e) ? 3 : e.scale == Scale::litres || e.scale == Scale::kilograms ? 1 : 1;
}

// Digits swapped, and one digit wrong, in the figure as it is written with the scale's usual decimals.
void digit_slips(const BrewEquation& e, std::vector<Slip>& out) {
    const std::string written = fmt::format("{:.{}f}", e.observed, decimals(e));
    const auto propose = [&](std::string meant, std::string_view how) {
        const double value = std::strtod(meant.c_str(), nullptr);
        out.push_back({fmt::format("{} for {} ({})", written, meant, how), e.observed - value});
    };
    for (std::size_t i = 0; i + 1 < written.size(); ++i) {
        if (written[i] == '.' || written[i + 1] == '.' || written[i] == written[i + 1]) continue;
        std::string meant = written;
        std::swap(meant[i], meant[i + 1]);
        propose(meant, "digits swapped");
    }
    // the leading digit of a gravity is 1 and the last is the reading's own noise
    for (std::size_t i = is_sg(e) ? 2 : 0; i + 1 < written.size(); ++i) {
        if (written[i] == '.') continue;
        for (int d : {-1, 1}) {
            const char digit = static_cast<char>(written[i] + d);
            if (digit < '0' || digit > '9') continue;
            std::string meant = written;
            meant[i] = digit;
            propose(meant, "one digit wrong");
        }
    }
}

void volume_slips(const BrewEquation& e, std::vector<Slip>& out) {
    const auto shrink = [](double from_c, double to_c) {
        return wort::sucrose_density_kg_m3(0.0, from_c) / wort::sucrose_density_kg_m3(0.0, to_c);
    };
    if (e.at_c < 40.0)
        for (double hot : {mash_liquor_c, boiling_c})
            out.push_back({fmt::format("a volume read hot (near {:.0f} C) and entered as cold", hot),
                           e.observed * (1.0 - shrink(hot, e.at_c))});
    else
        out.push_back(
            {"a volume already brought to 20 C and entered as hot", e.observed * (1.0 - shrink(20.0, e.at_c))});
    out.push_back({"imperial gallons taken for US gallons",
                   e.observed * (1.0 - litres_per_imperial_gallon / litres_per_us_gallon)});
    out.push_back({"US gallons taken for imperial gallons",
                   e.observed * (1.0 - litres_per_us_gallon / litres_per_imperial_gallon)});
}

void gravity_slips(const BrewEquation& e, std::vector<Slip>& out) {
    if (e.scale == Scale::sg || e.scale == Scale::plato) {
        // what the stem would have shown at its own temperature, near enough for a slip: by the density of water
        const auto shift = [&](double at_c) {
            const double thinner = wort::sucrose_density_kg_m3(0.0, at_c) /
                                   wort::sucrose_density_kg_m3(0.0, e.calibration_c) *
                                   (1.0 + wort::glass_expansion_per_k * (at_c - e.calibration_c));
            return e.scale == Scale::sg ? thinner - 1.0 : (thinner - 1.0) / 0.004;
        };
        if (std::abs(e.at_c - e.calibration_c) < 2.0) {
            for (double warm : {30.0, 40.0, 50.0, 65.0})
                out.push_back(
                    {fmt::format("a sample read near {:.0f} C and not corrected to {:.0f} C", warm, e.calibration_c),
                     shift(warm)});
        } else {
            out.push_back({"a gravity that was corrected for temperature already, corrected again", -shift(e.at_c)});
        }
    }
    if (e.scale == Scale::plato || e.scale == Scale::plato_at_20)
        out.push_back({"Brix read off a refractometer and entered as plato", e.observed * (1.0 - 1.0 / 1.04)});
    if (e.scale == Scale::brix) out.push_back({"plato entered as Brix", e.observed * (1.0 - 1.0 / e.brix_to_plato)});
}

// What an expectation that fails says in a brewer's words; its size is whatever the evidence says.
std::string expectation_slip(const BrewEquation& e, double error) {
    const bool less = error > 0.0; // expected more than there was
    const double size = std::abs(error);
    switch (e.quantity) {
    case Quantity::top_up:
        return less ? fmt::format("some {:.1f} L of wort lost on the way to the fermenter and not written down", size)
                    : fmt::format("some {:.1f} L of liquor added in the fermenter and not written down", size);
    case Quantity::kettle_liquor:
        return less ? std::string{}
                    : fmt::format("some {:.1f} L of liquor run into the kettle and not written down", size);
    case Quantity::grist_extract:
        return less
                   ? fmt::format("malt weighed short, or a lot below its certificate (some {:.2f} kg of extract)", size)
                   : fmt::format(
                         "more malt than was written down, or a lot above its certificate (some {:.2f} kg of extract)",
                         size);
    case Quantity::boil_off:
        return less ? "a boil shorter or weaker than written down" : "a boil longer or harder than written down";
    case Quantity::kettle_loss:
        return less ? "less wort left behind in the kettle than usual"
                    : "more wort left behind in the kettle than usual";
    case Quantity::retained:
        return less ? "a drier grain bed than usual" : "a wetter grain bed than usual, or run-off stopped early";
    default:
        return {};
    }
}

} // namespace

std::vector<Slip> possible_slips(const BrewEquation& e) {
    std::vector<Slip> out;
    if (e.is_expectation) return out;
    if (e.kind == "volume") volume_slips(e, out);
    if (is_gravity(e)) gravity_slips(e, out);
    digit_slips(e, out);
    return out;
}

std::vector<std::string> looks_like(const BrewEquation& e, double likely_error, double likely_error_sd) {
    if (e.is_expectation) {
        auto said = expectation_slip(e, likely_error);
        return said.empty() ? std::vector<std::string>{} : std::vector{std::move(said)};
    }
    auto slips = possible_slips(e);
    const auto distance = [&](const Slip& s) { return std::abs(likely_error - s.error) / likely_error_sd; };
    const double none = std::abs(likely_error) / likely_error_sd;
    std::erase_if(slips, [&](const Slip& s) { return distance(s) > 2.0 || distance(s) >= none; });
    std::ranges::stable_sort(slips, {}, distance);
    if (slips.size() > 3) slips.resize(3);
    std::vector<std::string> out;
    for (auto& s : slips) out.push_back(std::move(s.what));
    const bool liquor = e.quantity == Quantity::sparge_liquor || e.quantity == Quantity::strike_liquor;
    if (liquor && likely_error < 0.0)
        out.push_back(fmt::format("some {:.1f} L of liquor added and not written down", -likely_error));
    return out;
}

} // namespace lotwort::infer_detail
