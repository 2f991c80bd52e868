#include "mutants/rows.hpp"
#include <algorithm>
#include <cctype>
#include <optional>
#include <sstream>
#include <stdexcept>

namespace lotwort::mutants {

namespace {

[[noreturn]] void stale(const Row& row, const std::string& what) {
    throw std::runtime_error(row.room + " " + std::to_string(row.number) + ": <" + row.was + "> " + what + " src/" +
                             row.file);
}

bool blank(char c) {
    return std::isspace(static_cast<unsigned char>(c)) != 0;
}

bool word(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

std::size_t past_blanks(std::string_view text, std::size_t at) {
    while (at < text.size() && blank(text[at])) {
        ++at;
    }
    return at;
}

// Where `was` ends if it begins at `from`: blanks and line breaks count for nothing on both sides, as a formatter moves
// them.
std::optional<std::size_t> matched(std::string_view was, std::string_view source, std::size_t from) {
    std::size_t at = from;
    for (std::size_t i = 0; i < was.size(); ++i) {
        if (blank(was[i])) {
            continue;
        }
        at = i == 0 ? at : past_blanks(source, at);
        if (at == source.size() || source[at] != was[i]) {
            return std::nullopt;
        }
        ++at;
    }
    const bool cut = word(was.back()) && at < source.size() && word(source[at]);
    return cut ? std::nullopt : std::optional(at);
}

std::string& part_of(Row& row, const std::string& key) {
    return key == "was"    ? row.was
           : key == "now"  ? row.now
           : key == "why"  ? row.why
           : key == "dies" ? row.dies
                           : row.equal;
}

} // namespace

std::vector<Row> read_rows(const std::string& room, std::string_view text) {
    std::vector<Row> rows;
    std::string file;
    std::istringstream lines{std::string(text)};
    int number = 0;
    for (std::string line; std::getline(lines, line);) {
        ++number;
        if (line.empty() || line.front() == '#') {
            continue;
        }
        const auto space = line.find(' ');
        const std::string key = line.substr(0, space);
        const auto value = space == std::string::npos ? std::string::npos : line.find_first_not_of(' ', space);
        const std::string said = value == std::string::npos ? "" : line.substr(value);
        const bool known =
            key == "in" || key == "was" || key == "now" || key == "why" || key == "dies" || key == "equal";
        if (!known || said.empty() || (key != "in" && key != "was" && rows.empty())) {
            throw std::runtime_error(room + ".txt, line " + std::to_string(number) +
                                     ": in, was, now, why, dies or equal");
        }
        if (key == "in") {
            file = said;
            continue;
        }
        if (key == "was") {
            rows.push_back({.room = room, .number = static_cast<int>(rows.size()) + 1, .file = file});
        }
        part_of(rows.back(), key) = said;
    }
    return rows;
}

Place find(const Row& row, std::string_view source) {
    std::optional<Place> found;
    for (std::size_t from = source.find(row.was.front()); from != std::string_view::npos;
         from = source.find(row.was.front(), from + 1)) {
        if (from > 0 && word(source[from]) && word(source[from - 1])) {
            continue;
        }
        if (const auto to = matched(row.was, source, from)) {
            if (found) {
                stale(row, "stands twice in");
            }
            found = Place{from, *to};
        }
    }
    if (!found) {
        stale(row, "stands no longer in");
    }
    return *found;
}

namespace {

struct Change {
    Place place;
    const Row* row = nullptr;
};

std::string asked(const Row& row) {
    return "lotwort_mutant(" + std::to_string(row.number) + ")";
}

// Constants are set when the program starts here, and may so depend on the switch.
std::string unfixed(std::string text) {
    for (auto at = text.find("constexpr "); at != std::string::npos; at = text.find("constexpr ", at + 1)) {
        const bool must_stay = std::string_view(text).substr(0, at).ends_with("if ") ||
                               std::string_view(text).substr(0, at).ends_with("static ");
        if (!must_stay) {
            text.replace(at, 10, "const ");
        }
    }
    return text;
}

// [from, to) of the source, with the changes in it, the outer ones first.
std::string written(std::string_view source, Place whole, const std::vector<Change>& changes) {
    std::string out;
    std::size_t at = whole.from;
    for (std::size_t i = 0; i < changes.size();) {
        const Place place = changes[i].place;
        std::vector<Change> same;
        std::vector<Change> within;
        for (; i < changes.size() && changes[i].place.from < place.to; ++i) {
            if (changes[i].place.to > place.to) {
                stale(*changes[i].row, "overlaps another row in");
            }
            const bool is_same = changes[i].place.from == place.from && changes[i].place.to == place.to;
            (is_same ? same : within).push_back(changes[i]);
        }
        out += source.substr(at, place.from - at);
        const std::string original = written(source, place, within);
        const bool statement = original.back() == ';' || original.back() == '}';
        std::string before;
        for (const Change& change : same) {
            before += statement ? "if (" + asked(*change.row) + ") { " + change.row->now + " } else "
                                : asked(*change.row) + " ? (" + change.row->now + ") : ";
        }
        out += statement ? before + "{ " + original + " }" : "(" + before + "(" + original + "))";
        at = place.to;
    }
    return out + std::string(source.substr(at, whole.to - at));
}

} // namespace

std::string switched(std::string_view source, const std::string& name, const std::vector<Row>& rows) {
    std::vector<Change> changes;
    for (const Row& row : rows) {
        changes.push_back({find(row, source), &row});
    }
    std::ranges::stable_sort(changes, [](const Change& a, const Change& b) {
        return a.place.from != b.place.from ? a.place.from < b.place.from : a.place.to > b.place.to;
    });
    return "bool lotwort_mutant(int number);\n#line 1 \"" + name + "\"\n" +
           unfixed(written(source, {0, source.size()}, changes));
}

} // namespace lotwort::mutants
