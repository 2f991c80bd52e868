#include <lotwort/exchange/json_writer.hpp>
#include <lotwort/report/refusal.hpp>

namespace lotwort::report {

namespace {

std::string_view word_of(ErrorKind kind) {
    switch (kind) {
    case ErrorKind::refused:
        return "refused";
    case ErrorKind::usage:
        return "usage";
    case ErrorKind::shortage:
        return "shortage";
    case ErrorKind::ledger:
        return "ledger";
    case ErrorKind::fault:
        return "fault";
    }
    report_bug("a refusal has a kind", std::source_location::current());
}

} // namespace

std::string refusal_json(const Refusal& refusal) {
    JsonWriter w;
    const auto said = [&](std::string_view name, const std::string& text) {
        if (!text.empty()) w.field(name, text);
    };
    w.begin_object().field("schema", "lotwort/refusal/1");
    said("verb", refusal.verb);
    w.key("error").begin_object();
    w.field("kind", word_of(refusal.kind)).field("status", static_cast<int>(refusal.kind));
    w.field("message", refusal.message);
    said("hint", refusal.hint);
    said("field", refusal.field);
    if (!refusal.changed.empty()) {
        w.key("changed").begin_array();
        for (const Overtaking& one : refusal.changed) {
            w.begin_object().field("entry", one.entry);
            said("by", one.by);
            w.field("what", one.what).end_object();
        }
        w.end_array();
    }
    w.end_object().end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
