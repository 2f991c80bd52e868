#include "slips.hpp"
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort::infer_detail {

namespace {

constexpr double litres_per_us_gallon = 3.785411784;
constexpr double litres_per_imperial_gallon = 4.54609;
constexpr double tellable = 0.2; // of a digit's step: known worse than this, some digit or other would always fit
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
    const std::string written = fmt::format("{:.{}f}", e.observed - e.correction, decimals(e));
    const double read = std::strtod(written.c_str(), nullptr);
    const auto propose = [&](const std::string& meant, std::string_view how, double most_sd) {
        const double value = std::strtod(meant.c_str(), nullptr);
        out.push_back({fmt::format("{} for {} ({})", written, meant, how), read - value, most_sd});
    };
    constexpr double any = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i + 1 < written.size(); ++i) {
        if (written[i] == '.' || written[i + 1] == '.' || written[i] == written[i + 1]) continue;
        std::string meant = written;
        std::swap(meant[i], meant[i + 1]);
        propose(meant, "digits swapped", any);
    }
    // the leading digit of a gravity is 1 and the last is the reading's own noise
    for (std::size_t i = is_sg(e) ? 2 : 0; i + 1 < written.size(); ++i) {
        if (written[i] < '0' || written[i] > '9') continue;
        for (char digit = '0'; digit <= '9'; ++digit) {
            if (digit == written[i]) continue;
            std::string meant = written;
            meant[i] = digit;
            std::string one_less = meant; // what a step of this digit is worth
            one_less[i] = static_cast<char>(digit == '0' ? '1' : digit - 1);
            const double step = std::abs(std::strtod(meant.c_str(), nullptr) - std::strtod(one_less.c_str(), nullptr));
            propose(meant, "one digit wrong", std::abs(digit - written[i]) == 1 ? any : tellable * step);
        }
    }
}

// Beer's gravity where the wort's is due: less than half of the extract is left.
bool is_fermented(const BrewEquation& e, double likely_error) {
    if (!is_gravity(e) || e.quantity != Quantity::fermenter || e.scale == Scale::brix) return false;
    const double zero = is_sg(e) ? 1.0 : 0.0;
    return e.observed - zero < 0.5 * (e.observed - likely_error - zero);
}

void volume_slips(const BrewEquation& e, std::vector<Slip>& out) {
    const auto shrink = [](double from_c, double to_c) {
        return wort::sucrose_density_kg_m3(0.0, from_c) / wort::sucrose_density_kg_m3(0.0, to_c);
    };
    if (e.at_c < 40.0)
        for (double hot : {mash_liquor_c, boiling_c})
            out.push_back({fmt::format("a volume read hot (near {:.0f} °C) and entered as cold", hot),
                           e.observed * (1.0 - shrink(hot, e.at_c))});
    else
        out.push_back(
            {"a volume already brought to 20 °C and entered as hot", e.observed * (1.0 - shrink(20.0, e.at_c))});
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
                    {fmt::format("a sample read near {:.0f} °C and not corrected to {:.0f} °C", warm, e.calibration_c),
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
    std::erase_if(slips, [&](const Slip& s) {
        const double near = std::isfinite(s.most_sd) ? 1.5 : 2.0;
        return distance(s) > near || distance(s) >= none || likely_error_sd > s.most_sd;
    });
    std::ranges::stable_sort(slips, {}, distance);
    if (slips.size() > 3) slips.resize(3);
    std::vector<std::string> out;
    if (is_fermented(e, likely_error)) out.emplace_back("the final gravity, booked at the fermenter");
    for (auto& s : slips) out.push_back(std::move(s.what));
    const bool liquor = e.quantity == Quantity::sparge_liquor || e.quantity == Quantity::strike_liquor;
    if (liquor && likely_error < 0.0)
        out.push_back(fmt::format("some {:.1f} L of liquor added and not written down", -likely_error));
    return out;
}

} // namespace lotwort::infer_detail
