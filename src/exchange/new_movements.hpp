// Movements of a file that the ledger does not hold yet.
#pragma once

#include "faults.hpp"
#include <array>
#include <compare>
#include <cstdint>
#include <lotwort/exchange/exchange_file.hpp>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace lotwort {

// What takes movements of a list back, by the id of what it takes back.
class Answers {
public:
    void add(const Movement& movement) {
        if (movement.reverses) to_[*movement.reverses] = movement;
    }
    [[nodiscard]] const Movement* to(const Movement& movement) const; // none: it stands
    void clear() { to_.clear(); }

private:
    std::unordered_map<std::string, Movement> to_;
};

// What a movement says, its id left out, and what takes it back: 128 bits, so that two that differ have two.
struct Imprint {
    std::array<std::uint64_t, 2> bits{};
    friend auto operator<=>(const Imprint&, const Imprint&) = default;
};
[[nodiscard]] Imprint imprint_of(const Movement& movement, const Movement* answer);

// How often the ledger holds what a file says. The ledger's movements pass by one after the other, those of one lot and
// day together; only what the file may ask for is counted.
class MovementsThere {
public:
    explicit MovementsThere(const MovementList& file);
    void add(const Movement& movement);
    void end() { close_day(); }

    [[nodiscard]] const Answers& answers() const { return answers_; } // of the file
    // Whether there is one like it that none has been matched with yet.
    [[nodiscard]] bool match(const Movement& movement, const Movement* answer);

private:
    void ask();
    [[nodiscard]] std::uint32_t* left(const Imprint& imprint);
    void close_day();

    const MovementList& file_;
    Answers answers_;
    bool asked_ = false;
    std::vector<Imprint> imprints_; // sorted
    std::vector<std::uint32_t> left_;
    std::vector<Movement> day_; // of one lot
};

// Movements are told apart by what they say and by what took them back; ids only tie those of one file
// together. A movement stated twice is two movements. A reversal goes with what it takes back. Adds a line to
// `conflicts`, beginning with `source`, for each movement that the file takes back and that stands in the ledger.
[[nodiscard]] std::shared_ptr<const MovementList> new_movements(std::shared_ptr<const MovementList> file,
                                                                MovementsThere& there, std::string_view source,
                                                                const Places& places, FaultLines& conflicts);

} // namespace lotwort
