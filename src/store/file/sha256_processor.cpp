#include "sha256_blocks.hpp"

#ifdef __x86_64__
#include <cpuid.h>
#include <immintrin.h>
#endif

namespace lotwort::store {

#ifdef __x86_64__

bool processor_has_sha256() {
    static const bool has = [] {
        unsigned a = 0, b = 0, c = 0, d = 0;
        const bool ssse3_sse41 = __get_cpuid(1, &a, &b, &c, &d) != 0 && (c & bit_SSSE3) != 0 && (c & bit_SSE4_1) != 0;
        return ssse3_sse41 && __get_cpuid_count(7, 0, &a, &b, &c, &d) != 0 && (b & bit_SHA) != 0;
    }();
    return has;
}

// Intel, Intel SHA Extensions (2013): each sha256rnds2 is two rounds on the state, laid as ABEF and CDGH; sha256msg1
// and sha256msg2 make the next four words of the schedule of the sixteen before.
__attribute__((target("sha,sse4.1,ssse3"))) void compress_by_processor(Sha256Words& hash, std::string_view blocks) {
    const auto load = [](const void* from) __attribute__((target("sse4.1"))) {
        return _mm_loadu_si128(static_cast<const __m128i*>(from));
    };
    const __m128i big_endian = _mm_set_epi64x(0x0c0d0e0f08090a0b, 0x0405060700010203);
    const __m128i badc = _mm_shuffle_epi32(load(hash.data()), 0xB1);
    const __m128i hgfe = _mm_shuffle_epi32(load(hash.data() + 4), 0x1B);
    __m128i abef = _mm_alignr_epi8(badc, hgfe, 8);
    __m128i cdgh = _mm_blend_epi16(hgfe, badc, 0xF0);
    for (; !blocks.empty(); blocks.remove_prefix(sha256_block)) {
        const __m128i abef_before = abef, cdgh_before = cdgh;
        __m128i w[4];
        for (unsigned i = 0; i < 4; ++i) w[i] = _mm_shuffle_epi8(load(blocks.data() + 16 * i), big_endian);
        for (unsigned i = 0; i < 16; ++i) {
            const __m128i next = _mm_add_epi32(w[i % 4], load(sha256_k.data() + 4 * i));
            cdgh = _mm_sha256rnds2_epu32(cdgh, abef, next);
            abef = _mm_sha256rnds2_epu32(abef, cdgh, _mm_shuffle_epi32(next, 0x0E));
            const __m128i last = w[(i + 3) % 4];
            const __m128i seven_back = _mm_alignr_epi8(last, w[(i + 2) % 4], 4);
            const __m128i part = _mm_add_epi32(_mm_sha256msg1_epu32(w[i % 4], w[(i + 1) % 4]), seven_back);
            w[i % 4] = _mm_sha256msg2_epu32(part, last);
        }
        abef = _mm_add_epi32(abef, abef_before);
        cdgh = _mm_add_epi32(cdgh, cdgh_before);
    }
    const __m128i feba = _mm_shuffle_epi32(abef, 0x1B);
    const __m128i dchg = _mm_shuffle_epi32(cdgh, 0xB1);
    _mm_storeu_si128(reinterpret_cast<__m128i*>(hash.data()), _mm_blend_epi16(feba, dchg, 0xF0));
    _mm_storeu_si128(reinterpret_cast<__m128i*>(hash.data() + 4), _mm_alignr_epi8(dchg, feba, 8));
}

#else

bool processor_has_sha256() {
    return false;
}

void compress_by_processor(Sha256Words&, std::string_view) {}

#endif

} // namespace lotwort::store
