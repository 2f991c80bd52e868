#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string consequences(const Booked& booked) {
    std::string text;
    for (const std::string& sentence : booked.says) text += wrapped(sentence, 2);
    for (const LostPlan& plan : booked.lost) {
        std::vector<std::string> parts;
        for (const TakenLot& part : plan.lost) parts.push_back(fmt::format("{} of {}", to_text(part.amount), part.lot));
        text += wrapped(fmt::format("{} on {} {} what it was promised: {}", plan.plan, to_iso(plan.date),
                                    booked.dry_run ? "would lose" : "loses", fmt::join(parts, ", ")),
                        2) +
                "what can stand in: " + plan.again + "\n";
    }
    return text;
}

void lost_json(JsonWriter& w, const std::vector<LostPlan>& lost) {
    w.key("promises_lost").begin_array();
    for (const LostPlan& plan : lost)
        for (const TakenLot& part : plan.lost) {
            w.begin_object(JsonWriter::Layout::one_line).field("plan", plan.plan).field("date", plan.date);
            w.field("lot", part.lot);
            write_amount_field(w, "lost", part.amount);
            w.field("again", plan.again).end_object();
        }
    w.end_array();
}

} // namespace

std::string booked_line(const Booked& booked) {
    const auto& entry = booked.entry;
    const std::string before = consequences(booked);
    if (booked.dry_run)
        return before + wrapped(fmt::format("nothing booked; entry {} would be: {}", entry.number, entry.head.what), 2);
    const std::string done = fmt::format("booked as entry {}: {}", entry.number, entry.head.what);
    if (booked.next.empty()) return before + wrapped(done, 2);
    // what is to be typed stands whole on one line
    const std::string line = done + "; next: " + booked.next;
    return before +
           (display_width(line) <= line_width() ? line + "\n" : wrapped(done, 2) + "next: " + booked.next + "\n");
}

void booked_fields(JsonWriter& w, const Booked& booked) {
    const auto& head = booked.entry.head;
    if (!booked.says.empty()) w.field("says", booked.says);
    if (!booked.lost.empty()) lost_json(w, booked.lost);
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
