#include "laid_movements.hpp"
#include <algorithm>
#include <array>
#include <cstring>
#include <lotwort/core/error.hpp>
#include <optional>

namespace lotwort {

namespace {

constexpr std::size_t length_size = sizeof(std::uint32_t);

// What has one size in every movement. Its texts follow, one behind the other.
struct Fixed {
    static constexpr std::uint32_t no_text = 0xFFFFFFFF;
    static constexpr std::uint8_t no_stage = 0xFF;

    std::uint64_t start;
    std::int64_t units;
    double minutes;
    std::int32_t day;
    std::array<std::uint32_t, 5> sizes; // of the texts
    std::uint8_t kind, measure, stage, has_minutes;
};

// The movement's texts in the order of `sizes`.
template <class Visit>
void for_each_text(auto& movement, Visit&& visit) {
    visit(0, movement.lot);
    visit(1, movement.id);
    visit(2, movement.reason);
    visit(3, movement.brew);
    visit(4, movement.reverses);
}

std::string_view view(const std::string& text) {
    return text;
}
std::string_view view(const std::string&&) = delete;
std::optional<std::string_view> view(const std::optional<std::string>& text) {
    return text;
}
std::optional<std::string_view> view(const std::optional<std::string>&&) = delete;

void put(std::string& text, std::string_view read) {
    text.assign(read);
}
void put(std::optional<std::string>& text, std::string_view read) {
    if (!text) text.emplace();
    text->assign(read); // its room is used again
}

void unpack(std::string_view record, Movement& movement) {
    Fixed fixed;
    std::memcpy(&fixed, record.data(), sizeof fixed);
    movement.change = {static_cast<Measure>(fixed.measure), fixed.units};
    movement.on = Date(std::chrono::days(fixed.day));
    movement.kind = static_cast<MovementKind>(fixed.kind);
    movement.stage = fixed.stage == Fixed::no_stage ? std::nullopt : std::optional(static_cast<Stage>(fixed.stage));
    movement.minutes = fixed.has_minutes != 0 ? std::optional(Minutes(fixed.minutes)) : std::nullopt;
    std::size_t at = sizeof fixed;
    for_each_text(movement, [&](std::size_t i, auto& text) {
        const std::uint32_t size = fixed.sizes[i];
        if (size == Fixed::no_text) {
            text = {};
            return;
        }
        put(text, record.substr(at, size));
        at += size;
    });
}

} // namespace

void LaidMovements::add(const Movement& movement, std::uint64_t start) {
    Fixed fixed{};
    fixed.start = start;
    fixed.units = movement.change.units;
    fixed.measure = static_cast<std::uint8_t>(movement.change.measure);
    fixed.day = static_cast<std::int32_t>(movement.on.time_since_epoch().count());
    fixed.kind = static_cast<std::uint8_t>(movement.kind);
    fixed.stage = movement.stage ? static_cast<std::uint8_t>(*movement.stage) : Fixed::no_stage;
    fixed.has_minutes = movement.minutes ? 1 : 0;
    fixed.minutes = movement.minutes ? movement.minutes->value() : 0.0;
    std::size_t size = sizeof fixed;
    for_each_text(movement, [&](std::size_t i, const auto& text) {
        const std::optional<std::string_view> shown = view(text);
        fixed.sizes[i] = shown ? static_cast<std::uint32_t>(shown->size()) : Fixed::no_text;
        size += shown ? shown->size() : 0;
    });
    const auto length = static_cast<std::uint32_t>(size);
    late_.append(reinterpret_cast<const char*>(&length), length_size);
    late_.append(reinterpret_cast<const char*>(&fixed), sizeof fixed);
    for_each_text(movement, [&](std::size_t, const auto& text) {
        if (const std::optional<std::string_view> shown = view(text)) late_ += *shown;
    });
    ++count_;
    if (late_.size() < most_held / 2) return;
    if (!file_) file_ = std::make_unique<TemporaryFile>();
    file_->append(late_);
    late_.clear();
    if (late_.capacity() > most_held) late_.shrink_to_fit(); // one long reason does not stay
}

std::string_view LaidMovements::bytes(std::uint64_t from, std::size_t size, Window& window) const {
    const std::uint64_t in_file = file_ ? file_->size() : 0;
    if (from >= in_file) return std::string_view(late_).substr(from - in_file, size);
    constexpr std::size_t least = 4096, most = LaidMovements::most_held / 4;
    const std::uint64_t end = window.from + window.bytes.size();
    if (from < window.from || from + size > end) {
        window.next_size = from >= window.from && from <= end ? std::min(2 * window.next_size, most) : least;
        window.from = from;
        window.bytes.resize(std::max(window.next_size, size));
        window.bytes.resize(file_->read(from, window.bytes.data(), window.bytes.size()));
    }
    return std::string_view(window.bytes).substr(from - window.from, size);
}

std::string_view LaidMovements::record(std::uint64_t place, Window& window) const {
    std::uint32_t length = 0;
    const std::string_view before = bytes(place, length_size, window);
    LOTWORT_CHECK(before.size() == length_size);
    std::memcpy(&length, before.data(), length_size);
    const std::string_view whole = bytes(place + length_size, length, window);
    LOTWORT_CHECK(whole.size() == length && length >= sizeof(Fixed));
    return whole;
}

void LaidMovements::for_each(const Take& take) const {
    Window window;
    Movement movement;
    std::uint64_t place = 0;
    for (std::size_t i = 0; i < count_; ++i) {
        const std::string_view packed = record(place, window);
        unpack(packed, movement);
        const std::uint64_t next = place + length_size + packed.size();
        take(movement, place);
        place = next;
    }
}

const Movement& LaidMovements::at(std::uint64_t place) const {
    unpack(record(place, window_), asked_);
    return asked_;
}

std::uint64_t LaidMovements::start_of(std::uint64_t place) const {
    Fixed fixed;
    std::memcpy(&fixed, record(place, window_).data(), sizeof fixed);
    return fixed.start;
}

} // namespace lotwort
