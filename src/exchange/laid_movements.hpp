// The movements of a file, laid aside as they are read: few in memory, many in a temporary file.
#pragma once

#include <lotwort/brew/movement_list.hpp>
#include <lotwort/exchange/temporary_file.hpp>
#include <memory>
#include <string>

namespace lotwort {

class LaidMovements final : public MovementList {
public:
    // start: where the movement's name begins in the file, as Document::start_of says it.
    void add(const Movement& movement, std::uint64_t start);

    [[nodiscard]] std::size_t size() const override { return count_; }
    void for_each(const Take& take) const override;
    [[nodiscard]] const Movement& at(std::uint64_t place) const override;
    [[nodiscard]] std::uint64_t start_of(std::uint64_t place) const;

    // Bytes of it in memory: never more than this and a movement.
    static constexpr std::size_t most_held = 1 << 18;
    [[nodiscard]] std::size_t held() const { return late_.capacity() + window_.bytes.capacity(); }

private:
    // A stretch of the file that has been read in.
    struct Window {
        std::uint64_t from = 0;
        std::size_t next_size = 4096; // of the next; grows while one stretch follows the other
        std::string bytes;
    };

    // The bytes of a movement, its length before it.
    [[nodiscard]] std::string_view record(std::uint64_t place, Window& window) const;
    [[nodiscard]] std::string_view bytes(std::uint64_t from, std::size_t size, Window& window) const;

    std::size_t count_ = 0;
    std::unique_ptr<TemporaryFile> file_;
    std::string late_; // what is not in the file yet; all where there is none
    mutable Window window_;
    mutable Movement asked_;
};

} // namespace lotwort
