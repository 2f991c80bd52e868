#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/stock/typical.hpp>

namespace lotwort {

std::optional<std::size_t> find_name(const std::vector<std::string>& names, std::string_view typed) {
    const auto exact = std::find(names.begin(), names.end(), typed);
    if (exact != names.end()) return static_cast<std::size_t>(exact - names.begin());
    const std::string low = lowered(typed);
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (lowered(names[i]) != low) continue;
        if (found) return std::nullopt;
        found = i;
    }
    return found;
}

void refuse_unknown(std::string_view kind, std::string_view name, const std::vector<std::string>& names,
                    std::string_view where_to_look) {
    const std::string near = did_you_mean(name, names);
    const std::string list = names.empty() ? fmt::format("the ledger holds no {} yet", kind)
                                           : fmt::format("{} lists what there is", where_to_look);
    throw Error(ErrorKind::refused, fmt::format("there is no {} `{}`", kind, name), near.empty() ? list : near);
}

std::vector<std::string> malt_class_names() {
    const auto& classes = known_malt_classes();
    return {classes.begin(), classes.end()};
}

std::vector<std::string> item_names(const Book& book) {
    std::vector<std::string> names;
    for (const Item& item : book.items) names.push_back(item.name);
    return names;
}

const Item* find_item(const Book& book, std::string_view name) {
    const auto found = find_name(item_names(book), name);
    return found ? &book.items[*found] : nullptr;
}

const Item& known_item(const Book& book, std::string_view name) {
    if (const Item* item = find_item(book, name)) return *item;
    refuse_unknown("item", name, item_names(book), "lotwort item list");
}

Item item_of(const Ledger& ledger, const Lot& lot) {
    const Book book = ledger.definitions();
    return known_item(book, lot.item);
}

namespace {

std::vector<std::string> lot_codes(Ledger& ledger) {
    std::vector<std::string> codes;
    for (const StockRow& row : ledger.stock()) codes.push_back(row.lot);
    return codes;
}

// What a lot may be called by: its code, and its item's name.
std::vector<std::string> lot_words(const std::vector<LotState>& lots) {
    std::vector<std::string> words;
    for (const LotState& state : lots) words.push_back(state.lot.code);
    for (const LotState& state : lots)
        if (std::ranges::find(words, state.lot.item) == words.end()) words.push_back(state.lot.item);
    return words;
}

std::string lots_oldest_first(std::vector<const LotState*> lots) {
    std::ranges::stable_sort(lots, {}, [](const LotState* state) { return state->lot.received; });
    constexpr std::size_t most_listed = 6;
    std::string text;
    for (std::size_t i = 0; i < std::min(lots.size(), most_listed); ++i) {
        const LotState* state = lots[i];
        text += fmt::format("{}{} ({}, received {})", text.empty() ? "" : ", ", state->lot.code,
                            to_text(state->on_hand), to_iso(state->lot.received));
    }
    return lots.size() > most_listed ? text + "; lotwort stock --lots lists all" : text;
}

const LotState* only_lot_of_item(const std::vector<LotState>&&, std::string_view) = delete;
// The one lot of the item of that name, of those that hold anything if any does; null where no lot is of such an item.
// Error(refused) lists them where there are several.
const LotState* only_lot_of_item(const std::vector<LotState>& lots, std::string_view item) {
    std::vector<const LotState*> all, full;
    for (const LotState& state : lots) {
        if (lowered(state.lot.item) != lowered(item)) continue;
        all.push_back(&state);
        if (state.on_hand.units > 0) full.push_back(&state);
    }
    const auto& meant = full.empty() ? all : full;
    if (meant.size() > 1)
        throw Error(ErrorKind::refused, fmt::format("there are {} lots of {}", meant.size(), meant.front()->lot.item),
                    "write the code of one, oldest first: " + lots_oldest_first(meant));
    return meant.empty() ? nullptr : meant.front();
}

// What lies in the silo of that name.
const LotState* lot_in_silo(const std::vector<LotState>& lots, std::string_view silo) {
    for (const LotState& state : lots)
        if (state.lot.silo && lowered(*state.lot.silo) == lowered(silo) && state.on_hand.units > 0) return &state;
    return nullptr;
}
const LotState* lot_in_silo(const std::vector<LotState>&&, std::string_view) = delete;

std::vector<std::string> brew_codes(const std::vector<Brew>& brews) {
    std::vector<std::string> codes;
    for (const Brew& brew : brews) codes.push_back(brew.code);
    return codes;
}

} // namespace

std::optional<LotState> find_lot(Ledger& ledger, std::string_view code) {
    if (auto state = ledger.lot(code)) return state;
    const auto codes = lot_codes(ledger);
    if (const auto found = find_name(codes, code)) return ledger.lot(codes[*found]);
    const std::vector<LotState> lots = ledger.lots();
    if (const LotState* in_silo = lot_in_silo(lots, code)) return *in_silo;
    const LotState* of_item = only_lot_of_item(lots, code);
    return of_item != nullptr ? std::optional(*of_item) : std::nullopt;
}

LotState known_lot(Ledger& ledger, std::string_view code) {
    if (auto state = find_lot(ledger, code)) return *std::move(state);
    refuse_unknown("lot", code, lot_words(ledger.lots()), "lotwort stock --lots --all");
}

std::optional<Brew> find_brew(Ledger& ledger, std::string_view code) {
    if (auto brew = ledger.brew(code)) return brew;
    const auto codes = brew_codes(ledger.brews());
    const auto found = find_name(codes, code);
    return found ? ledger.brew(codes[*found]) : std::nullopt;
}

Brew known_brew(Ledger& ledger, std::string_view code) {
    if (auto brew = find_brew(ledger, code)) return *std::move(brew);
    refuse_unknown("brew", code, brew_codes(ledger.brews()), "lotwort history --kind brew");
}

namespace {

template <class Record>
const Record& known(const std::vector<Record>& records, std::string_view name, std::string_view kind,
                    std::string_view where_to_look) {
    const auto found = std::ranges::find(records, name, &Record::name);
    if (found != records.end()) return *found;
    std::vector<std::string> names;
    for (const auto& record : records) names.push_back(record.name);
    refuse_unknown(kind, name, names, where_to_look);
}
template <class Record>
const Record& known(const std::vector<Record>&&, std::string_view, std::string_view, std::string_view) = delete;

} // namespace

const Brewhouse& known_brewhouse(const Book& book, std::string_view name) {
    return known(book.brewhouses, name, "brewhouse", "lotwort brewhouse");
}

const Recipe& known_recipe(const Book& book, std::string_view name) {
    return known(book.recipes, name, "recipe", "lotwort recipe");
}

const Tank* find_tank(const Book& book, std::string_view name) {
    std::vector<std::string> names;
    for (const Tank& tank : book.tanks) names.push_back(tank.name);
    const auto found = find_name(names, name);
    return found ? &book.tanks[*found] : nullptr;
}

const Tank& known_tank(const Book& book, std::string_view name) {
    const Tank* found = find_tank(book, name);
    return found != nullptr ? *found : known(book.tanks, name, "tank", "lotwort tank add FV1 20hL");
}

const Order& known_order(const Book& book, std::string_view code) {
    std::vector<std::string> codes;
    for (const Order& order : book.orders) codes.push_back(order.code);
    if (const auto found = find_name(codes, code)) return book.orders[*found];
    refuse_unknown("order", code, codes, "lotwort order");
}

const Instrument& known_instrument(const Book& book, std::string_view name) {
    return known(book.instruments, name, "instrument", "lotwort brewhouse");
}

const Brewhouse& chosen_brewhouse(const Book& book, const std::optional<std::string>& name) {
    if (name) return known_brewhouse(book, *name);
    if (book.brewhouses.empty())
        throw Error(ErrorKind::refused, "there is no brewhouse to brew on yet",
                    "a name and its volume are enough: lotwort brewhouse add garage 23L");
    if (book.brewhouses.size() > 1) {
        std::string names;
        for (const auto& brewhouse : book.brewhouses) names += (names.empty() ? "" : ", ") + shell_word(brewhouse.name);
        throw Error(ErrorKind::refused,
                    fmt::format("there are {} brewhouses, and none is named", book.brewhouses.size()),
                    "add --brewhouse with one of: " + names);
    }
    return book.brewhouses.front();
}

const LotState& lot_among(const std::vector<LotState>& lots, const std::string& code) {
    const auto found = std::ranges::find(lots, code, [](const LotState& s) { return s.lot.code; });
    if (found != lots.end()) return *found;
    std::vector<std::string> codes;
    for (const auto& state : lots) codes.push_back(state.lot.code);
    if (const auto like = find_name(codes, code)) return lots[*like];
    if (const LotState* in_silo = lot_in_silo(lots, code)) return *in_silo;
    if (const LotState* of_item = only_lot_of_item(lots, code)) return *of_item;
    refuse_unknown("lot", code, lot_words(lots), "lotwort stock --lots");
}

void demand_arrived(const Lot& lot, Date on) {
    if (on >= lot.received) return;
    throw Error(ErrorKind::refused,
                fmt::format("{} arrived on {}, after {}", lot.code, to_iso(lot.received), to_iso(on)),
                "look at the day, or at the lot");
}

const Plan* find_plan(const Book& book, std::string_view code) {
    const auto found = find_name(plan_codes(book.plans), code);
    return found ? &book.plans[*found] : nullptr;
}

std::vector<std::string> plan_codes(const std::vector<Plan>& plans) {
    std::vector<std::string> codes;
    for (const Plan& plan : plans) codes.push_back(plan.code);
    return codes;
}

} // namespace lotwort
