#include "http.hpp"
#include "site.hpp"
#include <arpa/inet.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/report/qr.hpp>
#include <lotwort/report/serving.hpp>
#include <lotwort/serve/serve.hpp>

namespace lotwort::serve {

namespace {

void demand_one_address(const std::string& address) {
    in_addr four{};
    in6_addr six{};
    const bool is_four = inet_pton(AF_INET, address.c_str(), &four) == 1;
    const bool is_six = inet_pton(AF_INET6, address.c_str(), &six) == 1;
    if (!is_four && !is_six)
        throw Error(ErrorKind::usage, fmt::format("--listen: `{}` is no address in figures", address),
                    "`hostname -I` lists this machine's addresses: --listen 192.0.2.7:8017");
    if ((is_four && four.s_addr == INADDR_ANY) || (is_six && IN6_IS_ADDR_UNSPECIFIED(&six)))
        throw Error(ErrorKind::refused, fmt::format("--listen: {} is all addresses at once", address),
                    "name the one that the brewery's telephones reach: `hostname -I` lists them");
}

} // namespace

void run(const verbs::Serving& asked, const verbs::Surroundings& around, const Outside& outside) {
    demand_one_address(asked.address);
    Http http(asked.address, asked.port, {});
    Runner runner(asked, around, outside);
    Site site(runner, {asked.address, http.port(), asked.in_network});
    const report::Listening listening{asked.ledger, site.address_to_enter(), asked.in_network, asked.read_only};
    outside.say(asked.json ? report::listening_json(listening) : report::listening_text(listening));
    if (asked.in_network && outside.is_terminal && !asked.json) outside.say(report::qr_terminal(listening.address));
    http.run([&](const Request& request) { return site.answer(request); });
}

} // namespace lotwort::serve
