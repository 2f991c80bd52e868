#include <fmt/format.h>
#include <lotwort/report/booked.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

std::string booked_line(const Booked& booked) {
    const auto& entry = booked.entry;
    if (booked.dry_run)
        return wrapped(fmt::format("nothing booked; entry {} would be: {}", entry.number, entry.head.what), 2);
    const std::string done = fmt::format("booked as entry {}: {}", entry.number, entry.head.what);
    if (booked.next.empty()) return wrapped(done, 2);
    // what is to be typed stands whole on one line
    const std::string line = done + "; next: " + booked.next;
    return display_width(line) <= line_width ? line + "\n" : wrapped(done, 2) + "next: " + booked.next + "\n";
}

void booked_fields(JsonWriter& w, const Booked& booked) {
    const auto& head = booked.entry.head;
    w.field("dry_run", booked.dry_run);
    w.key("entry").begin_object().field("number", booked.entry.number).field("kind", word(head.kind));
    w.field("on", head.on).field("booked_at", head.booked_at);
    if (!head.by.empty()) w.field("by", head.by);
    w.field("what", head.what);
    if (!head.why.empty()) w.field("why", head.why);
    w.end_object();
}

std::string booked_json(const Booked& booked, std::string_view schema) {
    JsonWriter w;
    w.begin_object().field("schema", schema);
    booked_fields(w, booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
