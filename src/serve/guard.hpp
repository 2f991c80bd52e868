// What a request must be like before anything is done with it.
#pragma once

#include "http.hpp"
#include <string>

namespace lotwort::serve {

// The address that is served, as a Host header has it: "127.0.0.1:8017", "[::1]:8017". At the machine itself it may be
// called localhost too.
struct Own {
    std::string address;
    int port = 0;
    bool in_network = false;
    [[nodiscard]] std::string host() const;
};

// Why it is refused; empty: it is not. A name that somebody made to lead here (DNS rebinding) is none of ours, and what
// is sent comes from a page of ours, or from no page at all. Read-only requests may come by a link from anywhere.
[[nodiscard]] std::string why_refused(const Request& request, const Own& own);

// The value of a cookie; empty where there is none.
[[nodiscard]] std::string cookie(const Request& request, std::string_view name);

// Every reply's: nothing but our own pages, styles and scripts, in no frame, kept by nobody.
void add_safe_headers(Reply& reply);

} // namespace lotwort::serve
