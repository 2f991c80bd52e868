#include <fmt/format.h>
#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/init.hpp>
#include <lotwort/report/table.hpp>

namespace lotwort::report {

std::string init_text(const MadeLedger& made) {
    const std::string next = made.next.empty() ? "lotwort receive \"pale ale malt\" 25kg" : made.next;
    const char* did = made.dry_run ? "would make" : "made";
    const char* assumed = made.currency_assumed ? " (nothing else was stated: --currency)" : "";
    const std::string where =
        made.network.empty()
            ? ""
            : fmt::format(
                  "it lies on a network folder ({}): book from one machine at a time, since not every server keeps\n"
                  "the locks that hold two writers apart; back it up to a disk of this machine\n",
                  made.network);
    const std::string& refused = made.refused;
    if (!made.booked.empty()) {
        std::string text = fmt::format("{} the ledger {}\nprices in {}{}\nbooked what you answered; by hand it is:\n",
                                       did, made.path, made.currency, assumed);
        for (const std::string& command : made.booked) text += fmt::format("  {}\n", command);
        return text + refused + fmt::format("next: {}\n", next) + where;
    }
    const std::string line =
        fmt::format("{} the ledger {}, prices in {}{}; next: {}\n", did, made.path, made.currency, assumed, next);
    if (display_width(line) <= line_width() + 1) return refused + line + where;
    // a path is not broken, however long: it is copied from here
    return refused +
           fmt::format("{} the ledger {}\nprices in {}{}\nnext: {}\n", did, made.path, made.currency, assumed, next) +
           where;
}

std::string init_json(const MadeLedger& made) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/init/1").field("dry_run", made.dry_run);
    w.field("ledger", made.path).field("currency", made.currency);
    if (!made.network.empty()) w.field("network", made.network);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
