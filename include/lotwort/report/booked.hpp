// What every writing verb says last: what was booked, the entry's number, and the next sensible command.
#pragma once

#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/stock/entry.hpp>
#include <lotwort/stock/reserve.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// An open plan that can no longer have what it was promised, and the command that says what can stand in.
struct LostPlan {
    std::string plan;
    Date date;
    std::vector<TakenLot> lost;
    std::string again;
};

struct Booked {
    Entry entry;
    bool dry_run = false;
    std::string next; // a whole command: lotwort stock
    std::vector<LostPlan> lost = {};
    std::vector<std::string> says = {}; // what else follows from it
};

// "booked as entry 12: received 25 kg of pale ale malt as PAM-1; next: lotwort stock", closed by a line end.
// With dry_run: "nothing booked; entry 12 would be: ...". Before it what else follows, and what plans lose, each with
// the command that helps.
[[nodiscard]] std::string booked_line(const Booked& booked);

// "dry_run" and "entry": {number, kind, on, booked_at, by, what, why}, inside the object that is open; before them
// "says" and "promises_lost", where there are any.
void booked_fields(JsonWriter& w, const Booked& booked);

// A whole document of one object: "schema" and the booked fields, for verbs that answer nothing else.
[[nodiscard]] std::string booked_json(const Booked& booked, std::string_view schema = "lotwort/booked/1");

} // namespace lotwort::report
