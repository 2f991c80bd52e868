// serve: the same program as pages, for this machine's browser or the telephones of the brewery.
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace lotwort::verbs {

namespace {

constexpr Option options[] = {
    {"listen", "ADDRESS:PORT",
     "one address of this machine in the brewery's network; else this machine alone, port 8017"},
    {"by", "NAME", "who books at this machine itself; else LOTWORT_BY"},
    {"read-only", "", "pages are for looking, and book nothing"},
};

[[noreturn]] void refuse_listen(const std::string& typed) {
    throw Error(ErrorKind::usage, fmt::format("--listen: `{}` is no address with its port", typed),
                "write it as 192.0.2.7:8017, or [2001:db8::7]:8017; `hostname -I` lists this machine's addresses");
}

// 192.0.2.7:8017, [::1]:8017, 192.0.2.7
void parse_listen(const std::string& typed, Serving& to) {
    const bool in_brackets = typed.starts_with('[');
    const auto bracket = in_brackets ? typed.find(']') : 0;
    if (bracket == std::string::npos) refuse_listen(typed);
    const auto colon = typed.find(':', bracket);
    const std::string host = typed.substr(0, colon);
    to.address = in_brackets ? typed.substr(1, bracket - 1) : host;
    if (to.address.empty() || (in_brackets && host.size() != bracket + 1)) refuse_listen(typed);
    if (colon != std::string::npos) {
        const std::string port = typed.substr(colon + 1);
        if (port.empty() || port.size() > 5 || port.find_first_not_of("0123456789") != std::string::npos ||
            std::stoi(port) > 65535)
            refuse_listen(typed);
        to.port = std::stoi(port);
    }
    to.in_network = !to.address.starts_with("127.") && to.address != "::1";
}

Answer run(Call& call) {
    Serving asked;
    if (const auto listen = call.args.text("listen")) parse_listen(*listen, asked);
    asked.by = call.args.text("by");
    if (!asked.by) asked.by = call.surroundings.by;
    asked.units = call.args.text("units");
    if (!asked.units) asked.units = call.surroundings.units;
    asked.read_only = call.args.has("read-only");
    asked.json = call.json();
    asked.ledger = call.ledger_path();
    (void)call.ledger().newest_entry(); // it is there, and a ledger
    call.demand_all_used();
    if (!call.surroundings.serve)
        throw Error(ErrorKind::refused, "pages are served by the program at the machine itself",
                    "type lotwort serve there");
    call.settle();
    call.surroundings.serve(asked);
    return {};
}

} // namespace

constinit const Command serve_command{
    .name = "serve",
    .group = Group::keep,
    .summary = "the same as pages to work with, on this machine or the brewery's telephones",
    .ledger = LedgerUse::reads,
    .options = options,
    .run = run,
};

} // namespace lotwort::verbs
