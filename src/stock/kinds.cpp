#include "kind_table.hpp"
#include <algorithm>
#include <array>
#include <cctype>
#include <iterator>
#include <lotwort/core/nearest.hpp>
#include <set>
#include <unordered_map>

namespace lotwort {

namespace {

constexpr std::array hop_words{"hop", "hops", "pellet", "pellets", "leaf", "cone", "cones"};
constexpr std::array words_of_handling{"organic", "crushed", "milled", "whole", "floor"};

constexpr auto holds = [](const auto& words, std::string_view word) {
    return std::ranges::find(words, word) != words.end();
};

// Other letters than A to Z count as they are written.
bool parts_words(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x80 && c != '\'' && std::isalnum(byte) == 0;
}

using Words = std::set<std::string>;

Words words_of(std::string_view name) {
    Words words;
    std::string word;
    const auto end_word = [&] {
        if (word == "malted" || word == "malts") word = "malt";
        if (!word.empty() && !holds(words_of_handling, word)) words.insert(word);
        word.clear();
    };
    for (const char c : lowered(name))
        if (parts_words(c))
            end_word();
        else if (c != '\'')
            word += c;
    end_word();
    return words;
}

std::string joined(const Words& words) {
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
    return text;
}

std::string without_malt(Words words) {
    words.erase("malt");
    return joined(words);
}

std::vector<std::string_view> parts_of(std::string_view names) {
    std::vector<std::string_view> parts;
    for (std::string_view rest = names; !rest.empty();) {
        const auto end = std::min(rest.find("; "), rest.size());
        parts.push_back(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 2, rest.size()));
    }
    return parts;
}

// Names under which kinds are found: malts and sugars under all their words, hops under theirs without "hop".
struct Index {
    std::unordered_map<std::string, const KindOfItem*> grist;
    std::unordered_map<std::string, const KindOfItem*> malts; // without the word malt; barley malt is no raw barley
    std::unordered_map<std::string, const KindOfItem*> hops;
    std::vector<std::pair<Words, const KindOfItem*>> whole;
};

template <class Use>
void each_name(const KindOfItem& kind, Use&& use) {
    use(kind.name);
    for (const std::string_view name : other_names(kind)) use(name);
}

const Index& index() {
    static const Index built = [] {
        Index names;
        for (const KindOfItem& kind : kind_table())
            each_name(kind, [&](std::string_view name) {
                const Words words = words_of(name);
                names.whole.emplace_back(words, &kind);
                if (kind.kind == ItemKind::hop) {
                    names.hops.emplace(joined(words), &kind);
                    return;
                }
                names.grist.emplace(joined(words), &kind);
                if (kind.kind == ItemKind::malt && kind.malt_class != "adjunct")
                    names.malts.emplace(without_malt(words), &kind);
            });
        return names;
    }();
    return built;
}

const KindOfItem* found(const std::unordered_map<std::string, const KindOfItem*>& names, const std::string& key) {
    const auto at = names.find(key);
    return at == names.end() ? nullptr : at->second;
}

// A caramel malt whose name says that it is for foam, or as pale as a pilsner malt, is dextrin malt; one that says
// pale, a light one. Without that each would be taken as 120 EBC, and colour a pale beer amber.
const KindOfItem* pale_caramel(const Words& words) {
    const auto any_holds = [&](std::initializer_list<std::string_view> parts) {
        return std::ranges::any_of(words, [&](const std::string& word) {
            return std::ranges::any_of(parts, [&](auto part) { return word.find(part) != std::string::npos; });
        });
    };
    if (std::ranges::none_of(words, [](const std::string& word) { return word.starts_with("cara"); })) return nullptr;
    if (any_holds({"wheat", "rye", "oat", "spelt"})) return nullptr;
    if (any_holds({"pils", "foam"})) return found(index().grist, joined({"dextrin", "malt"}));
    return any_holds({"pale", "light", "hell", "blond"}) ? found(index().grist, joined({"light", "caramel", "malt"}))
                                                         : nullptr;
}

const KindOfItem* in_grist(const Words& words) {
    if (const KindOfItem* kind = found(index().grist, joined(words))) return kind;
    if (const KindOfItem* kind = found(index().malts, without_malt(words))) return kind;
    return pale_caramel(words);
}

const KindOfItem* among_hops(Words words) {
    std::erase_if(words, [](const std::string& word) { return holds(hop_words, word); });
    return found(index().hops, joined(words));
}

bool may_be(const Item& item, const KindOfItem& kind) {
    return kind.kind == item.kind && (!item.malt_class || *item.malt_class == kind.malt_class);
}

std::string figures_of(std::string_view name) {
    std::string figures;
    std::ranges::copy_if(name, std::back_inserter(figures), [](unsigned char c) { return std::isdigit(c) != 0; });
    return figures;
}

} // namespace

std::vector<std::string_view> other_names(const KindOfItem& kind) {
    return parts_of(kind.also);
}

std::span<const KindOfItem> kinds() {
    return kind_table();
}

const KindOfItem* kind_named(std::string_view name) {
    const KindOfItem* of_grist = in_grist(words_of(name));
    return of_grist != nullptr ? of_grist : among_hops(words_of(name));
}

const KindOfItem* kind_of(const Item& item) {
    const Words words = words_of(item.name);
    const KindOfItem* kind = item.kind == ItemKind::hop ? among_hops(words) : in_grist(words);
    return kind != nullptr && may_be(item, *kind) ? kind : nullptr;
}

const KindOfItem* kind_within(const Item& item) {
    if (const KindOfItem* whole = kind_of(item)) return whole;
    const Words words = words_of(item.name);
    const KindOfItem* most = nullptr;
    std::size_t words_of_most = 0;
    for (const auto& [inner, kind] : index().whole)
        if (inner.size() > words_of_most && may_be(item, *kind) && std::ranges::includes(words, inner)) {
            most = kind;
            words_of_most = inner.size();
        }
    return most;
}

std::string_view aroma_group(const Item& hop) {
    if (hop.group) return *hop.group;
    const KindOfItem* kind = kind_of(hop);
    return kind != nullptr ? kind->aroma : std::string_view();
}

std::vector<std::string_view> likes_of(const KindOfItem& hop) {
    std::vector<std::string_view> likes = parts_of(hop.like);
    for (const KindOfItem& other : kind_table()) {
        const auto theirs = parts_of(other.like);
        if (std::ranges::find(theirs, hop.name) != theirs.end()) likes.push_back(other.name);
    }
    return likes;
}

bool are_alike(const Item& hop, const Item& other) {
    const KindOfItem *one = kind_within(hop), *two = kind_within(other);
    if (one == nullptr || two == nullptr) return false;
    if (one == two) return true;
    const auto likes = likes_of(*one);
    return std::ranges::find(likes, two->name) != likes.end();
}

std::vector<std::string> nearest_kinds(std::string_view name, std::size_t most) {
    std::vector<std::string> names;
    for (const KindOfItem& kind : kind_table())
        each_name(kind, [&](std::string_view known) { names.emplace_back(known); });
    std::vector<std::string> near;
    std::set<const KindOfItem*> offered;
    for (std::string& known : nearest(name, names, names.size()))
        if (near.size() < most && offered.insert(kind_named(known)).second) near.push_back(std::move(known));
    return near;
}

bool is_slip_of(std::string_view typed, std::string_view name) {
    if (std::min(typed.size(), name.size()) < 4 || figures_of(typed) != figures_of(name)) return false;
    return edit_distance(typed, name) <= std::max<std::size_t>(1, typed.size() / 6);
}

const KindOfItem* kind_meant(std::string_view name) {
    if (kind_named(name) != nullptr) return nullptr;
    const KindOfItem* meant = nullptr;
    std::size_t least = name.size();
    for (const KindOfItem& kind : kind_table())
        each_name(kind, [&](std::string_view known) {
            if (!is_slip_of(name, known) || edit_distance(name, known) >= least) return;
            least = edit_distance(name, known);
            meant = &kind;
        });
    return meant;
}

} // namespace lotwort
