// A hop's alpha acid on the day it is used, its storage index, and its oil.
#include "convert.hpp"
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/verbs/call.hpp>
#include <lotwort/wort/hop_ageing.hpp>
#include <lotwort/wort/hop_analysis.hpp>

namespace lotwort::verbs {

namespace {

constexpr Range believable_index{0.1, 3.0};
constexpr int most_days = 7300; // twenty years
constexpr Uncertain hsi_slope{wort::hsi_slope, wort::hsi_slope_share_sd* wort::hsi_slope};

std::optional<Date> day(const ConvertRequest& request, std::string_view option) {
    const auto typed = request.text(option);
    if (!typed) return std::nullopt;
    try {
        return parse_date(*typed, request.today);
    } catch (const Error& fault) {
        throw of_option(option, fault);
    }
}

// From the analysis to the use: by --analysed and --on, or by --days.
Uncertain days_kept(const ConvertRequest& request) {
    if (const auto days =
            request.figure("days", {Dimension::time, {0.0, most_days * 1440.0}, "time of storage", "min"}))
        return {days->value / 1440.0, days->sd / 1440.0};
    const auto analysed = day(request, "analysed");
    if (!analysed)
        throw Error(ErrorKind::refused, "a hop ages from its analysis on, and that day is not said",
                    "add it, such as --analysed 2025-10-01, or --days 160days");
    const auto days = static_cast<double>((day(request, "on").value_or(request.today) - *analysed).count());
    return {std::clamp(days, 0.0, static_cast<double>(most_days)), 0.0};
}

// What is known of the hop, each figure with its width: the alpha as analysed and what has happened since.
struct Kept {
    wort::HopStorage storage; // for the ranges, and for the index that will be
    Uncertain alpha;
    Uncertain days, celsius, factor, lost; // by the calendar
    Uncertain hsi_then, hsi_now;           // by the index, where one is measured now
};

Uncertain storage_celsius(const ConvertRequest& request, std::vector<std::string>& remarks) {
    const auto stated = request.figure("storage", {Dimension::temperature, {-80.0, 60.0}, "temperature", "C"});
    if (!stated) {
        remarks.emplace_back("stored at 10 °C, give or take 8: --storage does not say");
        return {assumed_storage_c, assumed_storage_sd_c};
    }
    return {stated->value, stated->sd > 0.0 ? stated->sd : stated_storage_sd_c};
}

Uncertain lost_in_six_months(const ConvertRequest& request, std::vector<std::string>& remarks) {
    if (const auto lost = request.figure("lost", {Dimension::percent, {0.0, 95.0}, "loss of alpha in six months", "%"}))
        return *lost;
    remarks.emplace_back("loses 35 % of its alpha in six months at 20 °C unpacked, give or take 12: --lost 35%±12");
    return {wort::typical_lost_in_six_months_pct, wort::typical_lost_in_six_months_sd};
}

// An index with its own width, else that of laboratories among themselves.
std::optional<Uncertain> storage_index(const ConvertRequest& request, std::string_view option) {
    auto index = request.number(option, "hop storage index", believable_index);
    if (index && index->sd == 0.0) index->sd = wort::hsi_share_sd_between * index->value;
    return index;
}

Kept kept(const ConvertRequest& request, const Uncertain& alpha, std::vector<std::string>& remarks) {
    Kept k;
    k.alpha = alpha;
    if (alpha.sd == 0.0) { // a certificate that states no scatter is taken at 5 % of the value, as a lot's is
        k.alpha.sd = 0.05 * alpha.value;
        remarks.emplace_back("the analysis counts as right to 5 % of its value (11%±0.3)");
    }
    k.storage.alpha = Percent(k.alpha.value);
    k.storage.alpha_sd = Percent(k.alpha.sd);
    if (const auto now = storage_index(request, "hsi")) { // it outranks the calendar
        k.hsi_now = *now;
        k.hsi_then = storage_index(request, "hsi-then").value_or(Uncertain{wort::fresh_hsi, wort::fresh_hsi_sd});
        k.storage.hsi_now = now->value;
        k.storage.hsi_then = k.hsi_then.value;
        return k;
    }
    if (const auto then = storage_index(request, "hsi-then")) k.storage.hsi_then = then->value;
    k.days = days_kept(request);
    k.celsius = storage_celsius(request, remarks);
    k.storage.packing = wort::packing_of(request.text("packaging").value_or(""));
    if (k.storage.packing == wort::Packing::unknown)
        remarks.emplace_back("packed neither open nor under vacuum, but between: --packaging does not say");
    k.lost = lost_in_six_months(request, remarks);
    const auto factor = wort::storage_factor(k.storage.packing);
    k.factor = {factor.value, factor.sd};
    k.storage.days = k.days.value;
    k.storage.temperature = Celsius(k.celsius.value);
    k.storage.lost_in_six_months = Percent(k.lost.value);
    return k;
}

Propagated aged(const Kept& k) {
    if (!k.storage.hsi_now)
        return carried([](const auto& x) { return wort::garetz_alpha_pct(x[0], x[1], x[2], x[3], x[4]); },
                       std::array{k.alpha, k.lost, k.celsius, k.factor, k.days});
    return carried([](const auto& x) { return wort::hsi_alpha_pct(x[0], x[1], x[2], x[3]); },
                   std::array{k.alpha, k.hsi_then, k.hsi_now, hsi_slope});
}

Numbers by_age(const Figure&, const ConvertRequest& request, report::Converted& out) {
    if (!request.is<Percent>())
        throw Error(ErrorKind::refused, fmt::format("{} is no alpha acid", request.given),
                    "write it as a per cent: 11%");
    const Kept k = kept(request, request.typed(), out.remarks);
    const auto now = wort::aged_alpha(k.storage); // refuses what lies outside
    answer(out, aged(k));
    out.value = now.alpha.value(); // no index makes a hop younger
    out.remarks.insert(
        out.remarks.begin(),
        k.storage.hsi_now
            ? fmt::format("{:.0f} % of what was stated is left, by the storage index", 100.0 * now.share_left)
            : fmt::format("{:.0f} % of what was stated is left, {} after the analysis", 100.0 * now.share_left,
                          k.storage.days == 1.0 ? "1 day" : shortest(k.storage.days) + " days"));
    out.also.push_back({"hop_storage_index", "storage index then", now.hsi, std::nullopt, "", 2});
    return {};
}

Uncertain read_oil(const Input& input, const ConvertRequest& request, report::Converted&) {
    return *request.number(input.option, "number of ml per 100 g", {0.0, 10.0});
}

constexpr Input slope{.read = [](const Input&, const ConvertRequest&, report::Converted&) { return hsi_slope; }};

constexpr Figure table[] = {
    by_words("alpha", is_anything, by_age, {"pct", "% alpha", 1}),
    figure("lost --from hsi", is_bare, {value_within({0.1, 2.0}, "hop storage index"), slope}, {},
           {"pct", "% of alpha and beta lost since fresh", 1},
           [](const auto& x) { return wort::hsi_loss_pct(x[0], x[1]); }),
    figure("ml --oil", is_a<Kilograms>, {the_value, Input{.read = read_oil, .option = "oil"}}, {},
           {"ml", "ml of oil", 2}, [](const auto& x) { return 10.0 * x[0] * x[1]; }),
};

} // namespace

std::span<const Figure> hop_figures() {
    return table;
}

} // namespace lotwort::verbs
