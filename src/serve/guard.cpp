#include "guard.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace lotwort::serve {

std::string Own::host() const {
    const bool is_six = address.find(':') != std::string::npos;
    return fmt::format("{}{}{}:{}", is_six ? "[" : "", address, is_six ? "]" : "", port);
}

namespace {

bool is_own_host(std::string_view host, const Own& own) {
    return host == own.host() || (!own.in_network && host == fmt::format("localhost:{}", own.port));
}

} // namespace

std::string why_refused(const Request& request, const Own& own) {
    const std::string host = request.header("host");
    if (!is_own_host(host, own)) return fmt::format("these pages are at http://{}/", own.host());
    if (request.method != "POST") return {};
    // a browser says where a form came from; a program that says nothing has no page
    const std::string origin = request.header("origin"), site = request.header("sec-fetch-site");
    const bool is_foreign = !origin.empty() && origin != "http://" + host;
    if (is_foreign || (!site.empty() && site != "same-origin")) return "this was sent by a page from elsewhere";
    return {};
}

std::string cookie(const Request& request, std::string_view name) {
    const std::string all = request.header("cookie");
    std::string_view rest = all;
    while (!rest.empty()) {
        std::string_view pair = rest.substr(0, rest.find(';'));
        rest.remove_prefix(std::min(pair.size() + 1, rest.size()));
        while (pair.starts_with(' ')) pair.remove_prefix(1);
        if (pair.size() > name.size() && pair.starts_with(name) && pair[name.size()] == '=')
            return std::string(pair.substr(name.size() + 1));
    }
    return {};
}

void add_safe_headers(Reply& reply) {
    reply.headers.emplace_back(
        "Content-Security-Policy",
        "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src data:; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'");
    reply.headers.emplace_back("X-Content-Type-Options", "nosniff");
    // with none at all a browser would not say where a form came from
    reply.headers.emplace_back("Referrer-Policy", "same-origin");
    reply.headers.emplace_back("Cross-Origin-Opener-Policy", "same-origin");
    reply.headers.emplace_back("Cross-Origin-Resource-Policy", "same-origin");
    const bool has_own = std::ranges::any_of(reply.headers, [](const auto& h) { return h.first == "Cache-Control"; });
    if (!has_own) reply.headers.emplace_back("Cache-Control", "no-store");
}

} // namespace lotwort::serve
