#include "sha256.hpp"
#include "sha256_blocks.hpp"
#include <algorithm>
#include <bit>
#include <fmt/format.h>

namespace lotwort::store {

namespace {

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

void compress_block(Sha256Words& hash, std::string_view block) {
    const auto w = schedule(block);
    auto [a, b, c, d, e, f, g, h] = hash;
    for (std::size_t t = 0; t < 64; ++t) {
        const auto sum1 = std::rotr(e, 6) ^ std::rotr(e, 11) ^ std::rotr(e, 25); // (4.5)
        const auto choose = (e & f) ^ (~e & g);                                  // (4.2)
        const auto t1 = h + sum1 + choose + sha256_k[t] + w[t];
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
    const Sha256Words step{a, b, c, d, e, f, g, h};
    for (std::size_t i = 0; i < 8; ++i) hash[i] += step[i];
}

} // namespace

Sha256::Sha256(Sha256By by) : by_processor_(by == Sha256By::processor && processor_has_sha256()) {}

void Sha256::compress(std::string_view blocks) {
    if (by_processor_) return compress_by_processor(hash_, blocks);
    for (; !blocks.empty(); blocks.remove_prefix(sha256_block)) compress_block(hash_, blocks.substr(0, sha256_block));
}

void Sha256::add(std::string_view part) {
    bytes_ += part.size();
    if (!rest_.empty()) {
        const auto wanted = std::min(sha256_block - rest_.size(), part.size());
        rest_ += part.substr(0, wanted);
        part.remove_prefix(wanted);
        if (rest_.size() < sha256_block) return;
        compress(rest_);
        rest_.clear();
    }
    const auto whole = part.size() / sha256_block * sha256_block;
    compress(part.substr(0, whole));
    rest_ += part.substr(whole);
}

std::string Sha256::hex() {
    // 5.1.1: a one bit, zeros, and the length in bits, to a multiple of 64 bytes
    const std::uint64_t bits = bytes_ * 8;
    std::string ending(1, '\x80');
    ending.append((119 - bytes_ % sha256_block) % sha256_block, '\0');
    for (int shift = 56; shift >= 0; shift -= 8) ending.push_back(static_cast<char>((bits >> shift) & 0xff));
    add(ending);
    std::string digest;
    for (const auto word : hash_) digest += fmt::format("{:08x}", word);
    return digest;
}

std::string sha256(std::string_view message, Sha256By by) {
    Sha256 hash(by);
    hash.add(message);
    return hash.hex();
}

} // namespace lotwort::store
