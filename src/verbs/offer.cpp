// offer: who sells what, and on what terms.
#include "table.hpp"
#include "trade.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <initializer_list>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/offer.hpp>
#include <lotwort/stock/supplier_terms.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ACTION", "add, change, remove, list, or terms", true},
    {"SUPPLIER", "who sells", true},
    {"ITEM", "what: \"pale ale malt\"", true},
    {"PACK", "what a pack holds: 25kg, 1L, 10pieces", true},
    {"PRICE", "of one pack: 32.50", true},
};

constexpr Option options[] = {
    {"from", "N=PRICE", "the price of each pack once so many are bought in one order: 10=29.80", true},
    {"shelf-life", "DAYS", "how long a pack keeps after it has come: 365days"},
    {"valid-until", "DATE", "the last day to order at this price"},
    {"delivery", "MONEY", "terms: what a delivery costs, once per order day"},
    {"free-from", "MONEY", "terms: goods from which delivery is free"},
    {"minimum", "MONEY", "terms: the least goods of an order"},
    {"lead", "DAYS", "from order to arrival; of a supplier (terms), or of one offer"},
    {"buffer", "DAYS", "terms: its goods are to come so long before their use: 2days"},
    {"closed", "WEEKDAY", "terms: days with neither orders nor deliveries: saturday,sunday; or none", true},
    {"all", "", "list: offers that have ended too"},
};

enum class Action { add, change, remove, list, terms };
constexpr std::array<std::string_view, 5> action_words{"add", "change", "remove", "list", "terms"};

// None: it is the name of a supplier.
std::optional<Action> parse_action(Call& call) {
    const std::string typed = call.args.text("ACTION").value_or("list");
    const auto found = std::ranges::find(action_words, typed);
    if (found == action_words.end() && !call.args.has("SUPPLIER")) {
        const Book book = call.ledger().definitions();
        const std::string name = supplier_name(book, typed);
        if (is_supplier(book, name)) return std::nullopt;
    }
    if (found == action_words.end())
        throw Error(ErrorKind::usage, fmt::format("`{}` is not something to do with an offer", typed),
                    "write: lotwort offer add SUPPLIER ITEM PACK PRICE, change, remove, list, or terms SUPPLIER");
    return static_cast<Action>(found - action_words.begin());
}

const std::string& word_of(const Call& call, std::string_view positional) {
    if (!call.args.has(positional))
        throw Error(ErrorKind::usage, fmt::format("{} is missing", positional),
                    "write: lotwort offer add SUPPLIER ITEM PACK PRICE");
    return call.args.required(positional);
}
const std::string& word_of(const Call&&, std::string_view) = delete;

void parse_pack(const std::string& text, Offer& offer) {
    set_pack(offer, text, "write what it holds, such as 25kg");
}

PriceStep parse_step(Call& call, const std::string& text) {
    const auto equals = text.find('=');
    if (equals == std::string::npos)
        throw Error(ErrorKind::refused, fmt::format("`{}` names no number of packs", text),
                    "write how many and what one then costs, such as 10=29.80");
    return {static_cast<int>(parse_whole(text.substr(0, equals), "number of packs", 1, 1'000'000)),
            parse_money(call, text.substr(equals + 1))};
}

// Prices fall as the number of packs rises: a dearer sack when more are bought is a slip of the keys.
void parse_prices(Call& call, Offer& offer) {
    if (call.args.has("PRICE")) {
        const PriceStep first{1, parse_money(call, call.args.required("PRICE"))};
        std::erase_if(offer.price_steps, [](const PriceStep& step) { return step.packs == 1; });
        offer.price_steps.insert(offer.price_steps.begin(), first);
    }
    if (call.args.has("from")) {
        std::erase_if(offer.price_steps, [](const PriceStep& step) { return step.packs > 1; });
        for (const PriceStep& step : read_each(call, "from", [&](const std::string& t) { return parse_step(call, t); }))
            offer.price_steps.push_back(step);
    }
    std::ranges::sort(offer.price_steps, {}, &PriceStep::packs);
    for (std::size_t k = 1; k < offer.price_steps.size(); ++k) {
        const PriceStep &before = offer.price_steps[k - 1], &step = offer.price_steps[k];
        if (step.packs == before.packs)
            throw Error(ErrorKind::refused, fmt::format("two prices are stated from {} packs on", step.packs),
                        "state one");
        if (step.price > before.price)
            throw Error(ErrorKind::refused,
                        fmt::format("from {} packs on a pack would cost more than before", step.packs),
                        "the price falls as the number of packs rises: look at the figures");
    }
    if (offer.price_steps.empty())
        throw Error(ErrorKind::usage, "PRICE is missing: of one pack",
                    "write: lotwort offer add SUPPLIER ITEM PACK PRICE");
}

// Saturday, or its beginning: sat.
std::string known_weekday(const std::string& text) {
    const std::vector<std::string> week{"none",     "monday", "tuesday",  "wednesday",
                                        "thursday", "friday", "saturday", "sunday"};
    const std::string low = lowered(text);
    const auto found =
        std::ranges::find_if(week, [&](const std::string& day) { return low.size() >= 3 && day.starts_with(low); });
    if (found == week.end())
        throw Error(ErrorKind::refused, fmt::format("`{}` is no weekday", text),
                    "write monday to sunday, several with commas between: --closed saturday,sunday; or none");
    return *found;
}

std::vector<std::string> known_weekdays(const std::string& text) {
    std::vector<std::string> days;
    std::size_t from = 0;
    for (std::size_t comma = 0; comma != std::string::npos; from = comma + 1) {
        comma = text.find(',', from);
        days.push_back(known_weekday(text.substr(from, comma == std::string::npos ? comma : comma - from)));
    }
    return days;
}

void parse_closed(const Call& call, Supplier& supplier) {
    if (!call.args.has("closed")) return;
    supplier.closed_weekdays.clear();
    for (const auto& days : read_each(call, "closed", known_weekdays))
        for (const std::string& day : days)
            if (day != "none" && std::ranges::find(supplier.closed_weekdays, day) == supplier.closed_weekdays.end())
                supplier.closed_weekdays.push_back(day);
    if (supplier.closed_weekdays.size() == 7)
        throw Error(ErrorKind::refused, "a supplier who is closed all week delivers nothing",
                    "leave out the days it is open");
}

Supplier parse_terms(Call& call, Supplier supplier) {
    const auto money = [&](const std::string& text) { return parse_money(call, text); };
    const auto lay = [&](std::string_view option, std::optional<Money>& into) {
        if (const auto value = read_option(call, option, money)) into = *value;
    };
    lay("delivery", supplier.delivery);
    lay("free-from", supplier.free_delivery_from);
    lay("minimum", supplier.minimum_order);
    if (const auto lead = read_option(call, "lead", [](const std::string& t) { return parse_days(t, {0.0, 3650.0}); }))
        supplier.lead_days = *lead;
    if (const auto buffer = read_option(call, "buffer", [](const std::string& t) {
            return parse_days(t, {0.0, 60.0});
        }))
        supplier.buffer_days = *buffer;
    parse_closed(call, supplier);
    return supplier;
}

// What is of an offer is no term of the supplier's, and the other way round: the same, put where it belongs.
void demand_of(const Call& call, Action action, std::initializer_list<const char*> others) {
    for (const char* option : others)
        if (call.args.has(option)) {
            const std::string said = fmt::format("--{} {}", option, shell_word(*call.args.text(option)));
            throw Error(ErrorKind::usage,
                        fmt::format("--{} is not for offer {}", option, action_words[static_cast<std::size_t>(action)]),
                        action == Action::terms ? fmt::format("it is of an offer: lotwort offer change {} ITEM PACK {}",
                                                              shell_word(word_of(call, "SUPPLIER")), said)
                                                : fmt::format("it is of the supplier: lotwort offer terms {} {}",
                                                              shell_word(word_of(call, "SUPPLIER")), said));
        }
}

bool same_pack(const Offer& a, const Offer& b) {
    return a.pack == b.pack && a.pack_volume == b.pack_volume && a.pack_count == b.pack_count;
}

const Offer* find_offer(const Book& book, const Offer& like) {
    for (const Offer& offer : book.offers)
        if (offer.supplier == like.supplier && offer.item == like.item && same_pack(offer, like)) return &offer;
    return nullptr;
}
const Offer* find_offer(const Book&&, const Offer&) = delete;

struct Change {
    Book part;
    std::string what;
    std::vector<std::string> says;
};

Change terms(Call& call, const Book& book) {
    demand_of(call, Action::terms, {"from", "shelf-life", "valid-until"});
    const std::string name = supplier_name(book, word_of(call, "SUPPLIER"));
    const auto known = std::ranges::find(book.suppliers, name, &Supplier::name);
    Supplier before{};
    before.name = name;
    if (known != book.suppliers.end()) before = *known;
    const Supplier after = parse_terms(call, before);
    if (after == before) refuse_no_change(call, name, "say what, such as --delivery 18 --lead 3days");
    Change change;
    change.part.suppliers.push_back(after);
    change.what = fmt::format("terms of {}", name);
    return change;
}

// An offer that was taken out has ended the day before.
bool has_ended(const Offer& offer, Date today) {
    return offer.valid_until && *offer.valid_until < today;
}

Change offered(Call& call, const Book& book, Action action) {
    demand_of(call, action, {"delivery", "free-from", "minimum", "buffer", "closed"});
    Change change;
    Offer offer;
    offer.supplier = supplier_name(book, word_of(call, "SUPPLIER"));
    const std::string& typed = word_of(call, "ITEM");
    offer.item = action == Action::add ? item_or_new(call, book, typed, change.part.items, change.says)
                                       : known_item(book, typed).name;
    parse_pack(word_of(call, "PACK"), offer);
    const Offer* known = find_offer(book, offer);
    const std::string whose = fmt::format("{} of {} by {}", report::pack_text(offer), offer.item, offer.supplier);
    if (action == Action::add && known != nullptr && !has_ended(*known, call.surroundings.today))
        throw Error(ErrorKind::refused, fmt::format("there is an offer of {} already", whose),
                    fmt::format("lotwort offer change {} {} {} {} alters it", shell_word(offer.supplier),
                                shell_word(offer.item), shell_word(word_of(call, "PACK")),
                                shell_word(call.args.text("PRICE").value_or("PRICE"))));
    if (action != Action::add && known == nullptr)
        throw Error(ErrorKind::refused, fmt::format("there is no offer of {}", whose),
                    "lotwort offer list shows what there is");
    if (action != Action::add) offer = *known;
    parse_prices(call, offer);
    if (const auto keeps = read_option(call, "shelf-life", [](const std::string& t) {
            return parse_days(t, {1.0, 36500.0});
        }))
        offer.shelf_life_days = *keeps;
    if (const auto lead = read_option(call, "lead", [](const std::string& t) { return parse_days(t, {0.0, 3650.0}); }))
        offer.lead_days = *lead;
    if (const auto until = call.date("valid-until", Looks::ahead)) {
        if (*until < call.surroundings.today)
            throw Error(ErrorKind::refused, fmt::format("--valid-until {} has passed", to_iso(*until)),
                        "lotwort offer remove takes an offer out");
        offer.valid_until = until;
    }
    if (action == Action::change && offer == *known)
        refuse_no_change(call, whose, "say what: a new PRICE, --from, --lead, --shelf-life or --valid-until");
    change.part.offers.push_back(offer);
    change.what = fmt::format("{} the offer of {}", action == Action::add ? "added" : "changed", whose);
    return change;
}

Change removed(Call& call, const Book& book) {
    Offer like;
    like.supplier = supplier_name(book, word_of(call, "SUPPLIER"));
    like.item = known_item(book, word_of(call, "ITEM")).name;
    parse_pack(word_of(call, "PACK"), like);
    const Offer* known = find_offer(book, like);
    const std::string whose = fmt::format("{} of {} by {}", report::pack_text(like), like.item, like.supplier);
    if (known == nullptr || has_ended(*known, call.surroundings.today))
        throw Error(ErrorKind::refused, fmt::format("there is no offer of {}", whose),
                    "lotwort offer list shows what there is");
    Change change;
    change.part.offers.push_back(*known);
    change.part.offers.back().valid_until = call.surroundings.today - std::chrono::days(1);
    change.what = fmt::format("took out the offer of {}", whose);
    return change;
}

Answer shown(const Call& call, const report::OfferList& list, bool csv) {
    if (call.json()) return {report::offer_json(list)};
    return {csv ? report::offer_csv(list) : report::offer_text(list)};
}

Answer list(Call& call, const std::optional<std::string>& supplier) {
    call.only_reads();
    call.goes("what is offered is listed",
              "lotwort offer change SUPPLIER ITEM PACK PRICE alters an offer, lotwort offer "
              "terms SUPPLIER the terms");
    const Book book = call.ledger().definitions();
    report::OfferList all{
        suppliers_with_terms(book.suppliers, book.offers), {}, call.ledger().currency(), call.surroundings.today};
    std::optional<std::string> only;
    if (supplier) {
        only = supplier_name(book, *supplier);
        std::erase_if(all.suppliers, [&](const Supplier& s) { return s.name != *only; });
        std::vector<std::string> names;
        for (const Supplier& supplier : suppliers_with_terms(book.suppliers, book.offers))
            names.push_back(supplier.name);
        if (all.suppliers.empty()) refuse_unknown("supplier", *only, names, "lotwort offer list");
    }
    for (const Offer& offer : book.offers)
        if ((!only || offer.supplier == *only) && (call.args.has("all") || !has_ended(offer, all.today)))
            all.offers.push_back(offer);
    return shown(call, all, call.csv());
}

Answer run(Call& call) {
    const auto action = parse_action(call);
    if (!action) return list(call, call.args.text("ACTION"));
    if (*action == Action::list) return list(call, call.args.text("SUPPLIER"));
    call.goes(
        fmt::format("it is not for offer {}", action_words[static_cast<std::size_t>(*action)]),
        "write: lotwort offer add or change SUPPLIER ITEM PACK PRICE, remove SUPPLIER ITEM PACK, or terms SUPPLIER");
    const Book book = call.ledger().definitions();
    const bool csv = call.csv();
    const Change change = *action == Action::terms    ? terms(call, book)
                          : *action == Action::remove ? removed(call, book)
                                                      : offered(call, book, *action);
    const auto entry = call.book(change.part, EntryKind::offer, change.what);
    const report::Booked booked{entry, call.dry_run(), "lotwort buy"};
    return shown(call,
                 {change.part.suppliers, change.part.offers, call.ledger().currency(), call.surroundings.today, &booked,
                  change.says},
                 csv);
}

} // namespace

constinit const Command offer_command{
    .name = "offer",
    .group = Group::stock,
    .summary = "who sells what: packs, prices, delivery, lead times",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
