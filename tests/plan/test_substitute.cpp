// Substitutions a brewer can check: what stands in, what may not, what is said where nothing will do.
#include "near.hpp"
#include "plan/brewery.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/substitute.hpp>
#include <lotwort/plan/verify_substitution.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

// Pale is 8 kg short, lager is there.
SubstituteRequest short_of_pale() {
    SubstituteRequest request;
    request.brews = {pale_ale("P1", "2026-03-01")};
    request.items = cards();
    request.lots = {lot("P", "pale", 12.0), lot("L", "lager", 25.0), lot("C", "crystal", 5.0), lot("B", "bitter", 1.0),
                    lot("F", "floral", 1.0)};
    request.today = day("2026-02-01");
    return request;
}

const SubstituteAnswer* of_kind(const Substitution& found, AnswerKind kind) {
    const auto at = std::ranges::find(found.answers, kind, &SubstituteAnswer::kind);
    return at == found.answers.end() ? nullptr : &*at;
}

double taken(const SubstituteAnswer& answer, const char* lot) {
    double sum = 0.0;
    for (const auto& line : answer.lines)
        if (line.lot == lot) sum += line.mass_kg;
    return sum;
}

SubstituteAnswer nearest(SubstituteRequest request) {
    request.kinds = {AnswerKind::nearest};
    const auto found = substitute(request);
    REQUIRE_MESSAGE(found.answers.size() == 1, (found.none.empty() ? "" : found.none[0].reason));
    for (const auto& breach : breaches(request, found.answers[0])) FAIL_CHECK(breach);
    return found.answers[0];
}

NoAnswer no_answer(SubstituteRequest request) {
    request.kinds = {AnswerKind::nearest};
    const auto found = substitute(request);
    CHECK(found.answers.empty());
    REQUIRE(found.none.size() == 1);
    return found.none[0];
}

} // namespace

TEST_CASE("another base malt takes the missing malt's place, by extract and not by mass") {
    const auto answer = nearest(short_of_pale());
    CHECK(taken(answer, "P") == near(12.0));
    // 8 kg of pale at 0.7824 is 8.09 kg of lager at 0.77355; 0.1 % of 16.4 kg may lack
    CHECK(taken(answer, "L") == near(8.0 * 0.7824 / 0.77355, 0.005));
    CHECK(answer.proven_optimal);
    CHECK(answer.effect.at("P1").to_notice.find("lager in place of pale") != std::string::npos);
}

TEST_CASE("with enough of everything the recipe is left alone") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 25.0);
    const auto answer = nearest(request);
    CHECK(answer.objective == near(0.0, 0.0, 1e-9));
    CHECK(taken(answer, "P") == near(20.0, 0.002));
    CHECK(taken(answer, "L") == 0.0);
    CHECK(answer.effect.at("P1").to_notice.starts_with("nothing"));
}

TEST_CASE("effects are those of the forecast of a plan with the same reservations, to 1e-9") {
    auto request = short_of_pale();
    for (const auto& answer : substitute(request).answers) {
        if (answer.kind == AnswerKind::buy) continue;
        BrewToFill brew = request.brews[0];
        brew.volume = brew.volume * answer.scale.at("P1");
        Plan booked; // as the ledger holds it
        booked.code = "P1";
        for (const auto& line : answer.lines)
            booked.reserved.push_back({line.line, line.lot, Amount::of(Kilograms(line.mass_kg))});
        const auto forecast = as_booked(plan_request(brew, request.items, request.lots), booked).forecast;
        const Effect& effect = answer.effect.at("P1");
        CHECK(std::abs(effect.original_gravity_sg.value - forecast.original_gravity_sg.value) < 1e-9);
        CHECK(std::abs(effect.volume_l.value - forecast.volume_l.value) < 1e-9);
        CHECK(std::abs(effect.colour_ebc.value - forecast.colour_ebc.value) < 1e-9);
        CHECK(std::abs(effect.bitterness_ibu.value - forecast.bitterness_ibu.value) < 1e-9);
        CHECK(std::abs(effect.extract_kg.value - forecast.extract_grist_kg) < 1e-9);
        CHECK(effect.original_gravity_sg.sd > 0.0);
    }
}

TEST_CASE("the mean of the enzymes is by mass") {
    const auto answer = nearest(short_of_pale());
    const double pale = taken(answer, "P"), lager = taken(answer, "L"), crystal = taken(answer, "C");
    CHECK(answer.effect.at("P1").diastatic_power_wk.value ==
          near((160.0 * pale + 260.0 * lager) / (pale + lager + crystal)));
}

TEST_CASE("a bittering hop stands in by its alpha, a dry hop only within its group") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 25.0);
    request.lots[3] = lot("B", "bitter", 0.04);
    auto answer = nearest(request);
    // 40 g of 12 %, the missing 7.2 g alpha from floral at 5 %: 144 g; within 1 %
    CHECK(taken(answer, "B") == near(0.04));
    CHECK(0.12 * taken(answer, "B") + 0.05 * (taken(answer, "F") - 0.15) == near(0.012, 0.011));
    request = short_of_pale();
    request.lots[4] = lot("BL", "blossom", 1.0); // another of the group
    answer = nearest(request);
    CHECK(taken(answer, "BL") == near(0.15, 0.011));
    request.items.back().group = "citrus";
    const auto none = no_answer(request);
    REQUIRE(none.clash.size() == 1);
    CHECK(none.clash[0] == "the 150 g of floral in P1 (within 1.5 g)");
    request.items.back().stands_for = {{"floral", 2.0}}; // the user's word
    answer = nearest(request);
    CHECK(taken(answer, "BL") == near(0.15, 0.011));
}

TEST_CASE("two brews: what one takes, the other cannot") {
    auto request = short_of_pale();
    request.brews.push_back(pale_ale("P2", "2026-03-01")); // on one day
    request.lots[0] = lot("P", "pale", 25.0);
    const auto answer = nearest(request);
    CHECK(taken(answer, "P") <= 25.0 + 1e-9);
    CHECK(taken(answer, "P") + taken(answer, "L") == near(40.1, 0.003));
    CHECK(answer.effect.size() == 2);
}

TEST_CASE("one gram short is answered, by the weigh step that tolerance allows") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 19.999);
    request.lots.erase(request.lots.begin() + 1);
    const auto answer = nearest(request);
    CHECK(taken(answer, "P") <= 19.999);
    CHECK(taken(answer, "P") >= 19.97);
}

TEST_CASE("no stock at all, and everything on hold, are answers: what to buy, and no beer") {
    auto request = short_of_pale();
    request.lots.clear();
    auto found = substitute(request);
    CHECK_FALSE(found.has_full_size());
    REQUIRE(of_kind(found, AnswerKind::buy) != nullptr);
    CHECK(of_kind(found, AnswerKind::buy)->to_buy.size() == 4);
    CHECK(found.none.size() == 5);
    request = short_of_pale();
    for (auto& state : request.lots) state.lot.held = "damp";
    found = substitute(request);
    CHECK_FALSE(found.has_full_size());
    CHECK(of_kind(found, AnswerKind::smaller) == nullptr);
}

TEST_CASE("a smaller batch uses what is there") {
    auto request = short_of_pale();
    request.lots.erase(request.lots.begin() + 1);
    const auto found = substitute(request);
    CHECK_FALSE(found.has_full_size());
    const auto* smaller = of_kind(found, AnswerKind::smaller);
    REQUIRE(smaller != nullptr);
    // 12 of 20 kg; the line may be short by 10 % and the crystal makes it up as far as 20 % of 0.71 kg
    CHECK(smaller->scale.at("P1") > 0.6);
    CHECK(smaller->scale.at("P1") < 0.62);
    CHECK(smaller->objective == near(-100.0 * smaller->scale.at("P1")));
    CHECK(breaches(request, *smaller).empty());
}

TEST_CASE("another date alone cures it where the malt comes a week later") {
    auto request = short_of_pale();
    request.lots[1] = lot("P9", "pale", 25.0);
    request.lots[1].lot.received = day("2026-03-08");
    const auto found = substitute(request);
    const auto* moved = of_kind(found, AnswerKind::reschedule);
    REQUIRE(moved != nullptr);
    REQUIRE(moved->moves.size() == 1);
    CHECK(moved->moves[0].to == day("2026-03-08"));
    CHECK(moved->objective == 7.0);
    CHECK(found.has_full_size());
    CHECK(of_kind(found, AnswerKind::nearest) == nullptr);
}

TEST_CASE("a lot past its date serves only where the user says so") {
    auto request = short_of_pale();
    request.lots[1].lot.best_before = day("2026-02-28");
    (void)no_answer(request);
    request.allow_past_best = true;
    CHECK(taken(nearest(request), "L") > 8.0);
}

TEST_CASE("too little malt is said to be that, and not too pale a colour") {
    auto request = short_of_pale();
    request.brews.push_back(pale_ale("P2", "2026-03-08"));
    for (auto& brew : request.brews) brew.recipe.grist.resize(1); // pale alone: less of it is paler
    request.lots = {lot("P", "pale", 25.0), lot("B", "bitter", 1.0), lot("F", "floral", 1.0)};
    const auto none = no_answer(request);
    REQUIRE(!none.clash.empty());
    for (const auto& rule : none.clash) CHECK_MESSAGE(rule.find("extract") != rule.npos, rule);
}

TEST_CASE("what clashes is named, and nothing that has no part in it") {
    auto request = short_of_pale();
    request.items[1].diastatic_power = WindischKolbach(0.0); // lager without enzymes
    request.brews[0].recipe.diastatic_floor = WindischKolbach(120.0);
    const auto none = no_answer(request);
    REQUIRE(none.clash.size() == 2);
    CHECK(std::ranges::count(none.clash, "a grist mean of 120 WK or more in P1") == 1);
    CHECK(none.reason.find("cannot be kept together with") != std::string::npos);
    request.brews[0].recipe.diastatic_floor = WindischKolbach(80.0); // 12 * 160 / 21.1 = 91
    CHECK(taken(nearest(request), "L") > 8.0);
}

TEST_CASE("a malt's greatest share holds it back, and a recipe that breaks it is its own limit") {
    auto request = short_of_pale();
    request.items[1].max_share = Percent(30.0);
    CHECK(no_answer(request).clash.size() >= 2);
    request.items[1].max_share = Percent(40.0);
    CHECK(taken(nearest(request), "L") > 8.0);
    request.items[2].max_share = Percent(3.0); // the recipe has 4.8 % crystal
    const auto answer = nearest(request);
    CHECK(
        std::ranges::any_of(answer.says, [](const auto& s) { return s.find("its own share is the limit") != s.npos; }));
}

TEST_CASE("a line of no known class takes its own item alone, and another allergen is said") {
    auto request = short_of_pale();
    request.items[0].malt_class = "heritage";
    request.items[1].malt_class = "heritage";
    (void)no_answer(request);
    request.items[1].stands_for = {{"pale", {}}};
    request.items[1].malt_class = "wheat";
    const auto answer = nearest(request);
    CHECK(std::ranges::count(answer.says, "P1: lager in place of pale brings wheat in, an allergen") == 1);
}

TEST_CASE("no crumbs are left unless no answer keeps that") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 20.2); // 20 kg would leave 0.2
    auto answer = nearest(request);
    CHECK(answer.crumbs == 0);
    const double left = 20.2 - taken(answer, "P");
    CHECK((left < 1e-6 || left > 0.25 - 1e-6));
    request.lots[4] = lot("F", "floral", 0.153); // 150 g of it leave 3 g, too little for another take
    answer = nearest(request);
    CHECK(answer.crumbs == 1);
}

TEST_CASE("equal answers: the fewest takes, then the older sack") {
    auto request = short_of_pale();
    request.lots = {lot("P1a", "pale", 30.0), lot("P2a", "pale", 30.0), lot("P3a", "pale", 30.0),
                    lot("C", "crystal", 5.0), lot("B", "bitter", 1.0),  lot("F", "floral", 1.0)};
    request.lots[1].lot.best_before = day("2026-06-01");
    const auto answer = nearest(request);
    CHECK(answer.lines.size() == 4);
    CHECK(taken(answer, "P2a") > 19.9);
}

TEST_CASE("the second hand finds what is broken") {
    const auto request = short_of_pale();
    const auto good = nearest(request);
    const auto broken = [&](auto spoil) {
        auto answer = good;
        spoil(answer);
        std::string all;
        for (const auto& breach : breaches(request, answer)) all += breach.substr(0, 3) + " ";
        return all;
    };
    CHECK(broken([](auto&) {}).empty());
    CHECK(broken([](auto& a) { a.lines[0].mass_kg += 1.0; }).find("S1:") != std::string::npos);
    CHECK(broken([](auto& a) { a.lines[1].mass_kg += 0.005; }).find("S2:") != std::string::npos);
    CHECK(broken([](auto& a) { a.lines[0].mass_kg -= 0.1; }).find("S3:") != std::string::npos);
    CHECK(broken([](auto& a) { a.lines[0].lot = "C"; }).find("S4:") != std::string::npos);
    CHECK(broken([](auto& a) { a.lines[1].mass_kg -= 1.0; }).find("S5:") != std::string::npos);
    CHECK(broken([](auto& a) {
              for (auto& l : a.lines)
                  if (l.lot == "C") l.mass_kg += 0.5;
          }).find("S6:") != std::string::npos);
    CHECK(broken([](auto& a) {
              for (auto& l : a.lines)
                  if (l.lot == "B") l.mass_kg += 0.002;
          }).find("S9:") != std::string::npos);
    CHECK(broken([](auto& a) {
              for (auto& l : a.lines)
                  if (l.lot == "F") l.mass_kg += 0.002;
          }).find("S10") != std::string::npos);
    CHECK(broken([](auto& a) { a.objective += 0.01; }).find("the") != std::string::npos);
}

TEST_CASE("a limit of one node still leaves an answer that keeps every rule") {
    auto request = short_of_pale();
    request.limits.most_nodes = 1;
    (void)nearest(request);
    request.limits.seconds = 0.0;
    (void)nearest(request);
}

TEST_CASE("an interrupt leaves the answer a brewer would reach for first") {
    auto request = short_of_pale();
    const std::atomic<bool> stop = true;
    request.limits.stop = &stop;
    const auto answer = nearest(request);
    CHECK(taken(answer, "P") > 11.7);
    CHECK(taken(answer, "L") > 7.5);
}

TEST_CASE("what past brews taught of a lot counts, not its paper alone") {
    auto request = short_of_pale();
    request.lots.erase(request.lots.begin() + 1);
    request.lots[0] = lot("P", "pale", 30.0);
    Learned learned;
    learned.brewhouse = "house";
    learned.brews = 5;
    learned.malts = {"P"};
    learned.mean = {std::log(0.92), 0.0, 5.0, 1.0, 2.0, 0.05}; // the lot gives 5 % more than stated
    learned.covariance.assign(36, 0.0);
    request.brews[0].learned = learned;
    const auto answer = nearest(request);
    CHECK(taken(answer, "P") == near(20.0 / 1.05, 0.002));
}

TEST_CASE("a recipe by shares is held to the masses that meet its gravity") {
    auto request = short_of_pale();
    auto& recipe = request.brews[0].recipe;
    recipe.original_gravity = SpecificGravity(1.040);
    recipe.grist = {{"pale", Percent(95.0), {}}, {"crystal", Percent(5.0), {}}};
    const auto answer = nearest(request);
    CHECK(answer.effect.at("P1").original_gravity_sg.value == near(1.040, 0.0002));
    CHECK(taken(answer, "L") > 0.0);
}

TEST_CASE("the model can be taken along to another solver") {
    const std::string text = to_mps(substitution_mip(short_of_pale(), AnswerKind::nearest), "nearest");
    CHECK(text.starts_with("NAME nearest FREE\nROWS\n"));
    CHECK(text.find("P1 line 0 L") != std::string::npos);
    CHECK(text.ends_with("ENDATA\n"));
}

TEST_CASE("an adopted answer is a plan that reserves its lines and what else the recipe takes") {
    auto request = short_of_pale();
    Item yeast;
    yeast.name = "ale yeast";
    yeast.kind = ItemKind::yeast;
    request.items.push_back(yeast);
    request.lots.push_back(lot("Y", "ale yeast", 0.5));
    OtherLine pitch;
    pitch.item = "ale yeast";
    pitch.stage = Stage::fermenter;
    pitch.mass = Kilograms(0.05);
    request.brews[0].recipe.others = {pitch};
    const auto answer = nearest(request);
    const auto plans = adopted_plans(request, answer);
    REQUIRE(plans.size() == 1);
    const Plan& plan = plans[0];
    CHECK(plan.code == "P1");
    CHECK(plan.recipe == "pale ale");
    CHECK(plan.reserved.size() == answer.lines.size() + 1);
    CHECK(plan.reserved.back() == Reservation{4, "Y", Amount::of(Grams(50.0))});
}
