#include "sha256.hpp"
#include <algorithm>
#include <bit>
#include <fmt/format.h>

namespace lotwort::store {

namespace {

using Words = std::array<std::uint32_t, 8>;

// FIPS 180-4, 4.2.2: the first 32 bits of the fractional parts of the cube roots of the first 64 primes
constexpr std::array<std::uint32_t, 64> k{
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

constexpr std::size_t block_bytes = 64;

std::array<std::uint32_t, 64> schedule(std::string_view block) {
    std::array<std::uint32_t, 64> w{};
    for (std::size_t t = 0; t < 16; ++t)
        for (std::size_t i = 0; i < 4; ++i) w[t] = w[t] << 8 | static_cast<unsigned char>(block[4 * t + i]);
    for (std::size_t t = 16; t < 64; ++t) {
        const auto s0 = std::rotr(w[t - 15], 7) ^ std::rotr(w[t - 15], 18) ^ w[t - 15] >> 3; // (4.6)
        const auto s1 = std::rotr(w[t - 2], 17) ^ std::rotr(w[t - 2], 19) ^ w[t - 2] >> 10;  // (4.7)
        w[t] = s1 + w[t - 7] + s0 + w[t - 16];
    }
    return w;
}

void compress(Words& hash, std::string_view block) {
    const auto w = schedule(block);
    auto [a, b, c, d, e, f, g, h] = hash;
    for (std::size_t t = 0; t < 64; ++t) {
        const auto sum1 = std::rotr(e, 6) ^ std::rotr(e, 11) ^ std::rotr(e, 25); // (4.5)
        const auto choose = (e & f) ^ (~e & g);                                  // (4.2)
        const auto t1 = h + sum1 + choose + k[t] + w[t];
        const auto sum0 = std::rotr(a, 2) ^ std::rotr(a, 13) ^ std::rotr(a, 22); // (4.4)
        const auto majority = (a & b) ^ (a & c) ^ (b & c);                       // (4.3)
        h = g;
        g = f;
        f = e;
        e = d + t1;
        d = c;
        c = b;
        b = a;
        a = t1 + sum0 + majority;
    }
    const Words step{a, b, c, d, e, f, g, h};
    for (std::size_t i = 0; i < 8; ++i) hash[i] += step[i];
}

} // namespace

void Sha256::add(std::string_view part) {
    bytes_ += part.size();
    if (!rest_.empty()) {
        const auto wanted = std::min(block_bytes - rest_.size(), part.size());
        rest_ += part.substr(0, wanted);
        part.remove_prefix(wanted);
        if (rest_.size() < block_bytes) return;
        compress(hash_, rest_);
        rest_.clear();
    }
    for (; part.size() >= block_bytes; part.remove_prefix(block_bytes)) compress(hash_, part.substr(0, block_bytes));
    rest_ += part;
}

std::string Sha256::hex() {
    // 5.1.1: a one bit, zeros, and the length in bits, to a multiple of 64 bytes
    const std::uint64_t bits = bytes_ * 8;
    std::string ending(1, '\x80');
    ending.append((119 - bytes_ % block_bytes) % block_bytes, '\0');
    for (int shift = 56; shift >= 0; shift -= 8) ending.push_back(static_cast<char>((bits >> shift) & 0xff));
    add(ending);
    std::string digest;
    for (const auto word : hash_) digest += fmt::format("{:08x}", word);
    return digest;
}

std::string sha256(std::string_view message) {
    Sha256 hash;
    hash.add(message);
    return hash.hex();
}

} // namespace lotwort::store
