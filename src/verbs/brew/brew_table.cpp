#include "brew_table.hpp"
#include "delivery_note.hpp"
#include "receive/shelf.hpp"
#include "weighing.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/verbs/visible.hpp>
#include <set>

namespace lotwort::verbs {

namespace {

constexpr std::array<std::string_view, 10> meanings{"brew", "date",   "recipe", "brewhouse", "item",
                                                    "lot",  "amount", "unit",   "stage",     "minutes"};
constexpr std::array<std::string_view, 2> figures{"amount", "minutes"};
constexpr std::array<std::string_view, 3> demanded{"brew", "date", "amount"};

// What is wrong, a line for each kind: the first of them, and how many more are like it.
class FaultKinds {
public:
    void add(std::size_t line, const Error& fault) {
        const std::string what = fault.what();
        ++lines_;
        Kind& kind = kinds_[without_quoted(what)];
        if (kind.count++ == 0)
            kind.first =
                fmt::format("line {}: {}{}", line, what, fault.hint().empty() ? "" : " (" + fault.hint() + ")");
    }
    void throw_if_any(const std::string& source) const {
        if (lines_ == 0) return;
        std::string text;
        for (const auto& [key, kind] : kinds_)
            text += fmt::format("\n{}{}", kind.first,
                                kind.count > 1 ? fmt::format("; {} more lines like it", kind.count - 1) : "");
        throw Error(ErrorKind::refused, fmt::format("{}: {} of its rows cannot be read{}", source, lines_, text),
                    "nothing was booked: mend the file or --columns, and import it again");
    }

private:
    struct Kind {
        std::string first;
        std::size_t count = 0;
    };
    static std::string without_quoted(const std::string& text) {
        std::string out;
        bool inside = false;
        for (const char c : text) {
            if (c == '`') inside = !inside;
            if (!inside) out += c;
        }
        return out;
    }
    std::map<std::string, Kind> kinds_;
    std::size_t lines_ = 0;
};

class Mover {
public:
    explicit Mover(Call& call)
        : call_(call), book_(call.ledger().definitions()), lots_(call.ledger().lots()), shelf_(call.ledger()) {
        for (const Brew& brew : call.ledger().brews()) there_.insert(brew.code);
    }

    void take(const NotedLot& row) {
        for (const auto& [meaning, cell] : row.said) demand_text(cell, "a cell");
        const std::string& code = cell(row, "brew");
        if (code.empty()) throw Error(ErrorKind::refused, "the brew is missing");
        if (there_.contains(code)) {
            passed_.insert(code);
            return;
        }
        Brew head = head_of(row, code); // before anything is kept, all of the row is read
        const std::string amount = cell(row, "amount");
        std::optional<Addition> addition;
        if (!amount.empty()) addition = addition_of(row, amount, head.date);
        Brew& brew = brews_.try_emplace(code, std::move(head)).first->second;
        if (addition) brew.additions.push_back(*std::move(addition));
    }

    MovedIn moved_in() {
        MovedIn in;
        std::vector<std::string> opened, made;
        for (const auto& [code, brew] : brews_) in.part.brews.push_back(brew);
        std::ranges::stable_sort(in.part.brews, {}, &Brew::date);
        for (const Brew& brew : in.part.brews) keep_recipe(brew, in.part, made);
        in.part.items = items_;
        for (const auto& [code, lot] : opening_) {
            in.part.lots.push_back(lot);
            opened.push_back(fmt::format("{}, {} of {}", code, to_text(lot.received_amount), lot.item));
        }
        say(in.says, "opening lots were made of what these brews took, and hold nothing now", opened);
        say(in.says, "recipes are kept as their first brew", made);
        say(in.says, "brews that are there already were passed over", {passed_.begin(), passed_.end()});
        return in;
    }

private:
    static const std::string& cell(const NotedLot& row, const std::string& meaning) {
        static const std::string none;
        const auto found = row.said.find(meaning);
        return found == row.said.end() ? none : found->second;
    }
    static void say(std::vector<std::string>& says, std::string_view what, std::vector<std::string> names) {
        constexpr std::size_t most = 4;
        if (names.empty()) return;
        const std::size_t more = names.size() > most ? names.size() - most : 0;
        names.resize(std::min(names.size(), most));
        says.push_back(
            fmt::format("{}: {}{}", what, fmt::join(names, "; "), more > 0 ? fmt::format("; and {} more", more) : ""));
    }

    // The brew of the row; what it says of a brew must be what the rows before it said.
    Brew head_of(const NotedLot& row, const std::string& code) {
        Brew brew;
        brew.code = code;
        if (cell(row, "date").empty()) throw Error(ErrorKind::refused, "the date is missing");
        brew.date = parse_date(cell(row, "date"), call_.surroundings.today);
        if (brew.date > call_.surroundings.today)
            throw Error(ErrorKind::refused, fmt::format("`{}` has not come yet", to_iso(brew.date)));
        if (const std::string& recipe = cell(row, "recipe"); !recipe.empty()) brew.recipe = recipe;
        const std::string& house = cell(row, "brewhouse");
        brew.brewhouse = chosen_brewhouse(book_, house.empty() ? std::nullopt : std::optional(house)).name;
        const auto known = brews_.find(code);
        if (known == brews_.end()) return brew;
        if (known->second.date != brew.date || known->second.recipe != brew.recipe ||
            known->second.brewhouse != brew.brewhouse)
            throw Error(ErrorKind::refused,
                        fmt::format("`{}` has another date, recipe or brewhouse than in the rows before", code));
        return known->second;
    }

    Addition addition_of(const NotedLot& row, const std::string& typed, Date day) {
        const Amount amount = parse_amount(typed);
        const std::string code = lot_for(row, amount.measure, day);
        const std::string& stage = cell(row, "stage");
        const std::string& minutes = cell(row, "minutes");
        if (stage.empty() && !minutes.empty()) throw Error(ErrorKind::refused, "minutes are said, and no stage");
        const Weighing note = parse_weighing(fmt::format("{}={}{}{}", code, typed, stage.empty() ? "" : "@" + stage,
                                                         minutes.empty() ? "" : "," + minutes),
                                             book_, lots_);
        Addition addition = weigh_in({}, {note}).additions.at(0);
        if (const auto lot = opening_.find(code); lot != opening_.end()) {
            lot->second.received_amount = lot->second.received_amount + addition.amount;
            lot->second.received = std::min(lot->second.received, day);
        }
        return addition;
    }

    // A lot of the ledger by its code; else an opening lot of that code, or of the item.
    std::string lot_for(const NotedLot& row, Measure measure, Date day) {
        const std::string& code = cell(row, "lot");
        if (!code.empty())
            if (const auto known = shelf_.lot(code)) return *known;
        if (opening_.contains(code)) return code;
        const std::string& typed = cell(row, "item");
        if (typed.empty()) throw Error(ErrorKind::refused, "neither a known lot nor an item is named");
        const Item* known = shelf_.item(typed);
        const std::string item = known != nullptr ? known->name : make(typed);
        const std::string key = code.empty() ? item + "\n" + std::to_string(static_cast<int>(measure)) : "";
        if (!key.empty() && by_item_.contains(key)) return by_item_.at(key);
        Lot lot;
        lot.code = code.empty() ? shelf_.free_code(item) : code;
        lot.item = item;
        lot.received = day;
        lot.received_amount = {measure, 0};
        shelf_.give(lot.code, item);
        if (!key.empty()) by_item_[key] = lot.code;
        lots_.push_back({lot, lot.received_amount, lot.received_amount});
        opening_.emplace(lot.code, lot);
        return lot.code;
    }

    std::string make(const std::string& typed) {
        const Item item = shelf_.make(item_of_name(parse_name(typed, "item")));
        items_.push_back(item);
        book_.items.push_back(item);
        return item.name;
    }

    std::string item_in(const std::string& lot) const { return lot_among(lots_, lot).lot.item; }

    void keep_recipe(const Brew& brew, Book& part, std::vector<std::string>& made) {
        const auto is_known = [&](const Book& book) {
            return std::ranges::find(book.recipes, *brew.recipe, &Recipe::name) != book.recipes.end();
        };
        if (!brew.recipe || is_known(book_) || is_known(part)) return;
        Recipe recipe;
        recipe.name = *brew.recipe;
        recipe.volume = known_brewhouse(book_, brew.brewhouse).volume;
        for (const Addition& addition : brew.additions) {
            const std::string item = item_in(addition.lot);
            const ItemKind kind = known_item(book_, item).kind;
            if (addition.amount.measure != Measure::mass) continue;
            if (kind == ItemKind::malt && addition.stage == Stage::mash) {
                GristLine& line = recipe.grist.emplace_back();
                line.item = item;
                line.mass = addition.amount.kilograms();
            } else if (kind == ItemKind::hop) {
                HopLine& line = recipe.hops.emplace_back();
                line.item = item;
                line.stage = addition.stage;
                line.minutes = addition.minutes;
                line.mass = addition.amount.grams();
            }
        }
        if (recipe.grist.empty())
            throw Error(ErrorKind::refused,
                        fmt::format("nobody knows recipe `{}`, and its first brew {} has no malt in the mash",
                                    recipe.name, brew.code),
                        "lotwort recipe add tells of it");
        made.push_back(recipe.name);
        part.recipes.push_back(std::move(recipe));
    }

    Call& call_;
    Book book_;
    std::vector<LotState> lots_;
    Shelf shelf_;
    std::set<std::string> there_, passed_;
    std::map<std::string, Brew> brews_;
    std::vector<Item> items_;
    std::map<std::string, Lot> opening_;
    std::map<std::string, std::string> by_item_; // opening lots that no row names
};

} // namespace

MovedIn brews_from_table(Call& call, const std::string& text, const std::string& source) {
    const CsvTable table = read_csv(text, source);
    Mover mover(call);
    FaultKinds faults;
    for (const NotedLot& row :
         read_noted(table, call.args.text("columns").value_or(""), source, {meanings, figures, demanded}))
        try {
            mover.take(row);
        } catch (const Error& fault) {
            if (fault.kind() == ErrorKind::ledger) throw;
            faults.add(row.line, fault);
        }
    faults.throw_if_any(source);
    return mover.moved_in();
}

} // namespace lotwort::verbs
