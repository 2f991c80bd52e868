// The movements that an export lists by themselves, sorted by what they say. A first pass over them takes down all that
// most of them say, 32 bytes each; a second, in pieces, the rest.
#include "file/columns.hpp"
#include "snapshot.hpp"
#include <algorithm>
#include <compare>
#include <deque>
#include <map>
#include <span>
#include <tuple>
#include <unordered_map>

namespace lotwort::store {

namespace {

constexpr std::string_view listed =
    "((kind <> 'receipt' AND kind <> 'brew' AND kind <> 'move' AND kind <> 'unused') OR EXISTS (SELECT 1 "
    "FROM movement AS answer WHERE answer.reverses_movement_id = movement.movement_id))";

struct LotOf {
    std::string code;
    Measure measure = Measure::mass;
};

// Live lots in the order of their codes.
struct Lots {
    explicit Lots(Connection& connection) {
        Query query(connection, "SELECT lot_id, code, measure FROM lot_now ORDER BY code");
        while (query.next()) {
            rank_of.emplace(query.read_integer(), in_order.size());
            auto& lot = in_order.emplace_back();
            lot.code = query.read_text();
            lot.measure = read_measure(query);
        }
    }
    std::vector<LotOf> in_order;
    std::unordered_map<std::int64_t, std::size_t> rank_of;
};

// Few reasons are given over and over: each is kept once, up to so many.
class Reasons {
public:
    static constexpr std::uint32_t none = 0, unkept = 0xFFFFFFFF;

    std::uint32_t place_of(std::string_view reason) {
        if (reason == last_) return last_place_;
        const auto known = place_of_.find(std::string(reason));
        if (known == place_of_.end() && texts_.size() == most) return unkept;
        const auto place = known != place_of_.end() ? known->second : static_cast<std::uint32_t>(texts_.size()) + 1;
        if (known == place_of_.end()) texts_.push_back(place_of_.emplace(reason, place).first->first);
        last_ = texts_[place - 1];
        return last_place_ = place;
    }
    [[nodiscard]] std::optional<std::string_view> operator[](std::uint32_t place) const {
        return place == none || place == unkept ? std::nullopt : std::optional(texts_[place - 1]);
    }

private:
    static constexpr std::size_t most = 50'000;
    std::unordered_map<std::string, std::uint32_t> place_of_;
    std::vector<std::string_view> texts_;
    std::string_view last_;
    std::uint32_t last_place_ = none;
};

// Sorts by day, lot, kind and change; the first three in one number, so that a key stays small.
struct Key {
    std::uint64_t head = 0;
    std::int64_t change = 0;
    std::int64_t id = 0;
    std::uint32_t reason = 0; // one of Reasons
    friend auto operator<=>(const Key& a, const Key& b) {
        return std::tie(a.head, a.change, a.id) <=> std::tie(b.head, b.change, b.id);
    }

    static constexpr unsigned kind_bits = 4;
    static constexpr unsigned lot_bits = 36;
    static constexpr Date first_day = Date(std::chrono::days(-36'525)); // before any that the ledger takes
    Key(Date on, std::size_t lot, MovementKind kind, std::int64_t by, std::int64_t row, std::uint32_t why)
        : head(static_cast<std::uint64_t>((on - first_day).count()) << (lot_bits + kind_bits) | lot << kind_bits |
               static_cast<std::uint64_t>(kind)),
          change(by), id(row), reason(why) {}

    [[nodiscard]] Date on() const { return first_day + std::chrono::days(head >> (lot_bits + kind_bits)); }
    [[nodiscard]] std::size_t lot() const { return head >> kind_bits & ((std::uint64_t{1} << lot_bits) - 1); }
    [[nodiscard]] MovementKind kind() const { return static_cast<MovementKind>(head & ((1U << kind_bits) - 1)); }
    [[nodiscard]] bool of_lot_and_day_of(const Key& other) const {
        return head >> kind_bits == other.head >> kind_bits;
    }
    // What the key does not say: the database lets no other kind have a brew, a stage, minutes, or be a reversal.
    [[nodiscard]] bool has_more() const {
        return reason == Reasons::unkept || kind() == MovementKind::brew || kind() == MovementKind::unused ||
               kind() == MovementKind::reversal;
    }
    [[nodiscard]] bool ties_with(const Key& other) const { return head == other.head && change == other.change; }
};

// What a movement says beside its key, and the other half of a pair: its reversal, or what it takes back.
struct Rest {
    std::optional<std::string_view> reason;
    std::optional<std::string_view> brew;
    std::optional<Stage> stage;
    std::optional<Minutes> minutes;
    std::optional<std::int64_t> reverses;
    std::size_t other = 0; // its place in the piece, one more; none: 0
};

using Content = std::tuple<Date, std::size_t, MovementKind, std::int64_t, std::optional<std::string_view>,
                           std::optional<std::string_view>, std::optional<Stage>, std::optional<double>>;

// A run of keys that holds whole days of its lots, and so each reversal with what it takes back.
class Piece {
public:
    Piece(std::span<Key> keys, Connection& connection, const Reasons& reasons,
          const std::unordered_map<std::int64_t, std::string>& brews)
        : keys_(keys), rest_(keys.size()) {
        for (std::size_t i = 0; i < keys_.size(); ++i)
            if (keys_[i].has_more())
                read_more(i, connection, brews);
            else
                rest_[i].reason = reasons[keys_[i].reason];
        pair_up();
        order();
    }

    // The movements in order, numbered from `number` on.
    void hand_over(const Lots& lots, std::size_t number, const std::function<void(const Movement&)>& take) {
        const auto number_of = answers(number);
        for (const std::size_t i : order_) {
            const Rest& rest = rest_[i];
            const LotOf& lot = lots.in_order[keys_[i].lot()];
            movement_.id.emplace("m");
            fmt::format_to(std::back_inserter(*movement_.id), "{}", number++);
            movement_.on = keys_[i].on();
            movement_.lot = lot.code;
            movement_.kind = keys_[i].kind();
            movement_.change = {lot.measure, keys_[i].change};
            assign(movement_.reason, rest.reason);
            assign(movement_.brew, rest.brew);
            movement_.stage = rest.stage;
            movement_.minutes = rest.minutes;
            movement_.reverses.reset();
            if (rest.reverses) movement_.reverses = fmt::format("m{}", number_of.at(i));
            take(movement_);
        }
    }

private:
    static void assign(std::optional<std::string>& to, std::optional<std::string_view> text) {
        if (!text) return to.reset();
        if (!to) to.emplace();
        to->assign(*text);
    }

    void read_more(std::size_t i, Connection& connection, const std::unordered_map<std::int64_t, std::string>& brews) {
        Query query(connection, "SELECT reason, brew_id, stage, minutes, reverses_movement_id FROM movement "
                                "WHERE movement_id = ?");
        LOTWORT_CHECK(query.integer(keys_[i].id).next());
        Rest& rest = rest_[i];
        if (auto reason = query.read_text_or_null()) rest.reason = texts_.emplace_back(std::move(*reason));
        if (const auto brew = query.read_integer_or_null())
            if (const auto known = brews.find(*brew); known != brews.end()) rest.brew = known->second;
        read_value(query, rest.stage);
        read_value(query, rest.minutes);
        rest.reverses = query.read_integer_or_null();
    }

    void pair_up() {
        std::unordered_map<std::int64_t, std::size_t> reversal_of; // by what it takes back
        for (std::size_t i = 0; i < rest_.size(); ++i)
            if (rest_[i].reverses) reversal_of.emplace(*rest_[i].reverses, i);
        if (reversal_of.empty()) return;
        for (std::size_t i = 0; i < rest_.size(); ++i)
            if (const auto reversal = reversal_of.find(keys_[i].id); reversal != reversal_of.end()) {
                rest_[i].other = reversal->second + 1;
                rest_[reversal->second].other = i + 1;
                reversal_of.erase(reversal);
            }
        LOTWORT_CHECK(reversal_of.empty());
    }

    // By all that they say, then by all that their other halves say, then as booked.
    void order() {
        order_.resize(keys_.size());
        for (std::size_t i = 0; i < order_.size(); ++i) order_[i] = i;
        for (auto first = order_.begin(); first != order_.end();) {
            auto last = first + 1;
            while (last != order_.end() && keys_[*last].ties_with(keys_[*first])) ++last;
            if (last - first > 1)
                std::sort(first, last, [&](std::size_t a, std::size_t b) {
                    return std::tuple(content(a), other_content(a), keys_[a].id) <
                           std::tuple(content(b), other_content(b), keys_[b].id);
                });
            first = last;
        }
    }

    [[nodiscard]] Content content(std::size_t i) const {
        const auto& [reason, brew, stage, minutes, reverses, other] = rest_[i];
        return {
            keys_[i].on(), keys_[i].lot(), keys_[i].kind(), keys_[i].change,
            reason,        brew,           stage,           minutes ? std::optional(minutes->value()) : std::nullopt};
    }
    [[nodiscard]] std::optional<Content> other_content(std::size_t i) const {
        return rest_[i].other == 0 ? std::nullopt : std::optional(content(rest_[i].other - 1));
    }

    // For each reversal the number of what it takes back. Originals of one content and one answer may change places:
    // each reversal takes the next of them.
    [[nodiscard]] std::unordered_map<std::size_t, std::size_t> answers(std::size_t number) const {
        std::unordered_map<std::size_t, std::size_t> number_of;
        std::map<std::pair<Content, Content>, std::vector<std::size_t>> originals;
        for (std::size_t place = 0; place < order_.size(); ++place)
            if (const std::size_t i = order_[place]; rest_[i].other != 0 && !rest_[i].reverses)
                originals[{content(i), *other_content(i)}].push_back(number + place);
        std::map<std::pair<Content, Content>, std::size_t> answered;
        for (const std::size_t i : order_)
            if (rest_[i].reverses) {
                const std::pair original(*other_content(i), content(i));
                number_of[i] = originals.at(original).at(answered[original]++);
            }
        return number_of;
    }

    std::span<Key> keys_;
    std::vector<Rest> rest_;
    std::vector<std::size_t> order_;
    std::deque<std::string> texts_; // that are not among the reasons kept
    Movement movement_;
};

// The days of the movements in stretches of so many movements or fewer, or of one day.
std::vector<std::pair<std::string, std::string>> stretches(Connection& connection, std::int64_t most) {
    if (connection.integer("SELECT ifnull(max(movement_id), 0) FROM movement") <= most) return {{"", "9999"}};
    std::vector<std::pair<std::string, std::string>> found;
    Query days(connection, "SELECT on_date, count(*) FROM movement GROUP BY on_date ORDER BY on_date");
    std::int64_t held = most;
    while (days.next()) {
        auto day = days.read_text();
        const auto count = days.read_integer();
        held += count;
        if (held > most) {
            found.emplace_back(day, std::string());
            held = count;
        }
        found.back().second = std::move(day);
    }
    return found;
}

std::vector<Key> keys_of(Connection& connection, const Lots& lots, Reasons& reasons, const std::string& from,
                         const std::string& to) {
    Query query(connection, fmt::format("SELECT movement_id, lot_id, on_date, kind, change, reason FROM movement "
                                        "WHERE {} AND on_date BETWEEN ? AND ?",
                                        listed));
    query.text(from).text(to);
    std::vector<Key> keys;
    std::string day; // many of one day and kind stand one behind the other
    Date on;
    auto kind = MovementKind::discard;
    while (query.next()) {
        const auto id = query.read_integer();
        const auto lot = lots.rank_of.find(query.read_integer());
        if (lot == lots.rank_of.end()) continue;
        if (const auto text = query.read_view(); text != day) {
            day = text;
            const auto read = parse_iso_date(day);
            if (!read) query.refuse_value(day);
            on = *read;
        }
        if (const auto text = query.read_view(); text != word(kind)) {
            const auto read = from_word<MovementKind>(text);
            if (!read) query.refuse_value(text);
            kind = *read;
        }
        const auto change = query.read_integer();
        const auto reason = query.is_null() ? Reasons::none : reasons.place_of(query.read_view());
        keys.emplace_back(on, lot->second, kind, change, id, reason);
    }
    std::sort(keys.begin(), keys.end());
    return keys;
}

} // namespace

void for_each_other_movement(Connection& connection, const std::function<void(const Movement&)>& take,
                             std::int64_t most_sorted) {
    const Lots lots(connection);
    std::unordered_map<std::int64_t, std::string> brews;
    Query codes(connection, "SELECT brew_id, code FROM brew_now");
    while (codes.next()) {
        const auto id = codes.read_integer();
        brews.emplace(id, codes.read_text());
    }
    Reasons reasons;
    std::size_t number = 1;
    for (const auto& [from, to] : stretches(connection, most_sorted)) {
        auto keys = keys_of(connection, lots, reasons, from, to);
        constexpr std::ptrdiff_t piece_size = 4096;
        for (auto first = keys.begin(); first != keys.end();) {
            auto last = first + std::min(piece_size, keys.end() - first);
            while (last != keys.end() && last->of_lot_and_day_of(last[-1])) ++last;
            Piece piece({first, last}, connection, reasons, brews);
            piece.hand_over(lots, number, take);
            number += static_cast<std::size_t>(last - first);
            first = last;
        }
    }
}

} // namespace lotwort::store
