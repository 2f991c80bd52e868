// Every case of the gallery: the message to the letter, the exit status, and the ledger as it was.
#include "place.hpp"
#include <doctest/doctest.h>
#include <fcntl.h>
#include <iostream>
#include <lotwort/cli/program.hpp>
#include <set>
#include <unistd.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

constexpr std::size_t fewest_cases = 75;

void play(const Transcript& transcript, const Refusal& refusal, const Place& place) {
    INFO("tests/refusals/" << transcript.name << ":" << refusal.line << ": " << refusal.title);
    INFO("$ " << refusal.command);
    if (const auto obstacle = place.obstacle(refusal); !obstacle.empty()) {
        std::cout << transcript.name << ":" << refusal.line << " skipped: " << obstacle << "\n";
        return;
    }
    const Snapshot before = place.look();
    const Said said = place.run(refusal);
    CHECK(said.error == refusal.error);
    CHECK(said.status == refusal.status);
    const bool is_for_program = refusal.command.find("--json") != std::string::npos; // which is told on standard output
    if (refusal.prints.empty() && is_for_program)
        CHECK(said.out.starts_with("{\n \"schema\": \"lotwort/refusal/1\""));
    else if (refusal.prints.empty())
        CHECK(said.out == "");
    for (const auto& text : refusal.prints)
        CHECK_MESSAGE(said.out.find(text) != std::string::npos, "`" << text << "` is not in\n" << said.out);
    if (refusal.status != 0) CHECK(differences(before, place.look()) == "");
}

} // namespace

// At a terminal it is followed by "is that so?", and yes books it: asked whether it is a slip, yes would book the slip.
TEST_CASE("what is doubted is told as what would be booked, and not asked") {
    int doubts = 0;
    for (const Transcript& transcript : gallery())
        for (const Refusal& refusal : transcript.refusals) {
            if (refusal.error.find("if it is so, add --sure") == std::string::npos) continue;
            ++doubts;
            INFO("tests/refusals/" << transcript.name << ":" << refusal.line << ": " << refusal.title);
            CHECK(refusal.error.find('?') == std::string::npos);
        }
    CHECK(doubts > 15); // the scan itself sees them
}

TEST_CASE("each refusal says what its transcript says, and leaves every file as it was") {
    std::size_t count = 0;
    for (const Transcript& transcript : gallery()) {
        const Place place;
        place.prepare(transcript);
        for (const Refusal& refusal : transcript.refusals) {
            play(transcript, refusal, place);
            ++count;
        }
    }
    std::cout << count << " cases in the gallery of refusals\n";
    CHECK(count >= fewest_cases);
}

TEST_CASE("every verb has a refusal in the gallery") {
    std::set<std::string> refused;
    for (const Transcript& transcript : gallery())
        for (const Refusal& refusal : transcript.refusals) {
            const auto verb = refusal.error.find(':');
            if (refusal.status != 0 && refusal.error.starts_with("lotwort "))
                refused.insert(refusal.error.substr(8, verb - 8));
        }
    for (const cli::Command* command : cli::commands())
        CHECK_MESSAGE(refused.contains(std::string(command->name)), std::string(command->name));
}

// A stranger reads the message: it speaks of the brewery, not of the program's insides, and says what to do next.
TEST_CASE("a refusal says what to type instead, in the brewer's words") {
    for (const Transcript& transcript : gallery())
        for (const Refusal& refusal : transcript.refusals) {
            if (refusal.error.empty()) continue; // an answer, though it be bad news
            INFO(transcript.name << ":" << refusal.line << ": " << refusal.title);
            CHECK(refusal.error.find("\n") + 1 < refusal.error.size()); // a second line: the hint
            for (const char* inside : {"SQL", "sqlite", "constraint", "CHECK", "std::", "exception", "nullopt", "=>"})
                CHECK(refusal.error.find(inside) == std::string::npos);
        }
}

// A program that writes holds SQLite's reserved byte (its file format, "file locking"); readers go on.
TEST_CASE("a ledger that another program writes to is waited for, then refused; it may be read meanwhile") {
    constexpr off_t reserved_byte = 0x40000001;
    const Place place;
    place.prepare({"", {{"lotwort init", "", ""}}, {}});
    const Snapshot before = place.look();
    const int other = open((place.folder() + "/brewery.lotwort").c_str(), O_RDWR | O_CLOEXEC);
    REQUIRE(other >= 0);
    struct flock lock {};
    lock.l_type = F_WRLCK;
    lock.l_whence = SEEK_SET;
    lock.l_start = reserved_byte;
    lock.l_len = 1;
    REQUIRE(fcntl(other, F_SETLK, &lock) == 0);
    CHECK(place.run("lotwort stock").status == 0);
    const Said said = place.run("lotwort receive 'pale ale malt' 25kg");
    CHECK(said.status == 4);
    CHECK(said.error == "lotwort receive: another program holds the ledger brewery.lotwort\n"
                        "try again when it has finished\n");
    close(other);
    CHECK(differences(before, place.look()) == "");
    CHECK(place.run("lotwort receive 'pale ale malt' 25kg").status == 0);
}

// All of it is written by then, but a lost power may take it back.
TEST_CASE("where the folder's flush fails at the end of a booking, the entry to look for is named") {
    const Place place;
    place.prepare({"", {{"lotwort init", "", ""}}, {}});
    Refusal receive;
    receive.command = "lotwort receive 'pale ale malt' 25kg --lot PAM-1";
    receive.disk = "BAD_DISK_FLUSH=1";
    const Said said = place.run(receive);
    CHECK(said.status == 4);
    CHECK(said.out == "");
    CHECK(said.error ==
          "lotwort receive: the ledger brewery.lotwort could not be flushed as entry 2 was booked: nobody "
          "can tell whether it is kept\n"
          "look at the disk, and at `lotwort history 2`, before you book it again\n");
    CHECK(place.run("lotwort history 2").out.find("PAM-1") != std::string::npos);
    CHECK(place.run("lotwort verify").status == 0);
}

TEST_CASE("a reading that fails is told as a fault of the disk, at whatever byte, and never as damage") {
    const Place place;
    Transcript brewery{"", {{"lotwort init", "", ""}}, {}};
    brewery.given.push_back({"lotwort receive 'pale ale malt' 25kg --lot PAM-1", "", ""});
    place.prepare(brewery);
    for (const std::string command : {"lotwort stock", "lotwort verify", "lotwort discard PAM-1 1kg --reason wet",
                                      "lotwort export", "lotwort backup copy.lotwort"}) {
        CAPTURE(command);
        int readings = 0;
        for (Said said; readings < 1000; ++readings) {
            Refusal failing;
            failing.command = command;
            failing.disk = "BAD_DISK_READ=" + std::to_string(readings + 1);
            const Snapshot before = place.look();
            said = place.run(failing);
            if (said.status == 0) break;
            INFO("reading " << readings + 1 << ": " << said.error);
            CHECK(said.status == 4);
            CHECK(said.error.find("the disk failed ") != std::string::npos);
            CHECK(said.error.find("damaged") == std::string::npos);
            CHECK(differences(before, place.look()) == "");
        }
        CHECK(readings > 1);
        CHECK(readings < 1000);
    }
}

TEST_CASE("a disk that fills up at any byte leaves the ledger as it was, and what follows is booked whole") {
    const Place place;
    Transcript brewery{"", {{"lotwort init", "", ""}}, {}};
    brewery.given.push_back({"lotwort receive 'pale ale malt' 25kg --lot PAM-1", "", ""});
    place.prepare(brewery);
    Refusal receive;
    receive.command = "lotwort receive 'Munich malt' 10kg --lot MUN-1";
    long room = 0;
    for (Said said; room < 1'000'000; room += 509) { // a prime, so that pages and headers are cut everywhere
        const Snapshot before = place.look();
        receive.disk = "FULL_DISK_ROOM=" + std::to_string(room);
        said = place.run(receive);
        if (said.status == 0) break;
        INFO("room for " << room << " bytes");
        CHECK(said.status == 4);
        CHECK(said.error == "lotwort receive: the disk that holds the ledger brewery.lotwort is full\n"
                            "make room on the disk; what was booked before is kept, this was not booked\n");
        REQUIRE(differences(before, place.look()) == "");
    }
    CHECK(room > 0);
    CHECK(room < 1'000'000);
    CHECK(place.run("lotwort verify").status == 0);
    CHECK(place.run("lotwort stock --lots").out.find("MUN-1") != std::string::npos);
}
