// item: the kinds of thing kept.
#include "given.hpp"
#include "new_name.hpp"
#include "shared.hpp"
#include "table.hpp"
#include "yeast.hpp"
#include <algorithm>
#include <array>
#include <charconv>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/item.hpp>
#include <lotwort/report/kinds.hpp>
#include <lotwort/stock/rules.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ACTION", "add, change, kinds, list or show", true},
    {"ITEM", "the item's name, in quotes where it has spaces", true},
};

constexpr Option options[] = {
    {"kind", "KIND", "malt, sugar, hop, yeast, salt or other"},
    {"class", "CLASS", "of a malt: base, high-kilned, caramel, roasted, wheat, ..."},
    {"extract", "EXTRACT", "what a lot usually yields: 81.5%, 300L/kg or 36ppg"},
    {"basis", "BASIS", "of the extract: fine-dry, fine-as-is, coarse-dry, coarse-as-is"},
    {"extract-sd", "PERCENT", "how far lots of it scatter, one standard deviation"},
    {"moisture", "PERCENT", "usual moisture"},
    {"colour", "COLOUR", "usual colour: 6EBC, 3.5SRM or 3L"},
    {"wk", "WK", "usual diastatic power"},
    {"alpha", "PERCENT", "usual alpha acids of a hop"},
    {"max-share", "PERCENT", "the most of a grist it may be"},
    {"group", "WORD", "aroma group of a hop, your own word"},
    {"stands-for", "ITEM[=N]", "another item it may stand in for; N above 1 makes it a worse choice, =never forbids",
     true},
    {"shelf-life", "DAYS", "how long a lot keeps: 365days"},
    {"cells", "CELLS", "of a yeast, fresh: 100billion/pack, 10billion/g or 1.2billion/mL"},
    {"cells-loss", "PERCENT", "of a yeast: how many of its cells die in a month"},
    {"pitch", "RATE", "of a yeast: million cells per mL and °P that are pitched, 0.75"},
};

enum class Action { add, change, kinds, list, show };
constexpr std::array<std::string_view, 5> action_words{"add", "change", "kinds", "list", "show"};

Action parse_action(const Call& call) {
    const std::string typed = call.args.text("ACTION").value_or("list");
    const auto found = std::find(action_words.begin(), action_words.end(), typed);
    if (found == action_words.end())
        throw Error(ErrorKind::usage, fmt::format("`{}` is not something to do with an item", typed),
                    "write: lotwort item add NAME, item change NAME, item show NAME, item list or item kinds");
    return static_cast<Action>(found - action_words.begin());
}

StandIn parse_stand_in(const std::string& text, const Book& book) {
    StandIn other;
    std::string name = text;
    if (const auto equals = text.rfind('='); equals != std::string::npos) {
        name = text.substr(0, equals);
        const std::string how = text.substr(equals + 1);
        if (how == word(Allowed::never))
            other.allowed = Allowed::never;
        else
            other.preference = parse_number(how, "preference", {0.0, 1000.0});
    }
    other.item = known_item(book, name).name;
    return other;
}

// What the options say is laid over the item.
void parse_figures(const Call& call, const Book& book, Item& item) {
    const auto lay = [&call](std::string_view option, auto& into, auto&& read) {
        if (const auto value = read_option(call, option, read)) into = *value;
    };
    const auto percent = [](std::string_view field) {
        return [range = range_of<Item>(field)](const std::string& text) { return parse_percent(text, range); };
    };
    lay("kind", item.kind, [](const std::string& text) { return parse_word<ItemKind>(text, "a kind of item"); });
    if (const auto text = call.args.text("class")) item.malt_class = *text;
    if (const auto extract = parse_extract_options(call)) {
        item.extract = extract->value;
        item.extract_basis = extract->basis;
    }
    lay("extract-sd", item.extract_sd, percent("extract_sd_pct"));
    lay("moisture", item.moisture, percent("moisture_pct"));
    lay("colour", item.colour, [](const std::string& text) { return parse_ebc(text); });
    lay("wk", item.diastatic_power, [](const std::string& text) { return parse_wk(text); });
    lay("alpha", item.alpha, percent("alpha_pct"));
    lay("max-share", item.max_share, percent("max_share_pct"));
    if (const auto text = call.args.text("group")) item.group = *text;
    lay("shelf-life", item.shelf_life_days, [](const std::string& text) { return parse_days(text, {1.0, 36500.0}); });
    if (const auto cells = read_option(call, "cells", parse_cells)) {
        item.cells_billion = cells->billion;
        item.cells_per = cells->per;
    }
    lay("cells-loss", item.cells_loss, percent("cells_loss_pct_per_month"));
    lay("pitch", item.pitch_rate, parse_pitch);
    if (call.args.has("stands-for"))
        item.stands_for =
            read_each(call, "stands-for", [&](const std::string& text) { return parse_stand_in(text, book); });
    if (std::ranges::find(item.stands_for, item.name, &StandIn::item) != item.stands_for.end())
        throw Error(ErrorKind::refused, fmt::format("{} cannot stand in for itself", item.name),
                    "name another item: --stands-for ITEM");
    if ((item.cells_billion || item.cells_loss || item.pitch_rate) && item.kind != ItemKind::yeast)
        throw Error(ErrorKind::refused,
                    fmt::format("{} is kept as {}, and cells are of a yeast", item.name, word(item.kind)),
                    "leave --cells, --cells-loss and --pitch out, or add --kind yeast");
    if (item.malt_class && item.kind != ItemKind::malt)
        throw Error(ErrorKind::refused, "only a malt has a class", "leave --class out, or add --kind malt");
}

void refuse_known(const Call& call, const Book& book, const std::string& name) {
    if (find_item(book, name) != nullptr) {
        const std::string given = options_given(call);
        throw Error(ErrorKind::refused, fmt::format("there is an item `{}` already", name),
                    given.empty() ? fmt::format("lotwort item show {} shows it", shell_word(name))
                                  : fmt::format("lotwort item change {}{} alters it", shell_word(name), given));
    }
}

Item parse_new(const Call& call, const Book& book, const NewName& named) {
    Item item;
    item.name = named.name;
    constexpr std::array of_malt{"class", "moisture", "colour", "wk"};
    const GuessedKind guess = kind_of_name(call, named, of_malt);
    item.kind = guess.kind;
    const bool kind_said = call.args.has("kind");
    if (!kind_said && !guess.malt_class.empty()) item.malt_class = std::string(guess.malt_class);
    parse_figures(call, book, item);
    return item;
}

Item parse_changed(const Call& call, const Book& book, const std::string& name) {
    const Item& before = known_item(book, name);
    Item item = before;
    if (call.args.has("kind") && !call.args.has("class")) item.malt_class.reset();
    parse_figures(call, book, item);
    if (item == before) refuse_no_change(call, before.name, "say what, such as --colour 6EBC");
    return item;
}

// Of a kind that its lots cannot be of, such as malt where litres were received.
void refuse_unfit(Call& call, const Item& item) {
    for (const LotState& state : call.ledger().lots())
        if (state.lot.item == item.name)
            check_fit(state.lot, item, [&](std::string_view, std::string_view what) {
                throw Error(ErrorKind::refused, fmt::format("lot {}: {}", state.lot.code, what),
                            "leave --kind out, or name another item");
            });
}

std::string item_name(const Call& call) {
    if (!call.args.has("ITEM"))
        throw Error(ErrorKind::usage, "ITEM is missing: the item's name", "write: lotwort item show \"pale ale malt\"");
    return parse_name(call.args.required("ITEM"), "item");
}

[[noreturn]] void refuse_unknown_kind(const std::string& name) {
    const std::string near = did_you_mean(name, nearest_kinds(name));
    throw Error(ErrorKind::refused, fmt::format("there is no kind `{}`", name),
                near.empty() ? "lotwort item kinds lists what there is" : near);
}

Answer look(Call& call, Action action) {
    call.only_reads();
    const Book book = call.ledger().definitions();
    if (action == Action::show) {
        call.goes("an item is shown as it is kept", "lotwort item change NAME alters it");
        const Item& item = known_item(book, item_name(call));
        if (call.csv()) return {report::item_list_csv({item})};
        return {call.json() ? report::item_list_json({item}) : report::item_text(item)};
    }
    call.goes("every item is listed", "lotwort item show NAME shows one");
    if (call.csv()) return {report::item_list_csv(book.items)};
    return {call.json() ? report::item_list_json(book.items) : report::item_list_text(book.items)};
}

Answer look_at_kinds(Call& call) {
    call.only_reads();
    call.goes("the kinds are listed", "lotwort item kinds NAME shows one");
    std::span<const KindOfItem> shown = kinds();
    if (const auto name = call.args.text("ITEM")) {
        const KindOfItem* kind = kind_named(*name);
        if (kind == nullptr) refuse_unknown_kind(*name);
        shown = {kind, 1};
    }
    if (call.csv()) return {report::kinds_csv(shown)};
    if (call.json()) return {report::kinds_json(shown)};
    return {shown.size() == 1 ? report::kind_text(shown.front()) : report::kinds_text(shown)};
}

// A delivery as such things come; what was only changed is looked at.
std::string next_command(const Item& item, bool adds) {
    if (!adds) return fmt::format("lotwort item show {}", shell_word(item.name));
    const auto amount = [&]() -> std::string_view {
        switch (item.kind) {
        case ItemKind::malt:
            return "25kg";
        case ItemKind::sugar:
        case ItemKind::other:
            return "1kg";
        case ItemKind::yeast:
        case ItemKind::hop:
        case ItemKind::salt:
            return "100g";
        }
        return "1kg";
    };
    return fmt::format("lotwort receive {} {}", shell_word(item.name), amount());
}

Answer run(Call& call) {
    const Action action = parse_action(call);
    if (action == Action::kinds) return look_at_kinds(call);
    if (action == Action::list || action == Action::show) return look(call, action);
    const Book book = call.ledger().definitions();
    const bool adds = action == Action::add;
    NewName named{item_name(call)};
    if (adds) {
        refuse_known(call, book, named.name);
        named = new_name(call, named.name, item_names(book));
    }
    const Item item = adds ? parse_new(call, book, named) : parse_changed(call, book, named.name);
    if (call.args.has("kind")) refuse_unfit(call, item);
    Book part;
    part.items.push_back(item);
    const auto entry = call.book(part, EntryKind::item, fmt::format("{} {}", adds ? "added" : "changed", item.name));
    const report::Booked booked{entry, call.dry_run(), next_command(item, adds)};
    const std::string remark = near_remark(named);
    return {call.json() ? report::item_booked_json(item, booked, remark)
                        : report::item_booked_text(item, booked, remark)};
}

} // namespace

constinit const Command item_command{
    .name = "item",
    .group = Group::set_up,
    .summary = "the kinds of thing kept: add, change, list, show, kinds",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
