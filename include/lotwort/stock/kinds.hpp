// The kinds of malt, sugar and hop that brewers know by a common name, with what is typical of each. A kind's figures
// are narrower than its class's (typical.hpp), and only those of names that belong to everybody are here.
#pragma once

#include <lotwort/stock/typical.hpp>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

struct KindOfItem {
    std::string_view name; // "pale ale malt"
    ItemKind kind = ItemKind::malt;
    std::string_view malt_class; // of a malt: a name of known_malt_classes()
    // Of a malt: what it is a sort of (pilsner or lager, Munich, caramel, ...; of raw grain the grain). Of a sugar:
    // plain, dark, honey, maple, malt extract or unfermentable. Of a hop its use: aroma, bittering or dual.
    std::string_view family;
    Typical typical;
    double max_share_pct = 0.0; // the usual greatest share of a grist; 0 for a hop
    std::string_view source;    // a key of docs/methods/malt.md and of what it is the source, or "common practice"
    std::string_view also;      // other names it goes by, parted by "; "
    // Of a hop: whom it may be taken for late in the boil, in the stand or dry (English, noble, ...), common practice;
    // empty where it is there for its bitterness.
    std::string_view aroma{};
    std::string_view like{}; // of a hop: which of its aroma are taken for it first, parted by "; " (common practice)
};

// The names in `also`, one by one.
[[nodiscard]] std::vector<std::string_view> other_names(const KindOfItem& kind);

// All of them: malts, then sugars, then hops.
[[nodiscard]] std::span<const KindOfItem> kinds();

// The kind of that name; null where the whole name is none. Capitals, the order of the words and marks between them do
// not count ("Malt, chocolate"). "malt" may be left out or put in of a malt, "hop", "hops", "pellets" and the like of a
// hop. Of two kinds with one name (crystal) the malt is meant, unless a word says hop.
[[nodiscard]] const KindOfItem* kind_named(std::string_view name);

// The kind of an item by its name; null where the item is stated to be of another kind or class than that.
[[nodiscard]] const KindOfItem* kind_of(const Item& item);

// The kind of an item, else the one with the most words that all stand in its name ("Smith's pale ale malt"), under the
// same condition.
[[nodiscard]] const KindOfItem* kind_within(const Item& item);

// What a hop goes by late and dry: the group that is stated of it, else its kind's; empty where neither is known.
[[nodiscard]] std::string_view aroma_group(const Item& hop);
std::string_view aroma_group(const Item&&) = delete;

// The hops that brewers take first for one of that kind, and for which they take it first.
[[nodiscard]] std::vector<std::string_view> likes_of(const KindOfItem& hop);
// Of one kind, or of two of which one is taken first for the other.
[[nodiscard]] bool are_alike(const Item& hop, const Item& other);

// Names of kinds for "did you mean": those as near as core/nearest.hpp has it, nearest first, a kind once.
[[nodiscard]] std::vector<std::string> nearest_kinds(std::string_view name, std::size_t most = 3);

// One letter in six is wrong, or one of a short name, and no figure: "pilsmer malt", but not "crystal malt 80" for 60.
[[nodiscard]] bool is_slip_of(std::string_view typed, std::string_view name);

// The kind that a name is a slip away from; null where it names a kind, or is near none.
[[nodiscard]] const KindOfItem* kind_meant(std::string_view name);

} // namespace lotwort
