// Everything wrong with a file, not the first thing: someone who mends a file by hand wants one list.
#pragma once

#include "document.hpp"
#include <limits>
#include <lotwort/core/error.hpp>
#include <lotwort/core/fault_lines.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lotwort {

// Faults with their places; thrown together as one Error(refused), in the order of the file. Each reads
// source:line:column: field: what. Above the 50th they are counted.
class Faults {
public:
    explicit Faults(const Document& document) : document_(document) {}

    // at: the node the fault is about.
    void add(std::uint32_t at, std::string_view field, std::string_view what);
    [[nodiscard]] std::size_t count() const { return count_; }
    // There are so many already that one more is hardly told, and a record that is read keeps nobody any longer.
    [[nodiscard]] bool is_hopeless() const { return count_ >= most_faults_told; }
    void throw_if_any();

private:
    void keep_first();

    const Document& document_;
    std::vector<std::pair<std::uint64_t, std::string>> first_; // and at most as many again
    std::uint64_t last_told_ = std::numeric_limits<std::uint64_t>::max();
    std::size_t count_ = 0;
};

// Throws lines as one Error(refused): one as it is, several under a heading.
[[noreturn]] void throw_faults(std::string_view source, const FaultLines& lines, std::string_view hint = {});

// "; did you mean `x`?" where a known word is near, else "; known: a, b, c" where that list is short, else nothing.
[[nodiscard]] std::string suggestion(std::string_view word, const std::vector<std::string_view>& known);

} // namespace lotwort
