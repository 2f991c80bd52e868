// trend: malt lots, malts and the brewhouse over time; drift.
#include "shared.hpp"
#include "table.hpp"
#include <charconv>
#include <fmt/format.h>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/report/trend.hpp>

namespace lotwort::verbs {

namespace {

constexpr Option options[] = {
    {"brewhouse", "NAME", "only the brews of this one; all brewhouses unless given"},
    {"full", "", "plots, all lots, instruments and what is open too"},
    {"forecast", "", "the forecasts of the last brews against what came of them"},
    {"last", "COUNT", "so many brews in the table: of levels (10 unless given), of forecasts (20)"},
};

int parse_count(const std::string& text) {
    int count = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), count);
    if (fault != std::errc{} || end != text.data() + text.size() || count < 0 || count > 100000)
        throw Error(ErrorKind::refused, "`" + text + "` is not a count of brews", "write a whole number, such as 20");
    return count;
}

Answer run(Call& call) {
    const Book book = call.ledger().definitions();
    LearnScope scope;
    if (const auto name = call.args.text("brewhouse")) {
        scope.brewhouse = known_brewhouse(book, *name).name;
        scope.only_this_brewhouse = true;
    }
    const bool of_forecasts = !call.json() && !call.csv() && call.args.has("forecast");
    constexpr int usual = report::usual_forecasts;
    report::Trend trend = learned_trend(call.desk(), book, scope,
                                        of_forecasts ? read_option(call, "last", parse_count).value_or(usual) : usual);
    if (of_forecasts) {
        call.goes("--forecast tells of forecasts alone");
        return {report::forecasts_text(trend)};
    }
    call.goes("every brew is told", "--full, --forecast and --last are for people");
    if (call.json()) return {report::trend_json(trend)};
    if (call.csv()) return {report::trend_csv(trend)};
    const auto last = read_option(call, "last", parse_count);
    trend.full = call.args.has("full") || last;
    trend.last = last.value_or(10);
    return {report::trend_text(trend)};
}

} // namespace

constinit const Command trend_command{
    .name = "trend",
    .group = Group::brew,
    .summary = "malt lots, malts and the brewhouse over time; drift",
    .ledger = LedgerUse::reads,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
