// What is wrong with a file, in lines: so many are told, and no more kept, for a large file may hold nothing else.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace lotwort {

inline constexpr std::size_t most_faults_told = 50;

// The first lines are kept, the others counted.
class FaultLines {
public:
    // make: gives the line; not asked where it would not be told.
    template <class Make>
    void add(Make&& make) {
        if (is_told()) first_.push_back(make());
        ++count_;
    }
    void count_others(std::size_t number) { count_ += number; }
    void append(const FaultLines& more);

    // Whether the next one is.
    [[nodiscard]] bool is_told() const { return count_ < most_faults_told; }
    [[nodiscard]] const std::vector<std::string>& first() const { return first_; }
    [[nodiscard]] std::size_t count() const { return count_; }

private:
    std::vector<std::string> first_;
    std::size_t count_ = 0;
};

// "\nline\nline\nand 12 more"
[[nodiscard]] std::string listed(const FaultLines& lines);

} // namespace lotwort
