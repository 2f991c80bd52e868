#include <fmt/format.h>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/serving.hpp>

namespace lotwort::report {

std::string listening_text(const Listening& listening) {
    std::string text = fmt::format("{} is {} at {}\n", listening.ledger,
                                   listening.read_only ? "to be looked at" : "worked with", listening.address);
    if (listening.in_network)
        text += "the key in it lets in one telephone, and whoever is in may book and look; what goes to and fro can be "
                "read\nby others in the network: use the brewery's own\n";
    return text + "Ctrl-C ends it\n";
}

std::string listening_json(const Listening& listening) {
    JsonWriter w(0);
    w.begin_object().field("schema", "lotwort/serve/1").field("ledger", listening.ledger);
    w.field("address", listening.address).field("in_network", listening.in_network);
    w.field("read_only", listening.read_only).end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
