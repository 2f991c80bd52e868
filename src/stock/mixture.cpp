#include <algorithm>
#include <cmath>
#include <lotwort/stock/malt.hpp>
#include <lotwort/stock/mixture.hpp>
#include <map>
#include <type_traits>

namespace lotwort {

namespace {

struct Stated {
    Certificate certificate;
    double weight = 0.0;
    int stem = 0;
};

double number_of(double value) {
    return value;
}
template <class Measured>
double number_of(const Measured& value) {
    return value.value();
}

// A certificate with what laboratories found since, as it holds on a day.
Certificate in_force(const Lot& lot, Date on) {
    Certificate held = lot.certificate.value_or(Certificate{});
    std::vector<const Retest*> retests;
    for (const Retest& retest : lot.retests)
        if (retest.on <= on) retests.push_back(&retest);
    std::ranges::stable_sort(retests, {}, [](const Retest* retest) { return retest->on; });
    for (const Retest* retest : retests)
        for_each_field<Certificate>([&](const auto& f) {
            if (retest->found.*f.member) held.*f.member = retest->found.*f.member;
        });
    return held;
}

// Means of different things are no mean.
void bring_to_one_basis(const Item& item, const std::vector<MixedPart>& parts, std::vector<Stated>& stated, Date on) {
    const auto basis_of = [](const Stated& s) { return s.certificate.extract_basis; };
    if (std::ranges::all_of(stated, [&](const Stated& s) { return basis_of(s) == basis_of(stated.front()); })) return;
    for (std::size_t i = 0; i < stated.size(); ++i) {
        Certificate& c = stated[i].certificate;
        if (!c.extract) continue;
        const Figure fine_dry = malt_figures(item, parts[i].lot, on).extract_fine_dry_pct;
        if (c.extract_sd) c.extract_sd = Percent(c.extract_sd->value() * fine_dry.value / c.extract->value());
        c.extract = Percent(fine_dry.value);
        c.extract_basis = ExtractBasis::fine_dry;
    }
}

template <class Value>
std::optional<Value> mean_of(const std::vector<Stated>& stated, std::optional<Value> Certificate::*member) {
    double mean = 0.0;
    for (const Stated& part : stated) {
        const auto& value = part.certificate.*member;
        if (!value) return std::nullopt;
        mean += part.weight * number_of(*value);
    }
    return Value(mean);
}

std::optional<Percent> scatter_of(const std::vector<Stated>& stated, std::optional<Percent> Certificate::*member,
                                  double shared) {
    std::map<int, double> own;
    double common = 0.0;
    for (const Stated& part : stated) {
        const auto& sd = part.certificate.*member;
        if (!sd) return std::nullopt;
        own[part.stem] += part.weight * sd->value() * std::sqrt(1.0 - shared * shared);
        common += part.weight * sd->value() * shared;
    }
    double variance = common * common;
    for (const auto& [stem, sd] : own) variance += sd * sd;
    return Percent(std::sqrt(variance));
}

} // namespace

std::optional<Certificate> mixed_certificate(const Item& item, const std::vector<MixedPart>& parts, Date on) {
    std::vector<Stated> stated;
    for (const MixedPart& part : parts) stated.push_back({in_force(part.lot, on), part.share, part.stem});
    bring_to_one_basis(item, parts, stated, on);
    for (Stated& part : stated) part.certificate = with_scatter(item, part.certificate);
    Certificate mean;
    for_each_field<Certificate>([&]<class Value>(const Field<Certificate, Value>& f) {
        using Inner = typename Value::value_type;
        if constexpr (!std::is_same_v<Inner, Date> && !std::is_same_v<Inner, ExtractBasis>)
            mean.*f.member = mean_of<Inner>(stated, f.member);
    });
    if (mean.extract) mean.extract_basis = stated.front().certificate.extract_basis;
    mean.extract_sd = scatter_of(stated, &Certificate::extract_sd, item.extract_sd ? 0.0 : shared_scatter);
    mean.moisture_sd = scatter_of(stated, &Certificate::moisture_sd, shared_scatter);
    mean.alpha_sd = scatter_of(stated, &Certificate::alpha_sd, shared_scatter);
    for (const Stated& part : stated) {
        if (!part.certificate.analysed) { // how old it is nobody knows
            mean.analysed.reset();
            break;
        }
        mean.analysed = std::min(mean.analysed.value_or(Date::max()), *part.certificate.analysed);
    }
    return mean == Certificate{} ? std::nullopt : std::optional(mean);
}

} // namespace lotwort
