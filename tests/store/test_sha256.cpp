#include "../../src/store/file/sha256.hpp"
#include <doctest/doctest.h>
#include <string>
#include <string_view>

namespace {

// By whatever way: both must come to the same.
std::string sha256(std::string_view message) {
    using namespace lotwort::store;
    const auto digits = lotwort::store::sha256(message, Sha256By::plain);
    CHECK(digits == lotwort::store::sha256(message, Sha256By::processor));
    return digits;
}

} // namespace

TEST_CASE("SHA-256 of the messages of FIPS 180-4's examples and of NIST's short message test") {
    CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256(std::string(1'000'000, 'a')) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    CHECK(sha256("\xd3") == "28969cdfa74a12c82f3bad960b0b000aca2ac329deea5c2328ebc6f2ba9802c1"); // NIST SHA256ShortMsg
}

TEST_CASE("messages about the length of a block: the padding goes into one block or two") {
    // python3: hashlib.sha256(b'm' * n).hexdigest()
    CHECK(sha256(std::string(55, 'm')) == "3376424373aba5558fe0d6fb4de3b937b5cc23e38bf978d47a792423bb77a235");
    CHECK(sha256(std::string(56, 'm')) == "433433c89b6417aafffa5b2361b4912dbb11e4a796207bf7ca3a1dcc116ea994");
    CHECK(sha256(std::string(63, 'm')) == "6e80a1cca9ce209522c092413cd97b7b71b18c8c3e90b2e0d5fe59b97c37ad18");
    CHECK(sha256(std::string(64, 'm')) == "55d24d1e5bb5c78ff659439718f787646160ce78ff2f48952745723fe61d06e6");
    CHECK(sha256(std::string(119, 'm')) == "4f1fca6f9f81f68cd9b37209a7bf1eebece7533f47acfe55e204736ea05c26b6");
    CHECK(sha256(std::string(120, 'm')) == "864bacb2b3f3b4c49e904e197a03783d6825bc7738ce9e945b14c75dca2b3ff7");
}

TEST_CASE("the processor's instructions and plain arithmetic agree on every length and however it comes in parts") {
    std::string message;
    for (unsigned i = 0; i < 1000; ++i) {
        (void)sha256(message);
        lotwort::store::Sha256 in_parts;
        in_parts.add(message.substr(0, i / 3));
        in_parts.add(message.substr(i / 3));
        CHECK(in_parts.hex() == sha256(message));
        message.push_back(static_cast<char>(i * 37 % 251));
    }
}
