// The answers of `lotwort verify`, `backup`, `export` and `import`.
#pragma once

#include <lotwort/brew/book_sink.hpp>
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

// The records of one kind: how many, and what the first of them are called.
struct Kind {
    std::string_view plural; // items
    std::size_t count = 0;
    std::vector<std::string> names;
};

// What goes by, kind by kind; of brews and movements so many names, and the count of all.
class KindsSeen final : public BookSink {
public:
    explicit KindsSeen(std::size_t most_names) : most_names_(most_names) {}
    void begin(const Book& rest) override;
    void brew(const Brew& brew) override;
    void movement(const Movement& movement) override;
    void end() override {}
    [[nodiscard]] const std::vector<Kind>& kinds() const { return kinds_; } // in the order of the file

private:
    std::size_t most_names_;
    std::vector<Kind> kinds_;
};

struct Exported {
    static constexpr std::size_t shown = 50; // names that the text has room for
    std::string file;
    std::vector<Kind> kinds; // empty: rows of one kind
};
[[nodiscard]] std::string export_text(const Exported& done);
[[nodiscard]] std::string export_json(const Exported& done); // lotwort/export/1

struct Imported {
    static constexpr std::size_t shown = Exported::shown;
    std::string file;
    Book added;                   // but for its movements
    std::vector<Kind> kinds;      // of it, its movements too
    std::optional<Booked> booked; // none where nothing was new
};
[[nodiscard]] std::string import_text(const Imported& done);
[[nodiscard]] std::string import_json(const Imported& done); // lotwort/import/1

} // namespace lotwort::report
