// Movements that are gone through and not held: a file of many years brings a million of them.
#pragma once

#include <cstdint>
#include <functional>
#include <lotwort/brew/book.hpp>
#include <memory>
#include <string_view>
#include <vector>

namespace lotwort {

class MovementList {
public:
    // A movement's place grows through the list, below 2^45. What is handed over is the list's, and is filled anew for
    // the next.
    using Take = std::function<void(const Movement&, std::uint64_t place)>;

    MovementList() = default;
    MovementList(const MovementList&) = delete;
    MovementList& operator=(const MovementList&) = delete;
    virtual ~MovementList() = default;

    [[nodiscard]] virtual std::size_t size() const = 0;
    virtual void for_each(const Take& take) const = 0;
    // The one of that place. It stands until the next is asked for, apart from what for_each hands over.
    [[nodiscard]] virtual const Movement& at(std::uint64_t place) const = 0;
};

// A list in memory; it outlives this.
class HeldMovements final : public MovementList {
public:
    explicit HeldMovements(const std::vector<Movement>& list) : list_(list) {}
    [[nodiscard]] std::size_t size() const override { return list_.size(); }
    void for_each(const Take& take) const override;
    [[nodiscard]] const Movement& at(std::uint64_t place) const override { return list_.at(place); }

private:
    const std::vector<Movement>& list_;
};

// A book whose movements are gone through; those of `rest` are none.
struct LongBook {
    Book rest;
    std::shared_ptr<const MovementList> movements;
};

// A movement whose id another before it bears; `index` and `first` count from 0.
struct DoubleId {
    std::string_view id;
    std::uint64_t place = 0;
    std::size_t index = 0;
    std::size_t first = 0;
};

// All of them, in the order of the list. Ids that are counted (m1, m2, ..., m10) are told apart by that alone; of
// others 8 bytes each are kept meanwhile.
void for_each_double_id(const MovementList& list, const std::function<void(const DoubleId&)>& take);

} // namespace lotwort
