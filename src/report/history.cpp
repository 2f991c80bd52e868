#include <fmt/format.h>
#include <lotwort/report/history.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

std::string number_text(const std::optional<std::int64_t>& number) {
    return number ? std::to_string(*number) : "";
}

// What became of an entry comes first, so that it is never cut off.
std::string what_text(const Entry& entry) {
    std::string text = entry.head.what;
    if (entry.reversed_by) text = fmt::format("[taken back by {}] {}", *entry.reversed_by, text);
    if (!entry.head.why.empty()) text += " - " + entry.head.why;
    return text;
}

} // namespace

std::string history_text(const std::vector<Entry>& entries) {
    if (entries.empty()) return "no such entries\n";
    bool signed_by = false;
    for (const Entry& entry : entries) signed_by = signed_by || !entry.head.by.empty();
    Table table{{{"ENTRY", Align::right}, {"ON"}, {"KIND"}, {"WHAT", Align::left, true}}, {}};
    if (signed_by) table.columns.push_back({"BY", Align::left, true});
    for (const Entry& entry : entries) {
        table.rows.push_back({std::to_string(entry.number), to_iso(entry.head.on), std::string(word(entry.head.kind)),
                              what_text(entry)});
        if (signed_by) table.rows.back().push_back(entry.head.by);
    }
    return table_text(table);
}

std::string entry_text(const Entry& entry) {
    const EntryHead& head = entry.head;
    std::string text = fmt::format("entry {}: {}, about {}\n", entry.number, word(head.kind), to_iso(head.on));
    const auto add = [&](const char* name, const std::string& value) {
        if (!value.empty()) text += wrapped(fmt::format("  {:<14} {}", name, value), 17);
    };
    add("what", head.what);
    add("why", head.why);
    add("by", head.by);
    add("booked at", head.booked_at);
    if (entry.reverses) add("takes back", fmt::format("entry {}", *entry.reverses));
    if (entry.reversed_by) add("taken back by", fmt::format("entry {}", *entry.reversed_by));
    return text;
}

std::string history_csv(const std::vector<Entry>& entries) {
    std::string csv = csv_row({"entry", "on", "kind", "what", "why", "by", "booked_at", "reverses", "reversed_by"});
    for (const Entry& entry : entries)
        csv += csv_row({std::to_string(entry.number), to_iso(entry.head.on), std::string(word(entry.head.kind)),
                        entry.head.what, entry.head.why, entry.head.by, entry.head.booked_at,
                        number_text(entry.reverses), number_text(entry.reversed_by)});
    return csv;
}

std::string history_json(const std::vector<Entry>& entries) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/history/1").key("entries").begin_array();
    for (const Entry& entry : entries) {
        const EntryHead& head = entry.head;
        w.begin_object(JsonWriter::Layout::one_line).field("number", entry.number).field("kind", word(head.kind));
        w.field("on", head.on).field("booked_at", head.booked_at);
        if (!head.by.empty()) w.field("by", head.by);
        w.field("what", head.what);
        if (!head.why.empty()) w.field("why", head.why);
        w.field("reverses", entry.reverses).field("reversed_by", entry.reversed_by).end_object();
    }
    w.end_array().end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
