#include <algorithm>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/desk/taught.hpp>
#include <lotwort/infer/score.hpp>
#include <lotwort/report/trend.hpp>
#include <memory>
#include <set>

namespace lotwort {

namespace {

// A fermenter of which less is out is still being packaged, and tells nothing of what is lost.
constexpr double emptied = 0.8;

// Of those whose beer is in packages, a fermenter once.
std::map<std::string, double> packaged_shares(Ledger& ledger, const Book& book, const std::vector<const Brew*>& brews,
                                              const Fermenters& fermenters) {
    std::set<std::string> filled;
    for (const Package& package : ledger.packages()) filled.insert(package.brew);
    std::map<std::string, double> shares;
    for (const Brew* brew : brews) {
        const auto& tied = fermenters.of(*brew);
        if (tied.back() != brew) continue;
        if (std::ranges::none_of(tied, [&](const Brew* one) { return filled.contains(one->code); })) continue;
        const report::BeerLeft tank = beer_left(ledger, book, brew->code);
        if (tank.held && tank.packaged + tank.lost >= emptied * *tank.held)
            shares[brew->code] = tank.packaged / *tank.held;
    }
    return shares;
}

} // namespace

LearnRequest learn_request(const Desk& desk, const Book& book, const LearnScope& scope) {
    LearnRequest request;
    const auto states = desk.ledger.lots();
    const LotBook lots = lot_book(states, book);
    const std::vector<Brew> brews = desk.ledger.brews();
    const Fermenters fermenters(brews);
    std::vector<const Brew*> known;
    bool is_before = true; // of two brews of one day the one booked first taught the other, and not the other way round
    for (const auto& brew : brews) {
        if (brew.code == scope.without_brew) is_before = false;
        if (brew.abandoned) continue; // as nobody balances it
        if (scope.until && (is_before ? brew.date > *scope.until : brew.date >= *scope.until)) continue;
        if (scope.only_this_brewhouse && scope.brewhouse && brew.brewhouse != *scope.brewhouse) continue;
        // what shares a fermenter with the brew left out would bring its readings in again
        const auto is_left_out = [&](const Brew* tied) { return tied->code == scope.without_brew; };
        if (std::ranges::any_of(fermenters.of(brew), is_left_out)) continue;
        known.push_back(&brew);
    }
    std::ranges::stable_sort(known, {}, [](const Brew* brew) { return brew->date; });
    request.older = known.size() - std::min(known.size(), most_learned_brews);
    known.erase(known.begin(), known.begin() + static_cast<std::ptrdiff_t>(request.older));
    for (const Brew* brew : known) request.brews.push_back(tied_input(*brew, fermenters, book, lots));
    request.packaged = packaged_shares(desk.ledger, book, known, fermenters);
    for (const auto& [code, used] : lots)
        if (used.item.kind == ItemKind::malt || used.item.kind == ItemKind::sugar) {
            const auto state =
                std::ranges::find(states, code, [](const LotState& s) -> const std::string& { return s.lot.code; });
            if (state->on_hand.units > 0) request.lots_on_hand.push_back(used);
        }
    for (const auto& item : book.items)
        if (item.kind == ItemKind::malt || item.kind == ItemKind::sugar) request.items.push_back(item);
    if (scope.brewhouse) request.brewhouse = known_brewhouse(book, *scope.brewhouse);
    return request;
}

void teach_from_others(const LearnRequest& request, std::vector<ReconcileInput>& inputs) {
    std::set<std::string> known;
    for (const auto& brew : request.brews) known.insert(brew.brew.code);
    std::vector<const ReconcileInput*> asked;
    std::vector<ReconcileInput*> taught;
    for (auto& input : inputs)
        if (known.contains(input.brew.code)) {
            asked.push_back(&input);
            taught.push_back(&input);
        }
    auto found = learned_elsewhere(request, asked);
    for (std::size_t i = 0; i < taught.size(); ++i) taught[i]->elsewhere = std::move(found[i]);
}

namespace {

using Elsewheres = std::vector<std::optional<Elsewhere>>;

} // namespace

void teach_from_others(const Desk& desk, const Book& book, std::vector<ReconcileInput>& inputs) {
    if (desk.teaching == nullptr) return teach_from_others(learn_request(desk, book, {}), inputs);
    std::string subject = "elsewhere";
    for (const ReconcileInput& input : inputs) subject += " " + input.brew.code;
    const auto found = desk.teaching->learned<Elsewheres>(subject, state_of(desk), [&]() -> Taught::Question {
        const auto request = std::make_shared<const LearnRequest>(learn_request(desk, book, {}));
        const std::size_t basis = basis_of(*request, inputs);
        return {basis, [request, inputs]() -> std::any {
                    std::vector<ReconcileInput> taught = inputs;
                    teach_from_others(*request, taught);
                    Elsewheres of;
                    for (ReconcileInput& input : taught) of.push_back(std::move(input.elsewhere));
                    return of;
                }};
    });
    for (std::size_t i = 0; i < inputs.size(); ++i) inputs[i].elsewhere = found[i];
}

std::vector<LearnedLot> learned_lots(const Desk& desk, const Book& book) {
    if (desk.teaching == nullptr) return learn(learn_request(desk, book, {})).lots;
    return desk.teaching->learned<std::vector<LearnedLot>>("lots", state_of(desk), [&]() -> Taught::Question {
        const auto request = std::make_shared<const LearnRequest>(learn_request(desk, book, {}));
        return {basis_of(*request), [request]() -> std::any { return learn(*request).lots; }};
    });
}

namespace {

// With the reason that learning gives.
std::vector<report::LeftOutBrew> left_out_of(const LearnRequest& request, const Learning& learned) {
    std::set<std::string_view> taught;
    for (const auto& level : learned.levels) taught.insert(level.brew);
    std::vector<report::LeftOutBrew> out;
    for (const auto& input : request.brews) {
        if (taught.contains(input.brew.code)) continue;
        const std::string begins = input.brew.code + " teaches nothing: ";
        const auto remark = std::ranges::find_if(learned.remarks,
                                                 [&](const std::string& remark) { return remark.starts_with(begins); });
        if (remark != learned.remarks.end())
            out.push_back({input.brew.code, input.brew.date, remark->substr(begins.size())});
    }
    std::ranges::stable_sort(out, {}, &report::LeftOutBrew::date);
    return out;
}

} // namespace

report::Trend learned_trend(const Desk& desk, const Book& book, const LearnScope& scope, int forecasts) {
    const LearnRequest request = learn_request(desk, book, scope);
    report::Trend trend;
    trend.learned = learn(request);
    trend.left_out = left_out_of(request, trend.learned);
    trend.forecasts = score_forecasts(request, forecasts);
    trend.brewhouse = trend.learned.next.brewhouse;
    for (const auto& level : trend.learned.levels)
        if (level.brewhouse != trend.brewhouse) trend.brewhouse = "all brewhouses";
    return trend;
}

std::optional<Learned> learned_for(const Desk& desk, const Book& book, const std::string& brewhouse) {
    LearnScope scope;
    scope.brewhouse = brewhouse;
    const LearnRequest request = learn_request(desk, book, scope);
    if (request.brews.empty()) return std::nullopt;
    Learned learned = learn(request).next;
    if (learned.brews == 0 && learned.remarks.empty()) return std::nullopt;
    return learned;
}

} // namespace lotwort
