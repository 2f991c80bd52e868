// What `lotwort serve` says of where it listens.
#pragma once

#include <string>

namespace lotwort::report {

struct Listening {
    std::string ledger;
    std::string address; // of the first page; in a network with its key
    bool in_network = false;
    bool read_only = false;
};

[[nodiscard]] std::string listening_text(const Listening& listening);
[[nodiscard]] std::string listening_json(const Listening& listening); // lotwort/serve/1, in one line

} // namespace lotwort::report
