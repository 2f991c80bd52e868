#include <algorithm>
#include <cstdint>
#include <exception>
#include <fmt/format.h>
#include <functional>
#include <lotwort/desk/taught.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace lotwort {

namespace {

constexpr std::size_t most_kept = 64;

} // namespace

Taught::Kept* Taught::find(const std::string& subject) {
    const auto found = std::ranges::find(kept_, subject, &Kept::subject);
    if (found == kept_.end()) return nullptr;
    kept_.splice(kept_.begin(), kept_, found);
    return &kept_.front();
}

void Taught::keep(const std::string& subject, std::size_t basis, const std::string& state, std::any value) {
    const std::scoped_lock lock(mutex_);
    if (Kept* kept = find(subject)) {
        *kept = {subject, basis, state, std::move(value), kept->awaited == basis ? std::nullopt : kept->awaited};
        return;
    }
    kept_.push_front({subject, basis, state, std::move(value)});
    if (kept_.size() > most_kept) kept_.pop_back();
}

void Taught::work_aside(Kept& kept, const Question& question, const std::string& state) {
    if (kept.awaited == question.basis) return;
    const bool is_taken = aside_([this, subject = kept.subject, question, state] {
        try {
            keep(subject, question.basis, state, question.work_out());
        } catch (const std::exception&) { // who asks next is told
            const std::scoped_lock lock(mutex_);
            std::erase_if(kept_, [&](const Kept& one) { return one.subject == subject; });
        }
    });
    if (is_taken) kept.awaited = question.basis;
}

Taught::Known Taught::known(const std::string& subject, const std::string& state,
                            const std::function<Question()>& ask) {
    {
        const std::scoped_lock lock(mutex_);
        if (const Kept* kept = find(subject); kept != nullptr && kept->state == state)
            return {kept->value, state, true};
    }
    const Question question = ask();
    {
        const std::scoped_lock lock(mutex_);
        if (Kept* kept = find(subject)) {
            if (kept->basis != question.basis) {
                work_aside(*kept, question, state);
                return {kept->value, kept->state, false};
            }
            kept->state = state;
            return {kept->value, state, true};
        }
    }
    std::any value = question.work_out();
    keep(subject, question.basis, state, value);
    return {std::move(value), state, true};
}

std::string state_of(const Desk& desk) {
    const std::int64_t newest = desk.ledger.newest_entry();
    const auto entry = desk.ledger.entry(newest);
    return fmt::format("entry {}{}", newest, entry ? " of " + to_iso(entry->head.on) : "");
}

namespace {

// Each record once, by its name.
class Gathered {
public:
    void add(const ReconcileInput& input) {
        brews_.emplace(input.brew.code, &input.brew);
        houses_.emplace(input.brewhouse.name, &input.brewhouse);
        for (const Instrument& one : input.instruments) instruments_.emplace(one.name, &one);
        for (const auto& [code, used] : input.lots) add(used);
        if (input.recipe) recipes_.emplace(input.recipe->name, &*input.recipe);
        for (const ReconcileInput& tied : input.earlier_in_fermenter) add(tied);
        for (const ReconcileInput& tied : input.later_in_fermenter) add(tied);
    }
    void add(const UsedLot& used) {
        lots_.emplace(used.lot.code, &used.lot);
        add(used.item);
    }
    void add(const Item& item) { items_.emplace(item.name, &item); }
    void add(const Brewhouse& house) { houses_.emplace(house.name, &house); }

    [[nodiscard]] std::string text() const {
        Book book;
        fill(book.items, items_);
        fill(book.instruments, instruments_);
        fill(book.brewhouses, houses_);
        fill(book.lots, lots_);
        fill(book.recipes, recipes_);
        fill(book.brews, brews_);
        return write_exchange(book);
    }

private:
    template <class Record>
    using ByName = std::map<std::string, const Record*>;
    template <class Record>
    static void fill(std::vector<Record>& into, const ByName<Record>& from) {
        for (const auto& [name, record] : from) into.push_back(*record);
    }
    ByName<Item> items_;
    ByName<Instrument> instruments_;
    ByName<Brewhouse> houses_;
    ByName<Lot> lots_;
    ByName<Recipe> recipes_;
    ByName<Brew> brews_;
};

} // namespace

std::size_t basis_of(const LearnRequest& request, const std::vector<ReconcileInput>& more) {
    Gathered gathered;
    std::string text = std::to_string(request.older);
    for (const ReconcileInput& input : request.brews) {
        gathered.add(input);
        text += " " + input.brew.code; // their order
    }
    for (const ReconcileInput& input : more) gathered.add(input);
    for (const UsedLot& used : request.lots_on_hand) {
        gathered.add(used);
        text += " " + used.lot.code;
    }
    for (const Item& item : request.items) {
        gathered.add(item);
        text += " " + item.name;
    }
    if (request.brewhouse) {
        gathered.add(*request.brewhouse);
        text += " " + request.brewhouse->name;
    }
    for (const auto& [brew, share] : request.packaged) text += " " + brew + "=" + std::to_string(share);
    return std::hash<std::string>()(text + "\n" + gathered.text());
}

} // namespace lotwort
