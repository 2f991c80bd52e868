#include "new_movements.hpp"
#include "faults.hpp"
#include <algorithm>
#include <bit>
#include <fmt/format.h>
#include <optional>
#include <unordered_set>

namespace lotwort {

namespace {

std::string_view said(const std::optional<std::string>& text) {
    return text ? std::string_view(*text) : std::string_view(); // an empty text says nothing
}
std::string_view said(const std::optional<std::string>&&) = delete;

// Two numbers that every byte added goes into, each in its own way.
class Mixer {
public:
    void add(std::uint64_t value) {
        a_ = stirred((a_ ^ value) * 0x9E3779B97F4A7C15U);
        b_ = stirred((b_ + value) * 0xC2B2AE3D27D4EB4FU ^ a_);
    }
    void add(std::string_view text) {
        add(text.size());
        std::uint64_t eight = 0;
        for (std::size_t i = 0; i < text.size(); ++i) {
            eight = eight << 8U | static_cast<unsigned char>(text[i]);
            if (i % 8 == 7) {
                add(eight);
                eight = 0;
            }
        }
        add(eight);
    }
    [[nodiscard]] Imprint imprint() const { return {{stirred(a_), stirred(b_ ^ std::rotl(a_, 32))}}; }

private:
    static std::uint64_t stirred(std::uint64_t x) {
        x = (x ^ x >> 32U) * 0xD6E8FEB86659FD93U;
        return x ^ x >> 32U;
    }
    std::uint64_t a_ = 0x243F6A8885A308D3U, b_ = 0x13198A2E03707344U;
};

void add(Mixer& mixer, const Movement& movement) {
    mixer.add(static_cast<std::uint64_t>(movement.on.time_since_epoch().count()));
    mixer.add(movement.lot);
    mixer.add(static_cast<std::uint64_t>(movement.kind));
    mixer.add(static_cast<std::uint64_t>(movement.change.measure));
    mixer.add(static_cast<std::uint64_t>(movement.change.units));
    mixer.add(said(movement.reason));
    mixer.add(said(movement.brew));
    mixer.add(movement.stage ? 1 + static_cast<std::uint64_t>(*movement.stage) : 0);
    mixer.add(movement.minutes ? std::bit_cast<std::uint64_t>(movement.minutes->value() + 0.0) : ~std::uint64_t{0});
}

// Those of a list that are marked.
class MarkedMovements final : public MovementList {
public:
    MarkedMovements(std::shared_ptr<const MovementList> all, std::vector<bool> marks)
        : all_(std::move(all)), marks_(std::move(marks)),
          size_(static_cast<std::size_t>(std::count(marks_.begin(), marks_.end(), true))) {}
    [[nodiscard]] std::size_t size() const override { return size_; }
    void for_each(const Take& take) const override {
        if (size_ == 0) return;
        std::size_t i = 0;
        all_->for_each([&](const Movement& movement, std::uint64_t place) {
            if (marks_[i++]) take(movement, place);
        });
    }
    [[nodiscard]] const Movement& at(std::uint64_t place) const override { return all_->at(place); }

private:
    std::shared_ptr<const MovementList> all_;
    std::vector<bool> marks_;
    std::size_t size_;
};

} // namespace

const Movement* Answers::to(const Movement& movement) const {
    if (!movement.id || to_.empty()) return nullptr;
    const auto found = to_.find(*movement.id);
    return found == to_.end() ? nullptr : &found->second;
}

Imprint imprint_of(const Movement& movement, const Movement* answer) {
    Mixer mixer;
    add(mixer, movement);
    if (answer != nullptr) add(mixer, *answer);
    return mixer.imprint();
}

MovementsThere::MovementsThere(const MovementList& file) : file_(file) {
    file_.for_each([&](const Movement& movement, std::uint64_t /*place*/) { answers_.add(movement); });
}

// Once the ledger turns out to have movements.
void MovementsThere::ask() {
    asked_ = true;
    imprints_.reserve(file_.size());
    file_.for_each([&](const Movement& movement, std::uint64_t /*place*/) {
        if (movement.reverses) return;
        const Movement* answer = answers_.to(movement);
        imprints_.push_back(imprint_of(movement, answer));
        if (answer != nullptr) imprints_.push_back(imprint_of(movement, nullptr));
    });
    std::sort(imprints_.begin(), imprints_.end());
    imprints_.erase(std::unique(imprints_.begin(), imprints_.end()), imprints_.end());
    left_.resize(imprints_.size());
}

std::uint32_t* MovementsThere::left(const Imprint& imprint) {
    const auto found = std::lower_bound(imprints_.begin(), imprints_.end(), imprint);
    if (found == imprints_.end() || *found != imprint) return nullptr;
    return &left_[static_cast<std::size_t>(found - imprints_.begin())];
}

void MovementsThere::add(const Movement& movement) {
    if (!asked_) ask();
    if (!day_.empty() && (day_.front().on != movement.on || day_.front().lot != movement.lot)) close_day();
    day_.push_back(movement);
}

void MovementsThere::close_day() {
    Answers answers;
    for (const Movement& movement : day_) answers.add(movement);
    for (const Movement& movement : day_) {
        if (movement.reverses) continue;
        if (std::uint32_t* const asked = left(imprint_of(movement, answers.to(movement)))) ++*asked;
    }
    day_.clear();
}

bool MovementsThere::match(const Movement& movement, const Movement* answer) {
    std::uint32_t* const there = left(imprint_of(movement, answer));
    if (there == nullptr || *there == 0) return false;
    --*there;
    return true;
}

std::shared_ptr<const MovementList> new_movements(std::shared_ptr<const MovementList> file, MovementsThere& there,
                                                  std::string_view source, const Places& places,
                                                  FaultLines& conflicts) {
    const Answers& answers = there.answers();
    std::vector<bool> fresh(file->size());
    std::unordered_set<std::string> fresh_pairs; // ids of the fresh ones that are taken back
    const auto each = [&](auto&& look) {
        std::size_t i = 0;
        file->for_each([&](const Movement& movement, std::uint64_t place) { look(i++, movement, place); });
    };
    each([&](std::size_t i, const Movement& movement, std::uint64_t /*place*/) {
        const Movement* answer = answers.to(movement);
        if (movement.reverses || there.match(movement, answer)) return;
        fresh[i] = true;
        if (answer != nullptr) fresh_pairs.insert(*movement.id);
    });
    // pairs have been matched with pairs; only then is it known what is left of the ledger's that stand
    if (!fresh_pairs.empty())
        each([&](std::size_t i, const Movement& movement, std::uint64_t place) {
            if (movement.reverses)
                fresh[i] = fresh_pairs.contains(*movement.reverses);
            else if (fresh[i] && answers.to(movement) != nullptr && there.match(movement, nullptr))
                conflicts.add([&] {
                    return fmt::format("{}{}: movement {} of {}: taken back in the file, but it stands in the ledger",
                                       source, places.of_movement(place), *movement.id, to_iso(movement.on));
                });
        });
    return std::make_shared<MarkedMovements>(std::move(file), std::move(fresh));
}

} // namespace lotwort
