// What is to be served, as it is typed; the pages themselves are in tests/serve.
#include "brewery.hpp"

using namespace lotwort::test;

TEST_CASE("pages are this machine's own unless an address of its network is named") {
    const Brewery b;
    b.done("init");
    const auto served = [&](const std::string& options) {
        std::string said = b.done("serve " + options);
        return said.substr(said.find(" at ") + 4);
    };
    CHECK(served("") == "127.0.0.1, 8017 nobody metric\n");
    CHECK(served("--listen 192.0.2.7") == "192.0.2.7, 8017, by a key nobody metric\n");
    CHECK(served("--listen 192.0.2.7:80 --by Anna") == "192.0.2.7, 80, by a key Anna metric\n");
    CHECK(served("--listen [2001:db8::7]:9000") == "2001:db8::7, 9000, by a key nobody metric\n");
    CHECK(served("--listen 127.0.0.1:0 --read-only") == "127.0.0.1, 0, to look at nobody metric\n");
    CHECK(served("--listen [::1]:9000") == "::1, 9000 nobody metric\n");
    for (const char* no : {":8017", "192.0.2.7:", "192.0.2.7:x", "[::1", "[::1]9000", "192.0.2.7:65536"})
        CHECK_MESSAGE(b.run(std::string("serve --listen ") + no).error.starts_with("--listen: `"), no);
}

TEST_CASE("where nobody serves, it is said so") {
    Brewery b;
    b.done("init");
    b.surroundings().serve = nullptr;
    CHECK(b.run("serve").error == "pages are served by the program at the machine itself");
}
