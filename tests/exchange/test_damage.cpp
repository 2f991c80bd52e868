// A file that was cut short or damaged on its way is read, or refused with what is wrong: never half of it,
// never a crash.
#include "exchange/generated_book.hpp"
#include "golden.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/exchange/toml_file.hpp>

using namespace lotwort;

namespace {

// Numbers for damage; the same on every run (a linear congruence, Knuth's MMIX).
class Damage {
public:
    explicit Damage(std::uint64_t seed) : state_(seed) {}
    std::size_t below(std::size_t limit) {
        state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<std::size_t>(state_ >> 33U) % limit;
    }
    // Some bytes changed, cut out, doubled or replaced by what may hurt most.
    std::string of(std::string text) {
        static const std::vector<std::string> barbs{"{",    "}",        "[",  "]",    "\"",  ",",
                                                    ":",    "null",     "-1", "1e99", "NaN", "\\u12",
                                                    "\xff", "\xed\xa0", "\n", "0.0",  "\\",  "true"};
        for (std::size_t times = 1 + below(3); times > 0 && !text.empty(); --times) {
            const std::size_t at = below(text.size());
            const std::size_t length = std::min(below(20), text.size() - at);
            switch (below(4)) {
            case 0:
                text[at] = static_cast<char>(below(256));
                break;
            case 1:
                text.erase(at, length);
                break;
            case 2:
                text.insert(at, text.substr(at, length));
                break;
            default:
                text.replace(at, std::min<std::size_t>(length, 3), barbs[below(barbs.size())]);
            }
        }
        return text;
    }

private:
    std::uint64_t state_;
};

} // namespace

TEST_CASE("a file cut at any byte says that it ends too early") {
    const std::string text = write_exchange(test::generated_book(7));
    REQUIRE(text.size() > 2000);
    for (std::size_t length = 1; length + 2 < text.size(); ++length) { // without its brace and line end
        try {
            (void)read_exchange(std::string_view(text).substr(0, length), "f");
            FAIL("taken after " << length << " bytes");
        } catch (const Error& error) {
            const std::string what = error.what();
            const bool told = what.find("the file ends here") != std::string::npos ||
                              what.find("no JSON") != std::string::npos; // within a letter or a number
            if (!told) FAIL(what);
        }
    }
}

TEST_CASE("a damaged file is read or refused, and nothing else happens") {
    const std::string json = write_exchange(test::generated_book(3));
    const std::string page = test::project_file("docs/exchange.md");
    const auto from = page.find("```toml recipe\n") + 15;
    const std::string toml = page.substr(from, page.find("```", from) - from);
    std::size_t refused = 0;
    for (std::uint64_t seed = 1; seed <= 4000; ++seed) {
        CAPTURE(seed);
        Damage damage(seed);
        try {
            const Book book = read_exchange(damage.of(json), "f");
            CHECK(read_exchange(write_exchange(book), "again") == book);
            (void)new_in(book, test::generated_book(3), "f");
        } catch (const Error& error) {
            ++refused;
            CHECK(std::string_view(error.what()).starts_with("f"));
        }
        try {
            (void)read_recipe_toml(damage.of(toml), "f");
        } catch (const Error& error) {
            CHECK(std::string_view(error.what()).starts_with("f"));
        }
    }
    CHECK(refused > 2000); // most damage is seen
    CHECK(refused < 4000); // and some is none
}
