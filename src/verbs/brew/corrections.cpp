#include "corrections.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

namespace {

// What of a reading is right or wrong by itself; a depth and a weight are its volume, told in another way.
struct Part {
    std::string_view name;
    bool (*is_in)(const Reading&);
    void (*copy)(Reading& to, const Reading& from);
};

bool has_volume(const Reading& r) {
    return r.volume || r.depth || r.mass;
}
bool has_gravity(const Reading& r) {
    return r.gravity_sg || r.gravity_plato || r.brix;
}

// A temperature that is not said anew stands.
constexpr std::array<Part, 6> parts{{
    {"volume", has_volume,
     [](Reading& to, const Reading& from) {
         to.volume = from.volume;
         to.depth = from.depth;
         to.mass = from.mass;
         if (from.volume_at || !has_volume(from)) to.volume_at = from.volume_at;
     }},
    {"gravity", has_gravity,
     [](Reading& to, const Reading& from) {
         to.gravity_sg = from.gravity_sg;
         to.gravity_plato = from.gravity_plato;
         to.brix = from.brix;
         if (from.gravity_at || !has_gravity(from)) to.gravity_at = from.gravity_at;
     }},
    {"temperature", [](const Reading& r) { return r.temperature.has_value(); },
     [](Reading& to, const Reading& from) { to.temperature = from.temperature; }},
    {"ph", [](const Reading& r) { return r.ph.has_value(); },
     [](Reading& to, const Reading& from) { to.ph = from.ph; }},
    {"gap", [](const Reading& r) { return r.mill_gap.has_value(); },
     [](Reading& to, const Reading& from) { to.mill_gap = from.mill_gap; }},
    {"bitterness", [](const Reading& r) { return r.bitterness.has_value(); },
     [](Reading& to, const Reading& from) { to.bitterness = from.bitterness; }},
}};

const Part* part_named(std::string_view typed) {
    std::string name = lowered(typed);
    if (name == "depth" || name == "weight" || name == "mass") name = "volume";
    const auto found = std::ranges::find(parts, name, &Part::name);
    return found == parts.end() ? nullptr : &*found;
}

std::string names_in(const Reading& reading) {
    std::vector<std::string_view> names;
    for (const Part& part : parts)
        if (part.is_in(reading)) names.push_back(part.name);
    return fmt::format("{}", fmt::join(names, ", "));
}

// The entry that set it aside, by what it says of itself.
std::string entry_of(Call& call, const std::string& code, const std::string& reading) {
    HistoryFilter of_brew;
    of_brew.brew = code;
    of_brew.kind = EntryKind::measure;
    for (const auto& entry : call.ledger().history(of_brew)) {
        const std::string& what = entry.head.what;
        const bool whole = what.starts_with(fmt::format("set {} of {} aside:", reading, code));
        const bool value = what.starts_with(fmt::format("set {}.", reading));
        if (whole || value || what.starts_with(fmt::format("corrected {} of {} ", reading, code)))
            return std::to_string(entry.number);
    }
    return "ENTRY";
}

// Of a reading that was corrected: the same correction, of the one that stands for it now.
std::string instead_of(const Call& call, const Brew& brew, const Reading& wrong) {
    constexpr std::string_view by = "corrected by ";
    if (!wrong.set_aside->starts_with(by) || !call.args.has("correct")) return "";
    const std::string now = wrong.set_aside->substr(by.size());
    const auto standing = std::ranges::find(brew.readings, now, &Reading::id);
    if (standing == brew.readings.end() || standing->set_aside) return "";
    std::string line = fmt::format("lotwort measure {} --correct {}", shell_word(brew.code), now);
    for (const std::string& value : call.args.all("READING")) line += " " + shell_word(value);
    return fmt::format("correct {}, which stands for it now: {}\n", now, line);
}

const Reading& known_reading(Call&, const Brew&&, const std::string&) = delete;
const Reading& known_reading(Call& call, const Brew& brew, const std::string& id) {
    const auto found = std::ranges::find(brew.readings, id, &Reading::id);
    if (found == brew.readings.end()) {
        std::vector<std::string> ids;
        for (const auto& reading : brew.readings) ids.push_back(reading.id);
        refuse_unknown(fmt::format("reading of {} called", brew.code), id, ids,
                       "lotwort measure " + shell_word(brew.code));
    }
    if (found->set_aside)
        throw Error(ErrorKind::refused, fmt::format("{} is set aside already: {}", id, *found->set_aside),
                    instead_of(call, brew, *found) +
                        fmt::format("to let it count again: lotwort reverse {}", entry_of(call, brew.code, id)));
    return *found;
}

std::string free_id(const Brew& brew) {
    std::vector<std::string> ids;
    for (const auto& reading : brew.readings) ids.push_back(reading.id);
    return next_code("r", ids);
}

Reading aside(const Reading& reading, std::string reason) {
    Reading wrong = reading;
    wrong.set_aside = std::move(reason);
    return wrong;
}

// The value of gravity=1.045@20C as measure reads it; the name says which is meant, and must be of that kind.
std::string value_of(const std::string& typed, const Part*& part) {
    const auto equals = typed.find('=');
    if (equals == std::string::npos) return typed;
    const std::string name = typed.substr(0, equals), value = typed.substr(equals + 1);
    part = part_named(name);
    if (part == nullptr) {
        std::vector<std::string_view> names;
        for (const Part& known : parts) names.push_back(known.name);
        throw Error(ErrorKind::refused, fmt::format("`{}`: a reading has no {}", typed, name),
                    fmt::format("values are {}", fmt::join(names, ", ")));
    }
    const bool bare = !value.empty() && value.front() >= '0' && value.front() <= '9';
    if (bare && part->name == "ph") return "pH" + value;
    return bare && part->name == "gap" ? "gap" + value : value;
}

} // namespace

Corrected set_aside(Call& call, const ReadingPlace& place) {
    const std::string typed = *call.args.text("set-aside");
    const auto dot = typed.find('.');
    const std::string id = typed.substr(0, dot);
    const Reading& reading = known_reading(call, place.brew, id);
    const Part* part = nullptr;
    if (dot != std::string::npos) {
        part = part_named(typed.substr(dot + 1));
        if (part == nullptr || !part->is_in(reading))
            throw Error(ErrorKind::refused, fmt::format("{} has no {}", id, typed.substr(dot + 1)),
                        fmt::format("it states: {}", names_in(reading)));
    }
    const auto reason = call.args.text("reason");
    if (!reason)
        throw Error(ErrorKind::usage, fmt::format("why is {} set aside?", typed), "add --reason \"misread by 2 L\"");
    Corrected out{{aside(reading, *reason)}, fmt::format("set {} of {} aside: {}", typed, place.brew.code, *reason)};
    if (part == nullptr) return out;
    Reading rest = reading;
    part->copy(rest, Reading{});
    if (names_in(rest).empty()) return out; // it stated nothing else
    rest.id = free_id(place.brew);
    out.what = fmt::format("set {} of {} aside, the rest is {}: {}", typed, place.brew.code, rest.id, *reason);
    out.readings.push_back(std::move(rest));
    return out;
}

Corrected corrected(Call& call, const ReadingPlace& place) {
    const std::string id = *call.args.text("correct");
    const Reading& reading = known_reading(call, place.brew, id);
    const auto& typed = call.args.all("READING");
    const auto is_given = [&](const char* option) { return call.args.has(option); };
    if (typed.empty() && std::ranges::none_of(std::array{"instrument", "mash", "run", "at"}, is_given))
        throw Error(ErrorKind::usage, fmt::format("what should {} have said?", id),
                    fmt::format("write it behind: lotwort measure {} --correct {} gravity=1.045@20C",
                                shell_word(place.brew.code), id));
    Reading right = reading;
    right.id = free_id(place.brew);
    std::vector<const Part*> said;
    for (const std::string& word : typed) {
        const Part* named = nullptr;
        const std::string value = value_of(word, named);
        const auto read = parse_readings({std::string(lotwort::word(reading.point)), value}, place);
        const auto part = std::ranges::find_if(parts, [&](const Part& p) { return p.is_in(read.front()); });
        LOTWORT_CHECK(part != parts.end());
        if (named != nullptr && named != &*part)
            throw Error(ErrorKind::refused, fmt::format("`{}` is no {}", value, named->name),
                        fmt::format("write {}={}, or the value of the {}", part->name, value, named->name));
        if (std::ranges::find(said, &*part) != said.end())
            throw Error(ErrorKind::refused, fmt::format("the {} of {} is said twice", part->name, id),
                        fmt::format("say once what it should have said: {}={}", part->name, value));
        said.push_back(&*part);
        part->copy(right, read.front());
    }
    drop_unfit_instruments(place, right);
    std::vector<Reading> laid_over{std::move(right)};
    lay_over_readings(call, place, laid_over);
    right = std::move(laid_over.front());
    if (Reading same = right; (same.id = id, same == reading))
        throw Error(ErrorKind::refused, fmt::format("{} says that already", id), "say what it should have said");
    Corrected out;
    const std::string values = fmt::format("{}", fmt::join(typed, " "));
    out.what =
        fmt::format("corrected {} of {} by {}{}{}", id, place.brew.code, right.id, typed.empty() ? "" : ": ", values);
    out.readings = {aside(reading, call.args.text("reason").value_or("corrected by " + right.id)), std::move(right)};
    return out;
}

} // namespace lotwort::verbs
