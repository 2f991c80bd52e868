#include <fmt/format.h>
#include <lotwort/report/booked.hpp>

namespace lotwort::report {

std::string booked_line(const Booked& booked) {
    const auto& entry = booked.entry;
    const std::string next = booked.next.empty() ? "" : "; next: " + booked.next;
    if (booked.dry_run) return fmt::format("nothing booked; entry {} would be: {}\n", entry.number, entry.head.what);
    return fmt::format("booked as entry {}: {}{}\n", entry.number, entry.head.what, next);
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
