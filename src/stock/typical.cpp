#include <algorithm>
#include <array>
#include <cctype>
#include <lotwort/stock/kinds.hpp>
#include <string>

namespace lotwort {

namespace {

struct NamedClass {
    std::string_view name;
    Typical values;
};

// extract fine dry, moisture, colour, diastatic power, each with the scatter of items within the class. The first
// five rest on published specification limits, the others on judgement (docs/methods/malt.md).
constexpr std::array<NamedClass, 10> malt_classes{{
    {"base", {81.0, 1.4, 4.3, 0.5, 4.5, 1.5, 230.0, 60.0, 0.0, 0.0}},
    {"high-kilned", {79.5, 1.4, 4.2, 0.5, 16.0, 6.0, 120.0, 50.0, 0.0, 0.0}},
    {"caramel", {74.0, 3.0, 5.0, 1.2, 120.0, 80.0, 0.0, 15.0, 0.0, 0.0}},
    {"roasted", {68.0, 6.0, 3.5, 1.2, 800.0, 450.0, 0.0, 5.0, 0.0, 0.0}},
    {"wheat", {83.5, 1.5, 4.9, 0.6, 4.0, 1.5, 250.0, 70.0, 0.0, 0.0}},
    {"rye", {82.0, 3.0, 5.0, 0.8, 7.0, 3.0, 180.0, 80.0, 0.0, 0.0}},
    {"oats", {72.0, 5.0, 5.0, 1.0, 4.5, 2.0, 50.0, 50.0, 0.0, 0.0}},
    {"smoked", {80.0, 1.8, 4.5, 0.7, 6.0, 2.5, 220.0, 70.0, 0.0, 0.0}},
    {"acid", {79.0, 3.0, 5.5, 1.5, 6.0, 3.0, 100.0, 80.0, 0.0, 0.0}},
    {"adjunct", {80.0, 6.0, 9.5, 2.0, 3.0, 2.0, 0.0, 10.0, 0.0, 0.0}},
}};

constexpr Typical any_malt{78.0, 6.0, 5.0, 2.0, 20.0, 60.0, 120.0, 100.0, 0.0, 0.0};
// From dry sugar to syrup: dextrose as sold holds 9 % water, syrups 20 %.
constexpr Typical any_sugar{100.0, 2.0, 5.0, 6.0, 0.0, 30.0, 0.0, 0.0, 0.0, 0.0};
constexpr Typical any_hop{0.0, 0.0, 10.0, 2.0, 0.0, 0.0, 0.0, 0.0, 7.0, 3.5};

// A word of a name, and what it says. Words are matched from their beginning, so that `roast` finds `roasted`.
struct Hint {
    std::string_view word;
    ItemKind kind;
    std::string_view malt_class = {};
};

// Said of anything, malt or not.
constexpr std::array other_hints{
    Hint{"nutrient", ItemKind::other},  Hint{"fining", ItemKind::other},     Hint{"isinglass", ItemKind::other},
    Hint{"moss", ItemKind::other},      Hint{"gelatin", ItemKind::other},    Hint{"enzyme", ItemKind::other},
    Hint{"lactic", ItemKind::other},    Hint{"phosphoric", ItemKind::other}, Hint{"peel", ItemKind::other},
    Hint{"coriander", ItemKind::other}, Hint{"spice", ItemKind::other},      Hint{"coffee", ItemKind::other},
    Hint{"cocoa", ItemKind::other},     Hint{"fruit", ItemKind::other},      Hint{"syrup", ItemKind::sugar},
    Hint{"sugar", ItemKind::sugar},     Hint{"extract", ItemKind::sugar},    Hint{"yeast", ItemKind::yeast},
    Hint{"hulls", ItemKind::other},     Hint{"husks", ItemKind::other},
};

// Said of a malt, the more particular first.
constexpr std::array malt_hints{
    Hint{"smoke", ItemKind::malt, "smoked"},
    Hint{"peat", ItemKind::malt, "smoked"},
    Hint{"acid", ItemKind::malt, "acid"},
    Hint{"flake", ItemKind::malt, "adjunct"},
    Hint{"torrified", ItemKind::malt, "adjunct"},
    Hint{"unmalted", ItemKind::malt, "adjunct"},
    Hint{"raw", ItemKind::malt, "adjunct"},
    Hint{"maize", ItemKind::malt, "adjunct"},
    Hint{"corn", ItemKind::malt, "adjunct"},
    Hint{"rice", ItemKind::malt, "adjunct"},
    Hint{"grits", ItemKind::malt, "adjunct"},
    Hint{"crystal", ItemKind::malt, "caramel"},
    Hint{"cara", ItemKind::malt, "caramel"},
    Hint{"chocolate", ItemKind::malt, "roasted"},
    Hint{"black", ItemKind::malt, "roasted"},
    Hint{"roast", ItemKind::malt, "roasted"},
    Hint{"brown", ItemKind::malt, "roasted"},
    Hint{"wheat", ItemKind::malt, "wheat"},
    Hint{"rye", ItemKind::malt, "rye"},
    Hint{"oat", ItemKind::malt, "oats"},
    Hint{"munich", ItemKind::malt, "high-kilned"},
    Hint{"vienna", ItemKind::malt, "high-kilned"},
    Hint{"mild", ItemKind::malt, "high-kilned"},
    Hint{"amber", ItemKind::malt, "high-kilned"},
    Hint{"biscuit", ItemKind::malt, "high-kilned"},
    Hint{"melanoidin", ItemKind::malt, "high-kilned"},
    Hint{"spelt", ItemKind::malt, "wheat"},
};

// Said of things that are not malt, where no word says malt.
constexpr std::array kind_hints{
    Hint{"acid", ItemKind::other},         Hint{"hop", ItemKind::hop},        Hint{"pellet", ItemKind::hop},
    Hint{"bittering", ItemKind::hop},      Hint{"aroma", ItemKind::hop},      Hint{"dextrose", ItemKind::sugar},
    Hint{"glucose", ItemKind::sugar},      Hint{"sucrose", ItemKind::sugar},  Hint{"lactose", ItemKind::sugar},
    Hint{"maltodextrin", ItemKind::sugar}, Hint{"honey", ItemKind::sugar},    Hint{"molasses", ItemKind::sugar},
    Hint{"treacle", ItemKind::sugar},      Hint{"candi", ItemKind::sugar},    Hint{"gypsum", ItemKind::salt},
    Hint{"calcium", ItemKind::salt},       Hint{"magnesium", ItemKind::salt}, Hint{"sodium", ItemKind::salt},
    Hint{"epsom", ItemKind::salt},         Hint{"salt", ItemKind::salt},      Hint{"chloride", ItemKind::salt},
    Hint{"sulphate", ItemKind::salt},      Hint{"sulfate", ItemKind::salt},
};

std::vector<std::string> words_of(std::string_view name) {
    std::vector<std::string> words{""};
    for (const char c : name) {
        const auto letter = static_cast<unsigned char>(c);
        if (std::isalpha(letter))
            words.back() += static_cast<char>(std::tolower(letter));
        else if (!words.back().empty())
            words.emplace_back();
    }
    return words;
}

bool says(const std::vector<std::string>& words, std::string_view beginning) {
    return std::any_of(words.begin(), words.end(),
                       [&](const std::string& word) { return word.starts_with(beginning); });
}

template <std::size_t N>
const Hint* first_said(const std::array<Hint, N>& hints, const std::vector<std::string>& words) {
    const auto hint = std::find_if(hints.begin(), hints.end(), [&](const Hint& h) { return says(words, h.word); });
    return hint == hints.end() ? nullptr : &*hint;
}
template <std::size_t N>
const Hint* first_said(const std::array<Hint, N>&&, const std::vector<std::string>&) = delete;

} // namespace

const std::vector<std::string_view>& known_malt_classes() {
    static const std::vector<std::string_view> names = [] {
        std::vector<std::string_view> list;
        for (const NamedClass& known : malt_classes) list.push_back(known.name);
        return list;
    }();
    return names;
}

Typical typical_of(ItemKind kind, std::string_view malt_class) {
    switch (kind) {
    case ItemKind::malt:
        for (const NamedClass& known : malt_classes)
            if (known.name == malt_class) return known.values;
        return any_malt;
    case ItemKind::sugar:
        return any_sugar;
    case ItemKind::hop:
        return any_hop;
    case ItemKind::yeast:
    case ItemKind::salt:
    case ItemKind::other:
        return {};
    }
    return {};
}

Typical typical_of(const Item& item) {
    if (const KindOfItem* kind = kind_of(item)) return kind->typical;
    return typical_of(item.kind, item.malt_class.value_or(""));
}

std::optional<GuessedKind> told_kind(std::string_view name, bool has_alpha) {
    if (const KindOfItem* kind = kind_named(name)) return GuessedKind{kind->kind, kind->malt_class};
    const std::vector<std::string> words = words_of(name);
    const auto of = [](const Hint* hint) { return GuessedKind{hint->kind, hint->malt_class}; };
    if (const Hint* other = first_said(other_hints, words)) return of(other);
    const bool malt = std::find(words.begin(), words.end(), "malt") != words.end() ||
                      std::find(words.begin(), words.end(), "malted") != words.end();
    if (!malt)
        if (const Hint* kind = first_said(kind_hints, words)) return of(kind);
    if (const Hint* particular = first_said(malt_hints, words)) return of(particular);
    if (has_alpha && !malt) return GuessedKind{ItemKind::hop, {}};
    return malt ? std::optional(GuessedKind{ItemKind::malt, "base"}) : std::nullopt;
}

GuessedKind guess_kind(std::string_view name, bool has_alpha) {
    return told_kind(name, has_alpha).value_or(GuessedKind{ItemKind::malt, "base"});
}

} // namespace lotwort
