// The answers of `lotwort verify`, `backup`, `export` and `import`.
#pragma once

#include <lotwort/brew/book.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/store/ledger.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

struct Verified {
    std::string ledger;
    std::vector<LedgerFault> faults;
    std::int64_t entries = 0;
    std::size_t lots = 0;
    std::string network = {};                   // the kind of network file system it lies on; empty: none
    std::optional<Seal> seal = {};              // of the newest entry
    std::optional<std::int64_t> proven_to = {}; // the entry whose seal was given and found
};
[[nodiscard]] std::string verify_text(const Verified& verified);
[[nodiscard]] std::string verify_json(const Verified& verified); // lotwort/verify/1

struct BackedUp {
    std::string ledger;
    std::string copy;
};
[[nodiscard]] std::string backup_text(const BackedUp& done);
[[nodiscard]] std::string backup_json(const BackedUp& done); // lotwort/backup/1

struct Exported {
    std::string file;
    Book written; // empty: rows of one kind
};
[[nodiscard]] std::string export_text(const Exported& done);
[[nodiscard]] std::string export_json(const Exported& done); // lotwort/export/1

struct Imported {
    std::string file;
    Book added;
    std::optional<Booked> booked; // none where nothing was new
};
[[nodiscard]] std::string import_text(const Imported& done);
[[nodiscard]] std::string import_json(const Imported& done); // lotwort/import/1

} // namespace lotwort::report
