// The movements that an export lists by themselves, sorted by what they say. A first pass over them takes down what
// orders nearly all of them, 24 bytes each; a second, in pieces, the rest of what they say.
#include "columns.hpp"
#include "snapshot.hpp"
#include <algorithm>
#include <compare>
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

// Sorts by day, lot, kind and change; the first three in one number, so that a key stays small.
struct Key {
    std::uint64_t head = 0;
    std::int64_t change = 0;
    std::int64_t id = 0;
    friend auto operator<=>(const Key&, const Key&) = default;

    static constexpr unsigned kind_bits = 4;
    static constexpr unsigned lot_bits = 36;
    static constexpr Date first_day = Date(std::chrono::days(-36'525)); // before any that the ledger takes
    Key(Date on, std::size_t lot, MovementKind kind, std::int64_t by, std::int64_t row)
        : head(static_cast<std::uint64_t>((on - first_day).count()) << (lot_bits + kind_bits) | lot << kind_bits |
               static_cast<std::uint64_t>(kind)),
          change(by), id(row) {}

    [[nodiscard]] Date on() const { return first_day + std::chrono::days(head >> (lot_bits + kind_bits)); }
    [[nodiscard]] std::size_t lot() const { return head >> kind_bits & ((std::uint64_t{1} << lot_bits) - 1); }
    [[nodiscard]] MovementKind kind() const { return static_cast<MovementKind>(head & ((1U << kind_bits) - 1)); }
    [[nodiscard]] bool of_lot_and_day_of(const Key& other) const {
        return head >> kind_bits == other.head >> kind_bits;
    }
    [[nodiscard]] bool ties_with(const Key& other) const { return head == other.head && change == other.change; }
};

// What a movement says beside its key, and the other half of a pair: its reversal, or what it takes back.
struct Rest {
    std::optional<std::string> reason;
    std::optional<std::string> brew;
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
    Piece(std::span<Key> keys, Connection& connection, const std::unordered_map<std::int64_t, std::string>& brews)
        : keys_(keys), rest_(keys.size()) {
        std::vector<std::size_t> by_id(keys.size());
        for (std::size_t i = 0; i < by_id.size(); ++i) by_id[i] = i;
        std::ranges::sort(by_id, {}, [&](std::size_t i) { return keys_[i].id; });
        Query query(connection,
                    "SELECT movement_id, reason, brew_id, stage, minutes, reverses_movement_id FROM movement "
                    "WHERE movement_id BETWEEN ? AND ? ORDER BY movement_id");
        constexpr std::int64_t near = 8; // rows that are sooner passed over than looked up anew
        for (auto first = by_id.begin(); first != by_id.end();) {
            auto last = first;
            while (last + 1 != by_id.end() && keys_[last[1]].id - keys_[*last].id <= near) ++last;
            query.integer(keys_[*first].id).integer(keys_[*last].id);
            while (query.next())
                if (query.read_integer() == keys_[*first].id) read(query, rest_[*first++], brews);
            query.again();
        }
        pair_up(by_id);
        order();
    }

    // The movements in order, numbered from `number` on.
    void hand_over(const Lots& lots, std::size_t number, const std::function<void(const Movement&)>& take) {
        const auto number_of = answers(number);
        for (const std::size_t i : order_) {
            Rest& rest = rest_[i];
            const LotOf& lot = lots.in_order[keys_[i].lot()];
            movement_.id.emplace("m");
            fmt::format_to(std::back_inserter(*movement_.id), "{}", number++);
            movement_.on = keys_[i].on();
            movement_.lot = lot.code;
            movement_.kind = keys_[i].kind();
            movement_.change = {lot.measure, keys_[i].change};
            movement_.reason.swap(rest.reason);
            movement_.brew.swap(rest.brew);
            movement_.stage = rest.stage;
            movement_.minutes = rest.minutes;
            movement_.reverses.reset();
            if (rest.reverses) movement_.reverses = fmt::format("m{}", number_of.at(i));
            take(movement_);
        }
    }

private:
    static void read(Query& query, Rest& rest, const std::unordered_map<std::int64_t, std::string>& brews) {
        if (query.is_null())
            query.skip();
        else
            rest.reason = query.read_view();
        if (const auto brew = query.read_integer_or_null())
            if (const auto known = brews.find(*brew); known != brews.end()) rest.brew = known->second;
        read_value(query, rest.stage);
        read_value(query, rest.minutes);
        rest.reverses = query.read_integer_or_null();
    }

    void pair_up(const std::vector<std::size_t>& by_id) {
        for (std::size_t i = 0; i < rest_.size(); ++i) {
            if (!rest_[i].reverses) continue;
            const auto original =
                std::ranges::lower_bound(by_id, *rest_[i].reverses, {}, [&](std::size_t j) { return keys_[j].id; });
            LOTWORT_CHECK(original != by_id.end() && keys_[*original].id == *rest_[i].reverses);
            rest_[i].other = *original + 1;
            rest_[*original].other = i + 1;
        }
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

std::vector<Key> keys_of(Connection& connection, const Lots& lots, const std::string& from, const std::string& to) {
    Query query(connection, fmt::format("SELECT movement_id, lot_id, on_date, kind, change FROM movement "
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
        keys.emplace_back(on, lot->second, kind, query.read_integer(), id);
    }
    std::ranges::sort(keys);
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
    std::size_t number = 1;
    for (const auto& [from, to] : stretches(connection, most_sorted)) {
        auto keys = keys_of(connection, lots, from, to);
        constexpr std::ptrdiff_t piece_size = 4096;
        for (auto first = keys.begin(); first != keys.end();) {
            auto last = first + std::min(piece_size, keys.end() - first);
            while (last != keys.end() && last->of_lot_and_day_of(last[-1])) ++last;
            Piece piece({first, last}, connection, brews);
            piece.hand_over(lots, number, take);
            number += static_cast<std::size_t>(last - first);
            first = last;
        }
    }
}

} // namespace lotwort::store
