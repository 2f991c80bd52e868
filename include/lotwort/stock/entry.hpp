// An entry of the ledger: who booked what, when and why. Everything booked stands under one; entries are
// never altered, and one is taken back by another that names it.
#pragma once

#include <array>
#include <cstdint>
#include <lotwort/core/date.hpp>
#include <lotwort/core/fields.hpp>
#include <optional>
#include <string>

namespace lotwort {

enum class EntryKind {
    init,
    item,
    instrument,
    brewhouse,
    recipe,
    receive,
    plan,
    brew,
    measure,
    count,
    discard,
    offer,
    order,
    hold,
    retest,
    import_file,
    reverse,
    return_to_supplier,
    split,
    open,
    harvest,
    package,
    tank
};

template <>
struct WordsOf<EntryKind> {
    static constexpr std::array<std::string_view, 23> list{
        "init",    "item",   "instrument", "brewhouse", "recipe",  "receive", "plan",   "brew",
        "measure", "count",  "discard",    "offer",     "order",   "hold",    "retest", "import",
        "reverse", "return", "split",      "open",      "harvest", "package", "tank"};
};

struct EntryHead {
    EntryKind kind = EntryKind::import_file;
    Date on;               // the day it is about
    std::string booked_at; // UTC, YYYY-MM-DDTHH:MM:SSZ
    std::string by;        // a name the user sets; may be empty
    std::string what;      // one line: what was booked
    std::string why;       // may be empty
    std::optional<std::string>
        form{}; // the one-time number of the page's form that sent it, 16 to 64 of 0-9, a-z and -
};

struct Entry {
    std::int64_t number = 0;
    EntryHead head;
    std::optional<std::int64_t> reverses;
    std::optional<std::int64_t> reversed_by;
};

} // namespace lotwort
