#include "count_sheet.hpp"
#include "count_lot.hpp"
#include "delivery_note.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/fault_lines.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/exchange/csv.hpp>
#include <lotwort/report/movement.hpp>
#include <set>

namespace lotwort::verbs {

namespace {

class Columns {
public:
    Columns(const CsvTable& table, const std::string& source) {
        for (std::size_t i = 0; i < table.header.size(); ++i)
            for (auto& [name, place] : places_)
                if (lowered(table.header[i]) == name) place = i;
        for (const char* needed : {"lot", "counted"})
            if (!places_.at(needed))
                throw Error(ErrorKind::refused, fmt::format("{} has no column `{}`", source, needed),
                            fmt::format("it has: {}; lotwort count --sheet --csv prints a sheet to fill in",
                                        fmt::join(table.header, ", ")));
    }
    // Of a row; empty where the sheet has no such column.
    [[nodiscard]] std::string cell(const CsvRow& row, const std::string& name) const {
        const auto place = places_.at(name);
        return place ? row.cells[*place] : std::string();
    }

private:
    std::map<std::string, std::optional<std::size_t>> places_{
        {"lot", {}}, {"counted", {}}, {"unit", {}}, {"reason", {}}};
};

// "24,2" under a unit of kg is typed 24.2kg; what has a unit of its own keeps it.
std::string typed_amount(const std::string& counted, const std::string& unit, char separator) {
    const bool has_unit =
        std::ranges::any_of(counted, [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); });
    return with_decimal_point(counted, separator) + (has_unit ? "" : unit == "count" ? "pieces" : unit);
}

struct Sheet {
    std::vector<LotCount> counts;
    std::vector<std::string> not_counted; // lots
    std::set<std::string> lots;           // that were counted
    FaultLines faults;
};

void read_row(Call& call, const CsvTable& table, const Columns& columns, const CsvRow& row,
              const std::string& usual_reason, Sheet& sheet) {
    const std::string code = columns.cell(row, "lot"), counted = columns.cell(row, "counted");
    if (counted.empty()) {
        sheet.not_counted.push_back(code);
        return;
    }
    LotCount count = read_count(call, code, typed_amount(counted, columns.cell(row, "unit"), table.separator));
    if (!sheet.lots.insert(count.state.lot.code).second)
        throw Error(ErrorKind::refused, fmt::format("lot {} stands twice", code));
    const std::string within = tolerated(call, count);
    count.reason = columns.cell(row, "reason");
    if (count.difference().units != 0) {
        if (count.reason.empty()) count.reason = within;
        if (count.reason.empty()) count.reason = usual_reason;
        if (count.reason.empty()) throw Error(ErrorKind::refused, difference_text(count) + ", and no reason is given");
        (void)parse_name(count.reason, "reason");
    }
    sheet.counts.push_back(std::move(count));
}

Sheet parse(Call& call, const std::string& path, const std::string& usual_reason) {
    const std::string file = name_of_file(call, path);
    const CsvTable table = read_csv(read_file(call, path), file);
    const Columns columns(table, file);
    Sheet sheet;
    for (const CsvRow& row : table.rows) try {
            read_row(call, table, columns, row, usual_reason, sheet);
        } catch (const Error& fault) {
            if (fault.kind() == ErrorKind::ledger) throw;
            sheet.faults.add([&] { return fmt::format("  line {}: {}", row.line, fault.what()); });
        }
    if (sheet.faults.count() > 0)
        throw Error(
            ErrorKind::refused,
            fmt::format("{}: {} cannot be booked:{}", file,
                        sheet.faults.count() == 1 ? "a line" : fmt::format("{} lines", sheet.faults.count()),
                        listed(sheet.faults)),
            "nothing was booked: fill in the column `reason` where a count differs, or let small differences be: "
            "--tolerance 1%");
    if (sheet.counts.empty())
        throw Error(ErrorKind::refused, fmt::format("{}: nothing is filled in", file),
                    "write what is there into the column `counted`");
    return sheet;
}

} // namespace

Answer count_from_sheet(Call& call, const std::string& file) {
    for (const char* alone : {"LOT", "moisture", "sheet"})
        if (call.args.has(alone))
            throw Error(ErrorKind::usage, "a sheet says all of its counts itself",
                        "write lotwort count --from FILE, with --reason, --tolerance and --on if need be");
    const bool csv = call.csv();
    const auto usual = call.args.text("reason");
    const Sheet sheet = parse(call, file, usual.value_or(""));
    report::SheetCount booked;
    booked.currency = call.ledger().currency();
    booked.not_counted = sheet.not_counted;
    Book part;
    std::size_t differing = 0;
    for (const LotCount& count : sheet.counts) {
        Movement& movement = part.movements.emplace_back();
        movement.on = call.on();
        movement.lot = count.state.lot.code;
        movement.kind = MovementKind::count;
        movement.change = count.difference();
        if (movement.change.units != 0) ++differing;
        if (!count.reason.empty()) movement.reason = count.reason;
        booked.rows.push_back(
            {count.state.lot, count.booked, count.counted, count.reason, worth_of(call.ledger(), count)});
    }
    const auto lost = promises_lost(call.desk(), part);
    const auto entry =
        call.book(part, EntryKind::count,
                  fmt::format("counted {} {}, {}", sheet.counts.size(), sheet.counts.size() == 1 ? "lot" : "lots",
                              differing == 0 ? "all as booked" : fmt::format("{} not as booked", differing)));
    booked.booked = {entry, call.dry_run(), "lotwort stock --lots", lost};
    if (csv) return {report::sheet_count_csv(booked)};
    return {call.json() ? report::sheet_count_json(booked) : report::sheet_count_text(booked)};
}

} // namespace lotwort::verbs
