// init: make a ledger, and ask for what the first brew needs.
#include "init/guide.hpp"
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/next_steps.hpp>
#include <lotwort/report/init.hpp>
#include <sys/stat.h>

namespace lotwort::verbs {

namespace {

constexpr Option options[] = {
    {"currency", "CODE", "the one currency of all prices, three letters (ISO 4217); EUR unless given"},
    {"yes", "", "ask nothing"},
};

std::string parse_currency(const std::string& code) {
    const bool letters = std::all_of(code.begin(), code.end(), [](char c) { return c >= 'A' && c <= 'Z'; });
    if (code.size() != 3 || !letters)
        throw Error(ErrorKind::refused, "`" + code + "` is no currency code",
                    "write the three capital letters of ISO 4217, such as EUR or GBP");
    return code;
}

// The user's data folder is made where it is missing, for its owner alone (XDG base directory specification).
void make_data_folder(const std::string& ledger) {
    namespace fs = std::filesystem;
    std::vector<fs::path> missing;
    std::error_code fault;
    for (fs::path folder = fs::path(ledger).parent_path(); !fs::exists(folder, fault); folder = folder.parent_path())
        missing.push_back(folder);
    for (auto folder = missing.rbegin(); folder != missing.rend(); ++folder)
        if (::mkdir(folder->c_str(), 0700) != 0 && errno != EEXIST)
            throw Error(ErrorKind::ledger,
                        fmt::format("the data folder {} cannot be made: {}", folder->string(), std::strerror(errno)),
                        "name a file elsewhere with --ledger, or set LOTWORT_LEDGER");
}

void prepare(const Call& call, const std::string& path) {
    if (call.ledger_is_named() || std::filesystem::exists(path))
        Ledger::check_new(path);
    else if (!call.dry_run())
        make_data_folder(path);
}

Answer run(Call& call) {
    const std::string currency = read_option(call, "currency", parse_currency).value_or("EUR");
    const std::string path = call.ledger_path();
    const bool asks = !call.args.has("yes") && call.surroundings.ask && !call.json() && !call.dry_run();
    call.demand_bookable();
    prepare(call, path);
    if (!call.dry_run()) {
        if (call.surroundings.on_interrupt) call.surroundings.on_interrupt(Interrupt::ends_booking);
        Ledger::create(path, currency, call.head(EntryKind::init, "made the ledger in " + currency));
        if (call.surroundings.on_booked) call.surroundings.on_booked(1);
    }
    report::MadeLedger made{
        path, currency, !call.args.has("currency"), call.dry_run(), std::string(Ledger::network_under(path)), {}, {}};
    if (asks) {
        GuidedStart start = guided_start(call);
        made.booked = std::move(start.commands);
        made.refused = std::move(start.refused);
        Ledger ledger(path, Access::read);
        const auto steps = next_steps({ledger, call.surroundings.today});
        if (!steps.empty()) made.next = steps.front().command;
    }
    return {call.json() ? report::init_json(made) : report::init_text(made)};
}

} // namespace

constinit const Command init_command{
    .name = "init",
    .group = Group::set_up,
    .summary = "make a ledger",
    .ledger = LedgerUse::creates,
    .positionals = {},
    .options = options,
    .run = run,
};

} // namespace lotwort::verbs
