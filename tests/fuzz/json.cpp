// Exchange files: what is read is written so that it reads the same, byte for byte from then on.
#include "fuzz_target.hpp"
#include <lotwort/exchange/exchange_file.hpp>

using namespace lotwort;
using namespace lotwort::test;

FUZZ_TARGET(json) {
    may_refuse([&] {
        const Book book = read_exchange(as_text(data, size), "fuzz");
        const std::string written = write_exchange(book);
        must(write_exchange(read_exchange(written, "again")) == written);
    });
    return 0;
}
