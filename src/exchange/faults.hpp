// Everything wrong with a file, not the first thing: someone who mends a file by hand wants one list.
#pragma once

#include "document.hpp"
#include <lotwort/core/error.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lotwort {

// Faults with their places; thrown together as one Error(refused), in the order of the file. Each reads
// source:line:column: field: what. Above the 50th they are counted.
class Faults {
public:
    static constexpr std::size_t most_told = 50;

    explicit Faults(const Document& document) : document_(document) {}

    // at: the node the fault is about.
    void add(std::uint32_t at, std::string_view field, std::string_view what) {
        add_at(document_.start_of(at), field, what);
    }
    // start: as Document::start_of says it, of a node that may be gone.
    void add_at(std::uint64_t start, std::string_view field, std::string_view what);
    [[nodiscard]] std::size_t count() const { return list_.size() + uncounted_; }
    void throw_if_any();

private:
    static constexpr std::size_t most_kept = 10'000; // beyond it a file is hopeless, and only counted

    const Document& document_;
    std::vector<std::pair<std::uint64_t, std::string>> list_;
    std::size_t uncounted_ = 0;
};

// Throws lines as one Error(refused): one as it is, several under a heading, 50 at most.
[[noreturn]] void throw_faults(std::string_view source, const std::vector<std::string>& lines, std::size_t total,
                               std::string_view hint = {});

// "; did you mean `x`?" where a known word is near, else "; known: a, b, c" where that list is short, else nothing.
[[nodiscard]] std::string suggestion(std::string_view word, const std::vector<std::string_view>& known);

} // namespace lotwort
