// Movements of a file that the ledger does not hold yet.
#pragma once

#include <cstdint>
#include <lotwort/stock/movement.hpp>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

namespace lotwort {

// What takes each movement of a list back. The list stays where it is.
class Answers {
public:
    Answers() = default;
    explicit Answers(const std::vector<Movement>& list);
    [[nodiscard]] const Movement* to(const Movement& movement) const; // none: it stands

private:
    std::unordered_map<std::string_view, const Movement*> to_; // by id
};

// A movement with what takes it back, if anything does. Alike are two that say the same, ids left out.
struct Told {
    const Movement* movement;
    const Movement* answer;
};
struct Alike {
    bool operator()(const Told& a, const Told& b) const;
};
struct HashOfTold {
    std::size_t operator()(const Told& told) const;
};

// Ids that are taken: m1, m2, ... in a bit each.
class TakenIds {
public:
    void add(std::string_view id);
    [[nodiscard]] bool holds(std::string_view id) const;

private:
    std::vector<bool> counted_;
    std::unordered_set<std::string> others_;
};

// How often the ledger holds what a file says. The ledger's movements pass by one after the other, those of one lot and
// day together; only what the file may ask for is kept of them.
class MovementsThere {
public:
    explicit MovementsThere(const std::vector<Movement>& file) : file_(file), answers_(file) {}
    void add(const Movement& movement);
    void end() { close_day(); }

    [[nodiscard]] const Answers& answers() const { return answers_; } // of the file
    [[nodiscard]] std::size_t count() const { return count_; }
    [[nodiscard]] bool uses(std::string_view id) const { return ids_.holds(id); }
    // Whether there is one like it that none has been matched with yet.
    [[nodiscard]] bool match(const Movement& movement, const Movement* answer);

private:
    void close_day();

    const std::vector<Movement>& file_;
    Answers answers_;
    std::size_t count_ = 0;
    TakenIds ids_;
    std::unordered_map<Told, std::uint32_t, HashOfTold, Alike> left_;
    std::vector<Movement> day_; // of one lot
};

// Movements are told apart by what they say and by what took them back; ids only tie those of one file
// together. A movement stated twice is two movements. What is new keeps its id, or gets another where the
// ledger uses it; a reversal goes with what it takes back. Adds a line to `conflicts`, beginning with
// `source`, for each movement that the file takes back and that stands in the ledger. The rest of the file's are
// dropped.
void keep_new_movements(std::vector<Movement>& file, MovementsThere& there, std::string_view source,
                        std::vector<std::string>& conflicts);

} // namespace lotwort
