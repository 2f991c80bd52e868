#include <algorithm>
#include <fmt/format.h>
#include <lotwort/report/keep.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

constexpr std::size_t shown_seal_digits = 32; // 128 bits: enough to copy, too many to be met by chance

std::string called(const Item& r) {
    return r.name;
}
std::string called(const Instrument& r) {
    return r.name;
}
std::string called(const Brewhouse& r) {
    return r.name;
}
std::string called(const Lot& r) {
    return r.code;
}
std::string called(const Recipe& r) {
    return r.name;
}
std::string called(const Brew& r) {
    return r.code;
}
std::string called(const Supplier& r) {
    return r.name;
}
std::string called(const Offer& r) {
    return r.item + " from " + r.supplier;
}
std::string called(const Order& r) {
    return r.code;
}
std::string called(const Package& r) {
    return r.code;
}
std::string called(const Plan& r) {
    return r.code;
}
std::string called(const Movement& r) {
    return fmt::format("{} {} {}", r.lot, word(r.kind), to_text(r.change));
}

// Hands over every kind of record there is in a book, in the order of the file.
template <class Take>
void for_each_kind(const Book& book, Take&& take) {
    const auto kind = [&](std::string_view plural, const auto& records) {
        if (!records.empty()) take(plural, records);
    };
    kind("items", book.items);
    kind("instruments", book.instruments);
    kind("brewhouses", book.brewhouses);
    kind("lots", book.lots);
    kind("recipes", book.recipes);
    kind("brews", book.brews);
    kind("packages", book.packages);
    kind("suppliers", book.suppliers);
    kind("offers", book.offers);
    kind("orders", book.orders);
    kind("plans", book.plans);
    kind("movements", book.movements);
}

// How many there are of each kind, and what they are called as far as the line goes.
std::string kinds_text(const Book& book) {
    std::string text;
    for_each_kind(book, [&](std::string_view plural, const auto& records) {
        const std::size_t count = records.size();
        std::string line = fmt::format("  {} {}: ", count, count == 1 ? plural.substr(0, plural.size() - 1) : plural);
        for (std::size_t i = 0; i < count; ++i) {
            const std::string next = (i == 0 ? "" : ", ") + called(records[i]);
            const bool room = display_width(line) + display_width(next) + 5 <= line_width(); // 5: the dots
            if (!room && i > 0) {
                line += ", ...";
                break;
            }
            line += next;
        }
        text += line + "\n";
    });
    return text;
}

void kinds_json(JsonWriter& w, std::string_view key, const Book& book) {
    w.key(key).begin_object();
    for_each_kind(book, [&](std::string_view plural, const auto& records) {
        w.key(plural).begin_array(JsonWriter::Layout::one_line);
        for (const auto& record : records) w.value(called(record));
        w.end_array();
    });
    w.end_object();
}

} // namespace

std::string verify_text(const Verified& verified) {
    std::string text;
    if (verified.faults.empty()) {
        text = fmt::format("{} is sound: {} {}, {} {}, balances as movements say\n", verified.ledger, verified.entries,
                           verified.entries == 1 ? "entry" : "entries", verified.lots,
                           verified.lots == 1 ? "lot" : "lots");
        if (verified.proven_to)
            text += fmt::format("nothing was changed or cut off up to entry {}\n", *verified.proven_to);
        if (verified.seal)
            text += fmt::format("seal of entry {}: {}\n", verified.seal->entry,
                                verified.seal->digits.substr(0, shown_seal_digits));
        if (!verified.network.empty())
            text +=
                fmt::format("it lies on a network folder ({}): book from one machine at a time\n", verified.network);
        return text;
    }
    text = fmt::format("{} has {} {}\n", verified.ledger, verified.faults.size(),
                       verified.faults.size() == 1 ? "fault" : "faults");
    for (const LedgerFault& fault : verified.faults) text += fmt::format("  {}: {}\n", fault.where, fault.what);
    return text + "keep this file as it is, and go back to the newest backup that verifies\n";
}

std::string verify_json(const Verified& verified) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/verify/1").field("ledger", verified.ledger);
    w.field("sound", verified.faults.empty()).field("entries", verified.entries).field("lots", verified.lots);
    if (verified.seal) {
        w.key("seal").begin_object(JsonWriter::Layout::one_line);
        w.field("entry", verified.seal->entry).field("sha256", verified.seal->digits).end_object();
    }
    if (!verified.network.empty()) w.field("network", verified.network);
    w.field("proven_to", verified.proven_to);
    w.key("faults").begin_array();
    for (const LedgerFault& fault : verified.faults)
        w.begin_object(JsonWriter::Layout::one_line).field("where", fault.where).field("what", fault.what).end_object();
    w.end_array().end_object();
    return std::move(w).text();
}

std::string backup_text(const BackedUp& done) {
    return fmt::format("copied {} to {}, and the copy verifies\n", done.ledger, done.copy);
}

std::string backup_json(const BackedUp& done) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/backup/1").field("ledger", done.ledger).field("copy", done.copy);
    w.end_object();
    return std::move(w).text();
}

std::string export_text(const Exported& done) {
    return fmt::format("wrote {}\n{}", done.file, kinds_text(done.written));
}

std::string export_json(const Exported& done) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/export/1").field("file", done.file);
    kinds_json(w, "written", done.written);
    w.end_object();
    return std::move(w).text();
}

namespace {

// Which readings came, brew by brew; of many brews how many.
std::string readings_lines(const Book& added) {
    constexpr std::ptrdiff_t most_listed = 3;
    std::string text;
    std::size_t count = 0;
    for (const Brew& brew : added.brews) count += brew.readings.size();
    const auto brews = std::ranges::count_if(added.brews, [](const Brew& brew) { return !brew.readings.empty(); });
    if (brews > most_listed) return fmt::format("  {} readings of {} brews\n", count, brews);
    for (const Brew& brew : added.brews) {
        if (brew.readings.empty()) continue;
        std::string ids;
        for (const Reading& reading : brew.readings)
            ids += fmt::format("{}{} {}", ids.empty() ? "" : ", ", reading.id, word(reading.point));
        text += wrapped(fmt::format("  readings of {}: {}", brew.code, ids), 4);
    }
    return text;
}

} // namespace

std::string import_text(const Imported& done) {
    if (!done.booked) return fmt::format("{} holds nothing that the ledger lacks; nothing booked\n", done.file);
    return fmt::format("new in {}\n{}{}{}", done.file, kinds_text(done.added), readings_lines(done.added),
                       booked_line(*done.booked));
}

std::string import_json(const Imported& done) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/import/1").field("file", done.file);
    kinds_json(w, "added", done.added);
    if (done.booked) booked_fields(w, *done.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
