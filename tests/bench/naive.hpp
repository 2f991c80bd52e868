// What most brewers work out.
#pragma once

#include <cmath>
#include <lotwort/infer/reconcile.hpp>
#include <optional>

namespace lotwort::test {

// Fermenter volume times gravity over certified extract.
inline std::optional<double> naive_brewhouse(const ReconcileInput& in) {
    std::optional<double> litres, sg;
    for (const auto& r : in.brew.readings) {
        if (r.point != ReadingPoint::fermenter) continue;
        if (r.volume) litres = r.volume->value();
        if (r.gravity_sg) sg = r.gravity_sg->value();
    }
    if (!litres || !sg) return std::nullopt;
    const double grist = in.brew.additions.front().amount.kilograms().value();
    const auto& c = *in.lots.at("malt").lot.certificate;
    const double plato = 135.997 * std::pow(*sg, 3) - 630.272 * *sg * *sg + 1111.14 * *sg - 616.868; // ASBC cubic
    return *litres * *sg * 0.998203 * plato / 100.0 /
           (grist * c.extract->value() / 100.0 * (1.0 - c.moisture->value() / 100.0));
}

} // namespace lotwort::test
