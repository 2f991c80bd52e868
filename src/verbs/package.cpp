// package: beer in bottles, kegs and cans, and where they went.
#include "brew/weighing.hpp"
#include "package/run.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/desk/reconcile_input.hpp>
#include <lotwort/desk/trace.hpp>
#include <lotwort/infer/fermentation.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"CODE", "of the brew that is packaged, or of a run of packages", true},
    {"COUNT", "how many packages; of a run that goes out, all of them with `all`", true},
    {"WHAT", "what they are and what each holds: bottles 0.5L", true, true},
};

constexpr Option options[] = {
    {"lot", "NAME", "what the run is called; else the brew's code and a number"},
    {"to", "WHOM", "who gets them: of a new run all, of a run that is there COUNT"},
    {"from", "WHOM", "of a run that is there: COUNT came back from them"},
    {"prime", "LOT[=AMOUNT]", "the sugar it is primed with; without an amount, what --gas asks for", true},
    {"gas", "GAS", "the carbon dioxide that is meant: 5g/L or 2.5vol"},
    {"warmest", "TEMPERATURE", "of the beer since it fermented: 18C; 20 °C unless given"},
    {"lost", "VOLUME", "beer that was spilt or left in the lines"},
    {"best-before", "DATE", "until when it is good"},
};

constexpr double more_than_held = 1.05; // of the fermenter's volume, as it is read
constexpr double lively = 8.0;          // g/L; above it glass that is not made for it may burst: common practice

std::vector<std::string> codes_of(const std::vector<Package>& packages) {
    std::vector<std::string> codes;
    for (const Package& package : packages) codes.push_back(package.code);
    return codes;
}

std::optional<Package> find_package(const Ledger& ledger, const std::string& code) {
    if (auto exact = ledger.package(code)) return exact;
    const auto codes = codes_of(ledger.packages());
    const auto at = find_name(codes, code);
    return at ? ledger.package(codes[*at]) : std::nullopt;
}

Brew brew_to_package(Ledger& ledger, const std::string& code) {
    if (auto brew = find_brew(ledger, code)) return *std::move(brew);
    std::vector<std::string> codes = codes_of(ledger.packages());
    for (const Brew& brew : ledger.brews()) codes.push_back(brew.code);
    refuse_unknown("brew or run of packages", code, codes, "lotwort brew");
}

std::string package_code(Call& call, const Brew& brew) {
    Ledger& ledger = call.ledger();
    const auto said = call.args.text("lot");
    if (!said) return next_code(brew.code + "-", codes_of(ledger.packages()));
    const std::string code = parse_name(*said, "run's name");
    const std::string_view taken = find_package(ledger, code)            ? "run of packages"
                                   : ledger.lot(code)                    ? "lot"
                                   : find_brew(ledger, code).has_value() ? "brew"
                                                                         : "";
    if (!taken.empty())
        throw Error(ErrorKind::refused, fmt::format("there is a {} {} already", taken, code),
                    "give the run another name, or leave --lot out");
    return code;
}

Answer answered(const Call& call, const report::PackageAnswer& answer) {
    if (call.csv()) return {report::package_csv(answer)};
    return {call.json() ? report::package_json(answer) : report::package_text(answer)};
}

void demand_packageable(const Call& call, const Brew& brew) {
    if (brew.abandoned)
        throw Error(ErrorKind::refused, fmt::format("{} was given up: {}", brew.code, *brew.abandoned),
                    "look at the brew's code");
    if (call.on() < brew.date)
        throw Error(ErrorKind::refused,
                    fmt::format("{} was brewed on {}, after {}", brew.code, to_iso(brew.date), to_iso(call.on())),
                    "look at the day");
}

Package typed_run(Call& call, const Brew& brew) {
    Package package;
    package.brew = brew.code;
    package.on = call.on();
    parse_filled(call, package);
    package.code = package_code(call, brew);
    package.carbon_dioxide = read_option(call, "gas", parse_gas);
    package.lost = read_option(call, "lost",
                               [](const std::string& text) { return parse_volume(text, range_of<Package>("lost_l")); });
    package.warmest = read_option(call, "warmest", [](const std::string& text) {
        return parse_temperature(text, range_of<Package>("warmest_c"));
    });
    package.best_before = call.date("best-before", Looks::best_before);
    if (package.best_before && *package.best_before < package.on)
        throw Error(ErrorKind::refused,
                    fmt::format("--best-before {} is before the run itself, {}", to_iso(*package.best_before),
                                to_iso(package.on)),
                    "look at the day");
    if (const auto whom = call.args.text("to"))
        package.sent.push_back({package.on, parse_name(*whom, "name"), package.count});
    return package;
}

// More than the fermenter held is a slip of a finger, and gas that bursts glass is asked about.
void doubt(const Call& call, const report::BeerLeft& tank, const Package& package, const report::ShownPackage& shown) {
    const double out = tank.packaged.value() + tank.lost.value();
    if (tank.held)
        call.believe(out <= more_than_held * tank.held->value(),
                     fmt::format("{} would be out of a fermenter that held {}", report::litres_text(out),
                                 report::litres_text(tank.held->value())),
                     fmt::format("look at the figures: lotwort package {}", shell_word(package.brew)));
    const auto gas = shown.beer.carbon_dioxide;
    if (gas && shown.beer.priming_g_per_l > 0.0)
        call.believe(*gas <= lively,
                     fmt::format("{} g/L of carbon dioxide press {} bar at 25 °C: more than ordinary bottles hold, and "
                                 "glass that bursts cuts",
                                 fixed(*gas, 1), fixed(*shown.beer.warm_bar, 1)),
                     "prime with less, or fill what is made for it");
}

// Beer of a lot that is on hold goes to nobody unasked.
void doubt_going(Call& call, const Package& package) {
    const auto held = held_in(call.ledger(), package.brew, package.code);
    if (held.empty()) return;
    call.believe(
        false,
        fmt::format("{} is made of {}, which is on hold: {}", package.code, held.front().code, *held.front().held),
        fmt::format("lotwort trace {0} shows what else is; lotwort trace {0} --release takes the hold off",
                    shell_word(held.front().code)));
}

// What a brewer looks at before anything is sealed: whether it has stopped. Beer that is known to go on is asked about.
std::vector<std::string> cautions(Call& call, const Brew& brew, const Book& book) {
    const Fermentation fermentation = fermentation_of(reconcile_input(brew, book, lots_of(call.ledger(), brew, book)));
    call.believe(fermentation.state != Fermenting::goes_on, fmt::format("{}: {}", brew.code, fermentation.says),
                 fmt::format("read it again two or three days after: lotwort measure {} fermenting GRAVITY",
                             shell_word(brew.code)));
    if (fermentation.state == Fermenting::has_stopped) return {};
    if (fermentation.state != Fermenting::unread) return {fmt::format("{}: {}", brew.code, fermentation.says)};
    return {
        fmt::format("no gravity of {} was read since it was brewed: beer that still ferments bursts what it is sealed "
                    "in; lotwort measure {} fermenting GRAVITY",
                    brew.code, shell_word(brew.code))};
}

// Additions of a part go to a brew that is there: its head, and nothing else of it.
Brew primed_brew(Brew brew, std::vector<Addition> additions) {
    brew.readings.clear();
    brew.unused.clear();
    brew.additions = std::move(additions);
    return brew;
}

Answer filled(Call& call, const Brew& brew) {
    demand_packageable(call, brew);
    call.goes("a new run is filled",
              "what comes back is of a run that is there: lotwort package RUN COUNT --from WHOM");
    const Book book = call.ledger().definitions();
    const std::vector<LotState> lots = call.ledger().lots();
    const Package package = typed_run(call, brew);
    const auto priming = parse_priming(call, package, book, lots);
    if (priming.empty() && package.warmest)
        throw Error(ErrorKind::refused, "--warmest says how much gas stayed, and counts where --prime adds to it",
                    "add --prime LOT, or leave --warmest out");
    demand_stock(priming, lots, package.on);
    report::PackageAnswer answer;
    answer.asked = package.code;
    answer.is_run = true;
    answer.runs.push_back(shown_package(call.ledger(), book, package, priming));
    answer.tank = beer_left(call.ledger(), book, brew.code, package);
    doubt(call, *answer.tank, package, answer.runs.front());
    if (!package.sent.empty()) doubt_going(call, package);
    answer.remarks = cautions(call, brew, book);
    Book part;
    part.packages.push_back(package);
    if (!priming.empty()) part.brews.push_back(primed_brew(brew, priming));
    const auto lost = promises_lost(call.desk(), part);
    std::string what = fmt::format("packaged {} as {}: {}", brew.code, package.code, report::filled_text(package));
    if (!package.sent.empty()) what += fmt::format(", to {}", package.sent.front().to);
    const auto entry = call.book(part, EntryKind::package, what);
    answer.booked = report::Booked{entry, call.dry_run(), "lotwort trace " + shell_word(package.code), lost};
    return answered(call, answer);
}

Answer shown_run(Call& call, const Package& package) {
    call.only_reads();
    call.goes(fmt::format("{} is shown", package.code),
              fmt::format("to send all of it: lotwort package {} all --to WHOM", shell_word(package.code)));
    const Book book = call.ledger().definitions();
    report::PackageAnswer answer;
    answer.asked = package.code;
    answer.is_run = true;
    answer.runs.push_back(shown_package(call.ledger(), book, package));
    answer.tank = beer_left(call.ledger(), book, package.brew);
    return answered(call, answer);
}

// So many of a run go to somebody, or come back.
Answer moved(Call& call, Package package) {
    call.goes(fmt::format("{} is filled already: packages of it go out or come back", package.code),
              fmt::format("write: lotwort package {} {} --to WHOM; a new run names its brew", shell_word(package.code),
                          call.args.required("COUNT")));
    if (call.args.has("to") == call.args.has("from"))
        throw Error(ErrorKind::usage, fmt::format("where do packages of {} go, or come back from?", package.code),
                    "add --to WHOM or --from WHOM");
    const bool back = call.args.has("from");
    const std::string whom = parse_name(*call.args.text(back ? "from" : "to"), "name");
    if (call.on() < package.on)
        throw Error(ErrorKind::refused,
                    fmt::format("{} was filled on {}, after {}", package.code, to_iso(package.on), to_iso(call.on())),
                    "look at the day");
    const int there = back ? sent_to(package, whom) : package.count - sent_out(package);
    const int count = parse_packages(call.args.required("COUNT"), there);
    if (count > there || count == 0)
        throw Error(
            back ? ErrorKind::refused : ErrorKind::shortage,
            back ? fmt::format("{} of {} went to {}, and cannot come back as {}", there, package.code, whom, count)
                 : fmt::format("{} of {} are here, and {} are to go", there, package.code, count),
            fmt::format("lotwort package {} shows where they are", shell_word(package.code)));
    if (!back) doubt_going(call, package);
    const Sent sent{call.on(), whom, back ? -count : count};
    Package more = package;
    more.sent = {sent};
    package.sent.push_back(sent);
    report::PackageAnswer answer;
    answer.asked = package.code;
    answer.is_run = true;
    answer.runs.push_back(shown_package(call.ledger(), call.ledger().definitions(), package));
    Book part;
    part.packages.push_back(more);
    const auto entry = call.book(part, EntryKind::package,
                                 back ? fmt::format("took back {} of {} from {}", count, package.code, whom)
                                      : fmt::format("sent {} of {} to {}", count, package.code, whom));
    answer.booked = report::Booked{entry, call.dry_run(), "lotwort trace " + shell_word(package.code)};
    return answered(call, answer);
}

// All runs, or those of a brew with what is left of it.
Answer listed(Call& call, const std::optional<Brew>& brew) {
    call.only_reads();
    const std::string code = brew ? shell_word(brew->code) : "BREW";
    if (const auto lost = call.args.text("lost"))
        throw Error(ErrorKind::usage, "what stays behind is said with the run that it stays behind of",
                    fmt::format("with its last run: lotwort package {} 40 bottles 0.5L --lost {}", code, *lost));
    call.goes("the runs are listed", fmt::format("say how many and what: lotwort package {} 40 bottles 0.5L", code));
    const Book book = call.ledger().definitions();
    report::PackageAnswer answer;
    if (brew) answer.asked = brew->code;
    for (const Package& package : brew ? call.ledger().packages_of(brew->code) : call.ledger().packages())
        answer.runs.push_back(shown_package(call.ledger(), book, package));
    if (brew) answer.tank = beer_left(call.ledger(), book, brew->code);
    return answered(call, answer);
}

Answer run(Call& call) {
    if (!call.args.has("CODE")) return listed(call, std::nullopt);
    const std::string code = parse_name(call.args.required("CODE"), "code");
    const bool counts = call.args.has("COUNT");
    if (auto package = find_package(call.ledger(), code))
        return counts ? moved(call, *std::move(package)) : shown_run(call, *package);
    const Brew brew = brew_to_package(call.ledger(), code);
    return counts ? filled(call, brew) : listed(call, brew);
}

} // namespace

constinit const Command package_command{
    .name = "package",
    .group = Group::brew,
    .summary = "beer in bottles, kegs and cans, and where they went",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .has_rows = true,
    .doubts = true,
    .run = run,
};

} // namespace lotwort::verbs
