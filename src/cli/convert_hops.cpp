// A hop's alpha acid on the day it is used.
#include "convert.hpp"
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/hop_age.hpp>

namespace lotwort::cli {

std::optional<report::Converted> convert_hops(const ConvertRequest& request) {
    if (request.to != "alpha") return std::nullopt;
    const auto* stated = std::get_if<Percent>(&request.value.value);
    if (stated == nullptr)
        throw Error(ErrorKind::refused, fmt::format("{} is no alpha acid", request.given),
                    "write it as a per cent: 11%");
    LOTWORT_CHECK(request.hop && request.hop->certificate);
    if (!request.hop->certificate->analysed)
        throw Error(ErrorKind::refused, "a hop ages from its analysis on, and that day is not said",
                    "add it: --analysed 2025-10-01");
    Lot lot = *request.hop;
    lot.certificate->alpha = *stated;
    Item item;
    item.kind = ItemKind::hop;
    const HopAge age = hop_age(item, lot, request.on);
    report::Converted out;
    out.value = age.alpha_pct.value;
    out.sd = age.alpha_pct.sd;
    out.unit = "pct";
    out.shown = "% alpha";
    out.decimals = 1;
    out.remarks = age.assumed;
    out.remarks.insert(out.remarks.begin(),
                       fmt::format("{:.0f} % of what was stated is left, {} days after the analysis",
                                   100.0 * age.share_left, age.days));
    return out;
}

} // namespace lotwort::cli
