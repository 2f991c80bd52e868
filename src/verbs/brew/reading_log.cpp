#include "reading_log.hpp"
#include "../doubts.hpp"
#include "delivery_note.hpp"
#include "readings.hpp"
#include <algorithm>
#include <array>
#include <charconv>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/fault_lines.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/exchange/csv.hpp>
#include <set>

namespace lotwort::verbs {

namespace {

constexpr std::array<std::string_view, 13> meanings{"brew",       "point",       "at",    "run",  "mash",
                                                    "volume",     "volume-at",   "depth", "mass", "gravity",
                                                    "gravity-at", "temperature", "ph"};

// A meaning's place in the row, and the unit that its figures have where the cells do not say.
struct Source {
    std::optional<std::size_t> place; // none: the same for all rows
    std::string unit, heading, value;
};
using Sources = std::map<std::string, Source, std::less<>>;

// "temperature:F=Mash temp": what it is, its unit, and what stands behind the equals sign.
std::pair<std::string, Source> parse_pair(const std::string& option, const std::string& text) {
    const auto equals = text.find('=');
    const std::string left = text.substr(0, equals);
    const auto colon = left.find(':');
    const std::string meaning = left.substr(0, colon);
    if (equals == std::string::npos || equals + 1 == text.size() ||
        std::ranges::find(meanings, meaning) == meanings.end())
        throw Error(ErrorKind::refused, fmt::format("--{} `{}` does not say what is what", option, text),
                    fmt::format("write MEANING=HEADING or MEANING:UNIT=HEADING with --map, MEANING=VALUE with --set; "
                                "meanings are {}",
                                fmt::join(meanings, ", ")));
    Source source;
    if (colon != std::string::npos) source.unit = left.substr(colon + 1);
    source.heading = text.substr(equals + 1);
    return {meaning, source};
}

std::optional<std::size_t> column_called(const CsvTable& table, const std::string& heading) {
    const auto found =
        std::ranges::find_if(table.header, [&](const std::string& head) { return lowered(head) == lowered(heading); });
    if (found == table.header.end()) return std::nullopt;
    return static_cast<std::size_t>(found - table.header.begin());
}

// What is wrong with a mapping, all of it, and what to do; a thing that is said again is told once.
class MappingFaults {
public:
    template <class Act>
    void look(Act&& act) {
        try {
            act();
        } catch (const Error& fault) {
            if (std::ranges::find(whats_, fault.what()) == whats_.end()) whats_.emplace_back(fault.what());
            if (std::ranges::find(hints_, fault.hint()) == hints_.end()) hints_.push_back(fault.hint());
        }
    }
    void throw_if_any() const {
        if (!whats_.empty())
            throw Error(ErrorKind::refused, fmt::format("{}", fmt::join(whats_, "\n")),
                        fmt::format("{}", fmt::join(hints_, "\n")));
    }

private:
    std::vector<std::string> whats_, hints_;
};

// What --map and --set say; columns that are headed by a meaning's own word need not be named.
Sources sources_of(const Call& call, const CsvTable& table, const std::string& file) {
    Sources sources;
    MappingFaults faults;
    const auto add = [&](const std::string& meaning, const Source& source) {
        if (!sources.emplace(meaning, source).second)
            throw Error(ErrorKind::refused, fmt::format("{} is said twice", meaning), "say it once");
    };
    for (const auto& text : call.args.all("map"))
        faults.look([&] {
            auto [meaning, source] = parse_pair("map", text);
            source.place = column_called(table, source.heading);
            add(meaning, source);
            if (!source.place)
                throw Error(ErrorKind::refused, fmt::format("{} has no column `{}`", file, source.heading),
                            fmt::format("it has: {}", fmt::join(table.header, ", ")));
        });
    for (const auto& text : call.args.all("set"))
        faults.look([&] {
            auto [meaning, source] = parse_pair("set", text);
            source.value = source.heading;
            add(meaning, source);
        });
    faults.throw_if_any();
    for (const auto meaning : meanings)
        if (const auto place = column_called(table, std::string(meaning)); place && !sources.contains(meaning))
            sources[std::string(meaning)] = {place, "", std::string(meaning), ""};
    for (const char* needed : {"brew", "point"})
        if (!sources.contains(needed))
            throw Error(ErrorKind::refused, fmt::format("{} does not say which column is the {}", file, needed),
                        fmt::format("add --map {}=HEADING, or --set {}={} where it is one for all rows; it has: {}",
                                    needed, needed, needed == std::string_view("brew") ? "B1" : "kettle-full",
                                    fmt::join(table.header, ", ")));
    return sources;
}

bool is_plain_number(const std::string& cell) {
    double value = 0.0;
    const auto [end, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    return fault == std::errc{} && end == cell.data() + cell.size();
}

class Row {
public:
    Row(const CsvRow& row, const Sources& sources, char separator)
        : row_(row), sources_(sources), separator_(separator) {}

    [[nodiscard]] std::string cell(std::string_view meaning) const {
        const auto source = sources_.find(meaning);
        if (source == sources_.end()) return "";
        return source->second.place ? row_.cells[*source->second.place] : source->second.value;
    }
    // A figure as one types it: its decimal point, its unit.
    [[nodiscard]] std::string figure(std::string_view meaning) const {
        std::string text = with_decimal_point(cell(meaning), separator_);
        if (text.empty()) return text;
        if (!(text[0] >= '0' && text[0] <= '9') && text[0] != '-' && text[0] != '.')
            throw Error(ErrorKind::refused, fmt::format("`{}` is no figure", text), "");
        if (is_plain_number(text)) text += sources_.find(meaning)->second.unit;
        return text;
    }
    [[nodiscard]] std::string taken_at(std::string_view meaning, std::string_view temperature) const {
        std::string text = figure(meaning);
        const std::string at = temperature.empty() ? "" : figure(temperature);
        if (!text.empty() && !at.empty()) text += "@" + at;
        return text;
    }
    // Where a meaning stands in the file: ", column Vol" of a table's column.
    [[nodiscard]] std::string place_of(std::string_view meaning) const {
        const auto source = sources_.find(meaning);
        if (source == sources_.end() || !source->second.place) return "";
        return ", column " + source->second.heading;
    }
    [[nodiscard]] std::size_t line() const { return row_.line; }

private:
    const CsvRow& row_;
    const Sources& sources_;
    char separator_;
};

// The time of day in "14:05", "2026-03-10 14:05:30" or "10.03.2026 9:05".
std::optional<std::string> time_in(const std::string& cell) {
    if (cell.empty()) return std::nullopt;
    const auto is_digit = [&](std::size_t i) { return i < cell.size() && cell[i] >= '0' && cell[i] <= '9'; };
    for (std::size_t colon = 1; colon < cell.size(); ++colon) {
        if (cell[colon] != ':' || !is_digit(colon - 1) || !is_digit(colon + 1) || !is_digit(colon + 2)) continue;
        const bool two = colon >= 2 && is_digit(colon - 2);
        const std::string hour = two ? cell.substr(colon - 2, 2) : "0" + cell.substr(colon - 1, 1);
        const std::string minute = cell.substr(colon + 1, 2);
        if (hour <= "23" && minute <= "59") return hour + ":" + minute;
        break;
    }
    throw Error(ErrorKind::refused, fmt::format("`{}` is no time of day: write 14:05", cell), "");
}

// The day before that time, where it is written as YYYY-MM-DD: other spellings may be either of two days.
std::optional<Date> day_in(std::string_view cell) {
    return parse_iso_date(cell.substr(0, 10));
}

std::optional<int> small_number(const std::string& cell, std::string_view what, std::int64_t most) {
    if (cell.empty()) return std::nullopt;
    return static_cast<int>(parse_whole(cell, what, 1, most));
}

// Same reading, whatever it is called and whether it counts.
bool says_the_same(const Reading& known, const Reading& read) {
    Reading same = known;
    same.id = read.id;
    same.set_aside = read.set_aside;
    return same == read;
}

// What a row can say beside the point, as one word of `measure` each.
struct Figure {
    std::string_view meaning, temperature;
};
constexpr std::array<Figure, 6> figures{{{"volume", "volume-at"},
                                         {"depth", "volume-at"},
                                         {"mass", ""},
                                         {"gravity", "gravity-at"},
                                         {"ph", ""},
                                         {"temperature", ""}}};

// What is wrong with the lines of a file, each with its line and column.
class LineFaults {
public:
    explicit LineFaults(const std::string& file) : file_(file) {}

    // False where it throws; what the row says of it has been told before where it is the same.
    template <class Act>
    bool holds(const Row& row, std::string_view meaning, Act&& act) {
        try {
            act();
            return true;
        } catch (const Error& e) {
            if (row.line() != line_) {
                line_ = row.line();
                ++lines_;
                of_line_.clear();
            }
            const std::string what = fmt::format("{}{}", e.what(), e.hint().empty() ? "" : " (" + e.hint() + ")");
            if (of_line_.insert(what).second)
                told_.add(
                    [&] { return fmt::format("{}: line {}{}: {}", file_, row.line(), row.place_of(meaning), what); });
            return false;
        }
    }
    void throw_if_any() const {
        if (lines_ == 0) return;
        throw Error(
            ErrorKind::refused,
            fmt::format("{} {} of {} cannot be used{}", lines_, lines_ == 1 ? "line" : "lines", file_, listed(told_)),
            "nothing was booked: mend the file or the --map, and import it again");
    }

private:
    const std::string& file_;
    std::size_t line_ = 0, lines_ = 0;
    std::set<std::string> of_line_;
    FaultLines told_;
};

// The brews that the log speaks of, each with what it has and what is new.
class Brews {
public:
    Brews(Call& call, LineFaults& faults) : call_(call), faults_(faults), book_(call.ledger().definitions()) {}

    void take(const Row& row) {
        Words words;
        bool good = true;
        for (const auto& [meaning, temperature] : figures)
            good &= faults_.holds(row, meaning, [&] {
                const std::string said = row.taken_at(meaning, temperature);
                if (!said.empty()) words.emplace_back(meaning, meaning == "ph" ? "pH" + said : said);
            });
        if (good && words.empty()) return; // the logger was on, and nothing was read
        Reading common;
        good &= faults_.holds(row, "at", [&] { common.at = time_in(row.cell("at")); });
        good &= faults_.holds(row, "run", [&] { common.run = small_number(row.cell("run"), "run", 20); });
        good &= faults_.holds(row, "mash", [&] { common.mash = small_number(row.cell("mash"), "mash", 9); });
        Told* told = nullptr;
        if (!faults_.holds(row, "brew", [&] { told = &told_of(row.cell("brew")); })) return;
        if (const auto day = day_in(row.cell("at")))
            good &= faults_.holds(row, "at", [&] { demand_brewed(told->so_far, *day); });
        const ReadingPlace place{told->so_far, known_brewhouse(book_, told->so_far.brewhouse), book_.instruments};
        if (!each_can_be(row, words, place) || !good) return;
        faults_.holds(row, "", [&] {
            std::vector<std::string> all{row.cell("point")};
            for (const auto& [meaning, word] : words) all.push_back(word);
            for (Reading& reading : parse_readings(all, place)) {
                reading.at = common.at;
                reading.run = common.run;
                reading.mash = common.mash;
                add(*told, reading);
            }
        });
    }

    [[nodiscard]] Book part() const {
        Book part;
        for (const auto& [code, told] : told_)
            if (!told.fresh.readings.empty()) part.brews.push_back(told.fresh);
        return part;
    }

private:
    using Words = std::vector<std::pair<std::string_view, std::string>>; // of `measure`, under their meanings
    struct Told {
        Brew so_far, fresh;
        std::vector<Reading> unmatched; // of the ledger, that no row has said again
    };

    // The point, and then each figure by itself, so that all faults of a row are told.
    bool each_can_be(const Row& row, const Words& words, const ReadingPlace& place) {
        const std::string point = row.cell("point");
        if (!from_word<ReadingPoint>(point))
            return faults_.holds(row, "point", [&] { (void)parse_readings({point}, place); });
        bool good = true;
        for (const auto& [meaning, word] : words)
            good &= faults_.holds(row, meaning, [&] { (void)parse_readings({point, word}, place); });
        return good;
    }

    void add(Told& told, Reading& reading) {
        const auto known =
            std::ranges::find_if(told.unmatched, [&](const Reading& other) { return says_the_same(other, reading); });
        if (known != told.unmatched.end()) {
            told.unmatched.erase(known);
            return;
        }
        told.so_far.readings.push_back(reading);
        told.fresh.readings.push_back(std::move(reading));
    }

    Told& told_of(const std::string& code) {
        if (const auto known = codes_.find(code); known != codes_.end()) return told_.at(known->second);
        Told told;
        told.so_far = known_brew(call_.ledger(), code);
        const std::string its_own = told.so_far.code; // b1 is B1
        codes_[code] = its_own;
        told.unmatched = told.so_far.readings;
        told.fresh = told.so_far;
        told.fresh.additions.clear();
        told.fresh.readings.clear();
        told.fresh.unused.clear();
        return told_.emplace(its_own, std::move(told)).first->second;
    }

    Call& call_;
    LineFaults& faults_;
    Book book_;
    std::map<std::string, Told> told_;
    std::map<std::string, std::string> codes_; // as the rows spell them
};

} // namespace

Book readings_from_log(Call& call, const std::string& text, const std::string& source) {
    const CsvTable table = read_csv(text, source);
    const Sources sources = sources_of(call, table, source);
    LineFaults faults(source);
    Brews brews(call, faults);
    for (const CsvRow& row : table.rows) brews.take(Row(row, sources, table.separator));
    faults.throw_if_any();
    Book part = brews.part();
    const Book book = call.ledger().definitions();
    for (const Brew& brew : part.brews) {
        const auto brewed = call.ledger().brews_of_fermenter(brew.code).size();
        doubt_full_vessels(call, brew.readings, known_brewhouse(book, brew.brewhouse), static_cast<int>(brewed));
        doubt_gravities(call, known_brew(call.ledger(), brew.code), brew.readings, book);
    }
    return part;
}

} // namespace lotwort::verbs
