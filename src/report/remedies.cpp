#include "remedies.hpp"
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/measure.hpp>
#include <optional>

namespace lotwort::report {

namespace {

std::string assumed_remark(std::size_t figures, const std::string& brewhouse) {
    const bool one = figures == 1;
    return fmt::format(
        "{} of the brewhouse's figures {} typical, wide, until you state {}:\n  lotwort brewhouse show {}", figures,
        one ? "is" : "are", one ? "it" : "them", shell_word(brewhouse));
}

std::string undated_remark(const UndatedAlpha& hops) {
    return fmt::format("{} is taken at its certificate's alpha, which states no day to age it from:\n"
                       "  lotwort lot {} --retest --alpha {}% --analysed DATE",
                       hops.lot, shell_word(hops.lot), shortest(hops.stated.value()));
}

std::string mark_text(const Reading& r) {
    if (r.gravity_sg) return fixed(r.gravity_sg->value(), 4);
    return r.gravity_plato ? shortest(r.gravity_plato->value()) + " °P" : shortest(r.brix->value()) + " °Bx";
}

std::string at_typed(const std::optional<Celsius>& at) {
    return at ? fmt::format("@{}C", shortest(at->value())) : "";
}

} // namespace

std::string typed_volume(const Reading& r) {
    if (r.volume) return shortest(r.volume->value()) + "L" + at_typed(r.volume_at);
    if (r.depth) return shortest(r.depth->value()) + "cm" + at_typed(r.volume_at);
    return r.mass ? shortest(r.mass->value()) + "kg" : "";
}

std::string typed_gravity(const Reading& r) {
    std::string text;
    if (r.gravity_sg) {
        text = shortest(r.gravity_sg->value());
        if (text.size() < 5) text = fixed(r.gravity_sg->value(), 3);
    } else if (r.gravity_plato) {
        text = shortest(r.gravity_plato->value()) + "P";
    } else if (r.brix) {
        text = shortest(r.brix->value()) + "Bx";
    }
    return text.empty() ? "" : text + at_typed(r.gravity_at);
}

std::string typed_reading(const Reading& r) {
    const std::string volume = typed_volume(r), gravity = typed_gravity(r);
    return volume + (volume.empty() || gravity.empty() ? "" : " ") + gravity;
}

std::vector<std::string> plan_remarks(const PlannedBrew& planned) {
    std::vector<std::string> remarks = planned.remarks;
    for (const UndatedAlpha& hops : planned.undated_alpha) remarks.push_back(undated_remark(hops));
    if (planned.assumed_figures > 0)
        remarks.push_back(assumed_remark(planned.assumed_figures, planned.plan.brewhouse.value_or("")));
    return remarks;
}

std::vector<std::string> reconcile_remarks(const ReconciledBrew& brew) {
    std::vector<std::string> remarks = brew.result.remarks;
    if (!brew.result.has_weights)
        remarks.push_back(
            fmt::format("to book what was weighed: lotwort brew {} --add LOT=AMOUNT", shell_word(brew.result.brew)));
    if (brew.result.assumed_figures > 0) remarks.push_back(assumed_remark(brew.result.assumed_figures, brew.brewhouse));
    return remarks;
}

std::string gravity_remark(const GravityDoubt& doubt, const std::string& brew) {
    const Reading& r = doubt.reading;
    if (!doubt.original)
        return fmt::format(
            "{}: {} in the fermenter is far below this brew's wort, {} °P. If it is the final gravity, say so:\n"
            "  lotwort measure {} --set-aside {} --reason \"final gravity\"\n"
            "  lotwort measure {} final {}",
            r.id, mark_text(r), fixed(doubt.wort_plato, 1), shell_word(brew), shell_word(r.id), shell_word(brew),
            typed_gravity(r));
    return fmt::format("{}: the final gravity {} is not below the original {} ({}): one of them is "
                       "misread, or stands at the wrong point. To leave it out:\n"
                       "  lotwort measure {} --set-aside {} --reason \"misread\"",
                       r.id, mark_text(r), mark_text(*doubt.original), doubt.original->id, shell_word(brew),
                       shell_word(r.id));
}

} // namespace lotwort::report
