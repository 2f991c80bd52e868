#include "new_name.hpp"
#include <algorithm>
#include <cctype>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/stock/kinds.hpp>
#include <lotwort/stock/told_kind.hpp>

namespace lotwort::verbs {

namespace {

// Another name of the same kind, or a slip away; names that are both known differ on purpose.
std::string alike(const std::string& typed, const std::vector<std::string>& items) {
    const KindOfItem* kind = kind_named(typed);
    for (const std::string& item : items)
        if (kind != nullptr && kind_named(item) == kind) return item;
    if (kind != nullptr) return {};
    const auto slip = std::ranges::find_if(items, [&](const std::string& item) { return is_slip_of(typed, item); });
    return slip == items.end() ? std::string() : *slip;
}

bool is_meant(const Call& call, const std::string& typed, const std::string& other, std::string_view what) {
    const auto answer = call.surroundings.ask(
        fmt::format("{} is new, and {} `{}` is known; is that meant? (yes or no) ", typed, what, other));
    if (!answer) // the input has ended: nobody has said that it is new
        throw Error(ErrorKind::refused, fmt::format("{} is new, and {} `{}` is known", typed, what, other),
                    "write which is meant; nothing was booked");
    return *answer == "yes" || *answer == "y";
}

std::string untold(const std::string& name) {
    return fmt::format("{} is new, and its name does not say what it is", name);
}

// Sazz is a slip of a hop's name.
std::optional<GuessedKind> told(const NewName& named, bool has_alpha) {
    const auto by_name = told_kind(named.name, has_alpha);
    return by_name ? by_name : told_kind(named.near_kind);
}

} // namespace

GuessedKind kind_of_name(const Call& call, const NewName& named, std::span<const char* const> of_malt) {
    if (const auto kind = told(named, call.args.has("alpha"))) return *kind;
    const bool is_malt = std::ranges::any_of(of_malt, [&](const char* option) { return call.args.has(option); });
    if (call.args.has("kind") || is_malt) return guess_kind(named.name);
    std::string words;
    for (const auto known : WordsOf<ItemKind>::list) words += (words.empty() ? "" : ", ") + std::string(known);
    if (!call.surroundings.ask)
        throw Error(ErrorKind::refused, untold(named.name),
                    fmt::format("add --kind other, as of fruit and spices, or what it is: {}", words));
    const auto answer = call.surroundings.ask(fmt::format("{}: which of {}? ", untold(named.name), words));
    if (!answer || answer->empty())
        throw Error(ErrorKind::refused, untold(named.name), "nothing was booked; add --kind KIND");
    const auto kind = parse_word<ItemKind>(*answer, "a kind of item");
    return {kind, kind == ItemKind::malt ? "base" : ""};
}

Item told_item(const NewName& named) {
    if (!told(named, false))
        throw Error(
            ErrorKind::refused, untold(named.name),
            fmt::format("say it first: lotwort item add {} --kind other, where it is fruit, a spice or the like",
                        shell_word(named.name)));
    return item_of_name(named.name);
}

NewName new_name(const Call& call, const std::string& typed, const std::vector<std::string>& items) {
    NewName made{typed};
    made.near_item = alike(typed, items);
    const KindOfItem* kind = made.near_item.empty() ? kind_meant(typed) : nullptr;
    if (kind != nullptr) {
        const std::string name(kind->name);
        const std::string there = alike(name, items);
        (there.empty() ? made.near_kind : made.near_item) = there.empty() ? name : there;
    }
    const std::string& other = made.near_item.empty() ? made.near_kind : made.near_item;
    if (other.empty() || !call.surroundings.ask) return made;
    return {is_meant(call, typed, other, made.near_item.empty() ? "the kind" : "the item") ? other : typed};
}

std::string near_remark(const NewName& name) {
    if (!name.near_item.empty())
        return fmt::format("{}: did you mean `{}`, which is there?", name.name, name.near_item);
    if (!name.near_kind.empty())
        return fmt::format("{}: did you mean the kind `{}`? lotwort item kinds lists them", name.name, name.near_kind);
    return {};
}

} // namespace lotwort::verbs
