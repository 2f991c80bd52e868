// brewhouse: the kit, and what its instruments can read.
#include "brewhouse/brewhouse.hpp"
#include "given.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iterator>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/next_steps.hpp>
#include <lotwort/exchange/toml_file.hpp>
#include <lotwort/verbs/units.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ACTION", "add, change, show, vessel, instrument, check or list", true},
    {"NAME", "of the brewhouse, or of the instrument", true},
    {"VOLUME", "what the brewhouse is to put in the fermenter: 23L", true},
};

constexpr std::array<Option, 1> file_option{{
    {"file", "FILE", "a brewhouse and its instruments as a TOML file; the options come before it"},
}};
constexpr auto options =
    joined(joined(joined(file_option, figure_options), joined(vessel_options, instrument_options)), check_options);

enum class Action { add, change, show, vessel, instrument, check, list };
constexpr std::array<std::string_view, 7> action_words{"add",        "change", "show", "vessel",
                                                       "instrument", "check",  "list"};

Action parse_action(const Call& call) {
    const std::string typed = call.args.text("ACTION").value_or("list");
    const auto found = std::ranges::find(action_words, typed);
    if (found == action_words.end())
        throw Error(
            ErrorKind::usage, fmt::format("`{}` is not something to do with a brewhouse", typed),
            "write: lotwort brewhouse add NAME 23L, change NAME, show NAME, vessel NAME, instrument NAME, check NAME "
            "or list");
    return static_cast<Action>(found - action_words.begin());
}

// What is to be booked, and how it is said.
struct Change {
    Book part;
    EntryKind kind = EntryKind::brewhouse;
    std::string what;
    std::string next;
    std::string remark;
    std::string said{}; // the answer where the kit is not it
};

bool is_known(const Book& book, const std::string& name) {
    return std::ranges::find(book.brewhouses, name, &Brewhouse::name) != book.brewhouses.end();
}

// What --file says; nothing where it is not given.
BrewhouseFile filed(const Call& call, std::string_view again) {
    const auto path = call.args.text("file");
    if (!path) return {};
    return read_mended(again, [&] { return read_brewhouse_toml(read_file(call, *path), *path); });
}

std::string said(const std::string& text) {
    return text;
}
std::string said(double number) {
    return readable(number);
}
template <class Word>
requires std::is_enum_v<Word> std::string said(Word value) {
    return std::string(word(value));
}
template <class Unit>
std::string said(Quantity<Unit> value) {
    return readable(value.value());
}
template <class Value>
std::string said(const std::optional<Value>& value) {
    return value ? said(*value) : "";
}

// "boil-off 4 L/h" of boil_off_l_per_h.
std::string figure_words(std::string_view field, const std::string& value) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 8> units{
        {{"_l_per_kg", " L/kg"},
         {"_l_per_h", " L/h"},
         {"_pct_of_expected", " % of expected"},
         {"_pct", " %"},
         {"_kg", " kg"},
         {"_l", " L"},
         {"_g", " g"},
         {"_m", " m"}}};
    std::string name(field), unit;
    for (const auto& [suffix, words] : units)
        if (name.ends_with(suffix)) {
            name.resize(name.size() - suffix.size());
            unit = words;
            break;
        }
    std::ranges::replace(name, '_', '-');
    return value.empty() ? name + " no longer stated" : name + " " + value + unit;
}

// ": volume 23 L, boil-off 4 L/h": what is said anew, for the history.
std::string differing(const Brewhouse& before, const Brewhouse& after) {
    std::vector<std::string> parts;
    for_each_field<Brewhouse>([&]<class Value>(const Field<Brewhouse, Value>& f) {
        const Value& value = after.*f.member;
        if (value == before.*f.member) return;
        if constexpr (std::is_same_v<Value, std::vector<Vessel>>)
            parts.emplace_back("vessels");
        else
            parts.push_back(figure_words(f.name, said(value)));
    });
    return parts.empty() ? "" : fmt::format(": {}", fmt::join(parts, ", "));
}

// Who types the volume of the kit in gallons of the United States works in them.
bool is_typed_in_us_units(const std::string& volume) {
    return lowered(volume).find("us") != std::string::npos;
}

// What a file states of the kit; what it leaves out stays as it is.
void lay_over(const Brewhouse& stated, Brewhouse& brewhouse) {
    const std::string name = brewhouse.name;
    for_each_field<Brewhouse>([&]<class Value>(const Field<Brewhouse, Value>& f) {
        if constexpr (!std::is_same_v<Value, std::vector<Vessel>>)
            if (stated.*f.member != Value{}) brewhouse.*f.member = stated.*f.member;
    });
    brewhouse.name = name;
    for (const Vessel& vessel : stated.vessels) {
        std::erase_if(brewhouse.vessels, [&](const Vessel& known) { return known.point == vessel.point; });
        brewhouse.vessels.push_back(vessel);
    }
}

// Typed where the name was forgotten.
bool is_volume(const std::string& text) {
    try {
        return std::holds_alternative<Litres>(parse_typed(text).value);
    } catch (const Error&) {
        return false;
    }
}

Change added(const Call& call, const Book& book) {
    Change change;
    BrewhouseFile file = filed(call, "add it again");
    Brewhouse brewhouse = std::move(file.brewhouse);
    change.part.instruments = std::move(file.instruments);
    const std::string first = call.args.text("NAME").value_or("NAME");
    const std::string write = is_volume(first) ? fmt::format("lotwort brewhouse add NAME {}", first)
                                               : fmt::format("lotwort brewhouse add {} VOLUME", shell_word(first));
    if (call.args.has("NAME") || brewhouse.name.empty())
        brewhouse.name = parse_name(needed(call, "NAME", write), "brewhouse");
    if (call.args.has("VOLUME") || brewhouse.volume.value() == 0.0)
        brewhouse.volume = parse_volume(needed(call, "VOLUME", write), range_of<Brewhouse>("volume_l"));
    lay_over(call, brewhouse);
    if (!brewhouse.works_in && is_typed_in_us_units(call.args.text("VOLUME").value_or(""))) {
        brewhouse.works_in = UnitSystem::us;
        call.understood("its volume is in gallons: answers are in lb and gal(US), unless --works-in metric is said");
    }
    if (is_known(book, brewhouse.name))
        throw Error(ErrorKind::refused, fmt::format("there is a brewhouse `{}` already", brewhouse.name),
                    fmt::format("lotwort brewhouse change {}{}{} alters it", shell_word(brewhouse.name),
                                call.args.has("VOLUME") ? " " + shell_word(call.args.required("VOLUME")) : "",
                                options_given(call)));
    change.what = fmt::format("added brewhouse {}, {} L", brewhouse.name, readable(brewhouse.volume.value()));
    Book with_it = book;
    with_it.brewhouses = {brewhouse};
    change.next = book.recipes.empty() ? first_recipe_command(with_it) : "lotwort recipe";
    change.part.brewhouses.push_back(std::move(brewhouse));
    return change;
}

Change changed(const Call& call, const Book& book) {
    BrewhouseFile file = filed(call, "read it again");
    const bool is_named = call.args.has("NAME") || file.brewhouse.name.empty();
    const Brewhouse& before = known_brewhouse(
        book, is_named ? needed(call, "NAME", "lotwort brewhouse change NAME --boil-off 3.2L/h") : file.brewhouse.name);
    Brewhouse brewhouse = before;
    lay_over(file.brewhouse, brewhouse);
    if (call.args.has("VOLUME"))
        brewhouse.volume = parse_volume(call.args.required("VOLUME"), range_of<Brewhouse>("volume_l"));
    lay_over(call, brewhouse);
    Change change;
    std::ranges::copy_if(file.instruments, std::back_inserter(change.part.instruments), [&](const Instrument& stated) {
        return std::ranges::find(book.instruments, stated) == book.instruments.end();
    });
    if (brewhouse == before && change.part.instruments.empty())
        refuse_no_change(call, before.name, "say what, such as --boil-off 3.2L/h");
    change.what = fmt::format("changed brewhouse {}{}", brewhouse.name, differing(before, brewhouse));
    change.next = fmt::format("lotwort brewhouse show {}", shell_word(brewhouse.name));
    change.part.brewhouses.push_back(std::move(brewhouse));
    return change;
}

Change vessel(const Call& call, const Book& book) {
    Change change;
    change.part.brewhouses.push_back(
        with_vessel(call, book,
                    known_brewhouse(book, needed(call, "NAME",
                                                 "lotwort brewhouse vessel NAME --point kettle-full --dip 40cm=25L"))));
    const std::string& name = change.part.brewhouses.front().name;
    change.what = fmt::format("changed the vessel at {} of brewhouse {}", *call.args.text("point"), name);
    change.next = fmt::format("lotwort brewhouse show {}", shell_word(name));
    return change;
}

Change instrument(const Call& call, const Book& book) {
    const std::string name =
        parse_name(needed(call, "NAME", "lotwort brewhouse instrument NAME --kind hydrometer"), "instrument");
    StatedInstrument stated = stated_instrument(call, book, name);
    Change change;
    change.kind = EntryKind::instrument;
    change.what = fmt::format("{} {}", word(stated.instrument.kind), name);
    change.next = "lotwort brewhouse";
    change.remark = std::move(stated.remark);
    change.part.instruments.push_back(std::move(stated.instrument));
    return change;
}

Change check(const Call& call, const Book& book) {
    const std::string name =
        parse_name(needed(call, "NAME", "lotwort brewhouse check NAME --known water --read 1.001@20C"), "instrument");
    CheckedInstrument checked = checked_instrument(call, book, name);
    Change change;
    change.kind = EntryKind::instrument;
    change.what = fmt::format("checked {}", name);
    change.next = "lotwort trend";
    change.said = std::move(checked.said);
    change.part.instruments.push_back(std::move(checked.instrument));
    return change;
}

// Which options go with what is done, for one that does not.
void say_way(Call& call, Action action) {
    constexpr std::string_view kit = "a figure of the kit goes with lotwort brewhouse change NAME",
                               vessel = "--point, --volume-by, --gravity-by, --dip and --wall-expansion go with "
                                        "lotwort brewhouse vessel NAME",
                               scale = "what is of a scale goes with lotwort brewhouse instrument NAME";
    switch (action) {
    case Action::list:
        return call.goes("every brewhouse and instrument is listed", "lotwort brewhouse show NAME shows one");
    case Action::show:
        return call.goes("the kit is shown as it is kept", "lotwort brewhouse change NAME alters it");
    case Action::add:
    case Action::change:
        return call.goes("this is about the kit", fmt::format("{};\n{}", vessel, scale));
    case Action::vessel:
        return call.goes("this is about one vessel", fmt::format("{};\n{}", kit, scale));
    case Action::check:
        return call.goes("an instrument is held against something known", fmt::format("{};\n{}", kit, vessel));
    case Action::instrument:
        return call.goes("this is about one instrument", fmt::format("{};\n{}", kit, vessel));
    }
}

Answer look(Call& call, Action action) {
    call.only_reads();
    const Book book = call.ledger().definitions();
    std::vector<report::ShownBrewhouse> shown;
    if (action == Action::show) {
        const auto& one = chosen_brewhouse(book, call.args.text("NAME"));
        shown.push_back({one, kit_of(one)});
    } else {
        for (const auto& brewhouse : book.brewhouses) shown.push_back({brewhouse, kit_of(brewhouse)});
    }
    const auto instruments = shown_instruments(book, shown.empty() ? Litres(23.0) : shown.front().brewhouse.volume);
    if (call.json()) return {report::brewhouse_json(shown, instruments, nullptr)};
    if (action == Action::show) return {report::brewhouse_text(shown.front(), instruments)};
    return {report::brewhouse_list_text(shown, instruments)};
}

// The book as it will be: what is booked laid over what was known.
Book with(Book book, const Book& part) {
    for (const auto& instrument : part.instruments) {
        std::erase_if(book.instruments, [&](const Instrument& i) { return i.name == instrument.name; });
        book.instruments.push_back(instrument);
    }
    book.brewhouses = part.brewhouses;
    return book;
}

std::vector<Brewhouse> with_others(std::vector<Brewhouse> houses, const std::vector<Brewhouse>& known) {
    for (const Brewhouse& other : known)
        if (std::ranges::find(houses, other.name, &Brewhouse::name) == houses.end()) houses.push_back(other);
    return houses;
}

Answer run(Call& call) {
    const Action action = parse_action(call);
    say_way(call, action);
    if (action == Action::show || action == Action::list) return look(call, action);
    const Book book = call.ledger().definitions();
    const Change change = action == Action::add      ? added(call, book)
                          : action == Action::change ? changed(call, book)
                          : action == Action::vessel ? vessel(call, book)
                          : action == Action::check  ? check(call, book)
                                                     : instrument(call, book);
    const auto entry = call.book(change.part, change.kind, change.what);
    const report::Booked booked{entry, call.dry_run(), change.next};
    const Book after = with(book, change.part);
    const auto instruments =
        shown_instruments(after, after.brewhouses.empty() ? Litres(23.0) : after.brewhouses[0].volume);
    std::vector<report::ShownBrewhouse> shown;
    for (const auto& brewhouse : after.brewhouses) shown.push_back({brewhouse, kit_of(brewhouse)});
    if (call.json()) return {report::brewhouse_json(shown, instruments, &booked)};
    if (!change.said.empty()) return {change.said + "\n" + report::booked_line(booked)};
    const report::AnswersIn units = answers_in(call, work_in(with_others(after.brewhouses, book.brewhouses)));
    std::string text;
    if (!shown.empty()) text = report::brewhouse_text(shown.front(), instruments);
    if (!change.remark.empty()) text += change.remark + "\n";
    return {report::as_answered(text + report::booked_line(booked))};
}

} // namespace

constinit const Command brewhouse_command{
    .name = "brewhouse",
    .group = Group::set_up,
    .summary = "the kit: vessels, losses, boil-off, instruments",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .run = run,
};

} // namespace lotwort::verbs
