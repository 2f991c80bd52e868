// SHA-256 (FIPS 180-4), for the checksums of the migrations and the seals of the entries.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace lotwort::store {

// Of one digest: the processor's own instructions where it has them, or none but plain arithmetic.
enum class Sha256By { processor, plain };

// Of a message that comes in parts.
class Sha256 {
public:
    explicit Sha256(Sha256By by = Sha256By::processor);
    void add(std::string_view part);
    [[nodiscard]] std::string hex(); // 64 hexadecimal digits, lower case; nothing may be added after it

private:
    void compress(std::string_view blocks);

    bool by_processor_;
    // 5.3.3: the fractional parts of the square roots of the first eight primes
    std::array<std::uint32_t, 8> hash_{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                       0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    std::string rest_; // less than a block
    std::uint64_t bytes_ = 0;
};

// 64 hexadecimal digits, lower case.
[[nodiscard]] std::string sha256(std::string_view message, Sha256By by = Sha256By::processor);

} // namespace lotwort::store
