#include <cstdio>
#include <doctest/doctest.h>
#include <lotwort/core/shell_word.hpp>
#include <random>
#include <string>
#include <vector>

using namespace lotwort;

// What breaks if this breaks: the command a brewer copies from the answer books for another name, or runs another one.

namespace {

// What a shell makes of a line that prints its words, each ended by a line.
std::string heard_by_shell(const std::string& word) {
    const std::string line = "printf '%s\\n' " + word;
    std::FILE* shell = popen(("exec /bin/sh -c " + ("'" +
                                                    [&] {
                                                        std::string inside;
                                                        for (const char c : line)
                                                            inside +=
                                                                c == '\'' ? std::string("'\\''") : std::string(1, c);
                                                        return inside;
                                                    }() +
                                                    "'"))
                                 .c_str(),
                             "r");
    REQUIRE(shell != nullptr);
    std::string heard;
    for (int c = std::fgetc(shell); c != EOF; c = std::fgetc(shell)) heard += static_cast<char>(c);
    CHECK(pclose(shell) == 0);
    return heard;
}

} // namespace

TEST_CASE("a name is quoted where a shell would take it apart, and only there") {
    CHECK(shell_word("PAM-1") == "PAM-1");
    CHECK(shell_word("PAM-1=4.36kg") == "PAM-1=4.36kg");
    CHECK(shell_word("m\xC3\xA4lzer") == "m\xC3\xA4lzer");
    CHECK(shell_word("pale ale malt") == "\"pale ale malt\"");
    CHECK(shell_word("brewer's malt") == "\"brewer's malt\"");
    CHECK(shell_word("") == "\"\"");
    CHECK(shell_word("malt \"extra\"") == "'malt \"extra\"'");
    CHECK(shell_word("brewer's $5 malt") == "'brewer'\\''s $5 malt'");
}

TEST_CASE("a shell hears the name that was meant") {
    for (const char* name : {"PAM-1", "pale ale malt", "malt \"extra\"", "$HOME", "`ls`", "a\\b", "brewer's", "a;b",
                             "it's \"$1\"", "~", "#1", "a&b", "(x)", "*", "two  blanks", "wow!", "{a,b}",
                             "\xC2\xA3"
                             "5"})
        CHECK(heard_by_shell(shell_word(name)) == std::string(name) + "\n");
    const unsigned seed = std::random_device{}();
    CAPTURE(seed);
    std::mt19937 random(seed);
    for (int i = 0; i < 200; ++i) {
        std::string name;
        for (auto n = 1 + random() % 12; n > 0; --n)
            name += static_cast<char>(std::uniform_int_distribution<int>(32, 126)(random));
        CAPTURE(name);
        CHECK(heard_by_shell("-- " + shell_word(name)) == "--\n" + name + "\n");
    }
}
