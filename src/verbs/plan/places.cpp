#include "places.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/desk/board.hpp>
#include <map>
#include <set>

namespace lotwort::verbs {

namespace {

void parse_yeast(Call& call, const Book& book, const std::string& text, Plan& plan) {
    plan.yeast_of_plan.reset();
    plan.yeast_of_brew.reset();
    if (text == "none") return;
    if (const Plan* source = find_plan(book, text)) {
        if (source->code == plan.code)
            throw Error(ErrorKind::refused, fmt::format("{} cannot pitch its own crop", plan.code),
                        "name the plan or the brew before it");
        plan.yeast_of_plan = source->code;
    } else if (const auto brew = find_brew(call.ledger(), text)) {
        plan.yeast_of_brew = brew->code;
    } else {
        std::vector<std::string> codes = plan_codes(book.plans);
        for (const Brew& known : call.ledger().brews()) codes.push_back(known.code);
        refuse_unknown("open plan or brew", text, codes, "lotwort plan");
    }
}

std::set<Clash::Of> kinds_of(const std::vector<Clash>& clashes) {
    std::set<Clash::Of> kinds;
    for (const Clash& clash : clashes) kinds.insert(clash.of);
    return kinds;
}

} // namespace

bool changes_place(const Call& call) {
    return call.args.has("into") || call.args.has("till") || call.args.has("yeast-from");
}

void parse_places(Call& call, const Book& book, Plan& plan) {
    if (const auto text = call.args.text("into")) {
        plan.tank_till.reset();
        plan.tank = *text == "none" ? std::nullopt : std::optional(known_tank(book, *text).name);
    }
    if (const auto till = call.date("till", Looks::ahead)) {
        if (!plan.tank)
            throw Error(ErrorKind::usage, "--till says when a tank is free again, and none is named",
                        "add --into TANK; lotwort tank lists them");
        if (*till < plan.date)
            throw Error(ErrorKind::refused,
                        fmt::format("{} would be free on {}, before the brew of {}", *plan.tank, to_iso(*till),
                                    to_iso(plan.date)),
                        "look at --till");
        plan.tank_till = till;
    }
    if (const auto text = call.args.text("yeast-from")) parse_yeast(call, book, *text, plan);
}

std::vector<report::Placed> newly_in_trouble(const Board& before, const Board& after, const Plan& plan) {
    const std::set<Clash::Of> said = kinds_of(after.clashes(plan, plan.date));
    std::map<std::string, std::set<Clash::Of>> known;
    for (const Board::Trouble& trouble : before.troubles()) known[trouble.plan.code] = kinds_of(trouble.clashes);
    std::vector<report::Placed> others;
    for (const Board::Trouble& trouble : after.troubles()) {
        if (trouble.plan.code == plan.code) continue;
        const std::set<Clash::Of>& stood = known[trouble.plan.code];
        if (std::ranges::any_of(kinds_of(trouble.clashes),
                                [&](Clash::Of of) { return !said.contains(of) && !stood.contains(of); }))
            others.push_back(placed(after, trouble.plan));
    }
    return others;
}

} // namespace lotwort::verbs
