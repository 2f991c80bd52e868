#include "new_name.hpp"
#include <algorithm>
#include <cctype>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/kinds.hpp>

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

} // namespace

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
