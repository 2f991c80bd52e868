// The corpus of the fuzzers, replayed: inputs that reached new code or once were findings, whole and cut short.
#include "golden.hpp"
#include <algorithm>
#include <cstdint>
#include <doctest/doctest.h>
#include <filesystem>
#include <string>

using namespace lotwort::test;
namespace fs = std::filesystem;

int fuzz_quantity(const std::uint8_t* data, std::size_t size);
int fuzz_date(const std::uint8_t* data, std::size_t size);
int fuzz_csv(const std::uint8_t* data, std::size_t size);
int fuzz_json(const std::uint8_t* data, std::size_t size);
int fuzz_toml(const std::uint8_t* data, std::size_t size);

namespace {

void replay(const std::string& target, int (*run)(const std::uint8_t*, std::size_t)) {
    std::size_t inputs = 0;
    const std::string folder = "tests/fuzz/corpus/" + target;
    for (const auto& entry : fs::directory_iterator(fs::path(LOTWORT_SOURCE_DIR) / folder)) {
        const std::string name = entry.path().filename().string();
        if (name.starts_with(".")) continue; // how git treats them
        CAPTURE(name);
        const std::string input = project_file(folder + "/" + name);
        const auto* bytes = reinterpret_cast<const std::uint8_t*>(input.data());
        for (const std::size_t size :
             {input.size(), input.size() / 2, input.size() - std::min<std::size_t>(1, input.size())})
            CHECK(run(bytes, size) == 0);
        ++inputs;
    }
    CHECK(inputs > 3);
}

} // namespace

TEST_CASE("parsers hold on the fuzzers' corpus") {
    replay("quantity", fuzz_quantity);
    replay("date", fuzz_date);
    replay("csv", fuzz_csv);
    replay("json", fuzz_json);
    replay("toml", fuzz_toml);
}
