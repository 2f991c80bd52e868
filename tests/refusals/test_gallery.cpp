// The gallery's own tools: a transcript is read as it is written, and a change of any file is noticed.
#include "place.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

TEST_CASE("a transcript is read as it is written") {
    const auto transcript = parse_transcript("t", "# remark\n"
                                                  "given\n"
                                                  "$ lotwort init\n"
                                                  "\n"
                                                  "file a.json\n"
                                                  "{\n"
                                                  "}\n"
                                                  "\n"
                                                  "## one\n"
                                                  "as nobody\n"
                                                  "$ lotwort stock\n"
                                                  "exit 4\n"
                                                  "lotwort stock: no\n"
                                                  "try again\n"
                                                  "\n"
                                                  "## two\n"
                                                  "room for 12 bytes\n"
                                                  "$ lotwort verify\n"
                                                  "exit 5\n"
                                                  "prints broken\n");
    REQUIRE(transcript.given.size() == 2);
    CHECK(transcript.given[0].command == "lotwort init");
    CHECK(transcript.given[1].file == "a.json");
    CHECK(transcript.given[1].text == "{\n}\n");
    REQUIRE(transcript.refusals.size() == 2);
    const Refusal& one = transcript.refusals[0];
    CHECK(one.title == "one");
    CHECK(one.as_nobody);
    CHECK(one.status == 4);
    CHECK(one.error == "lotwort stock: no\ntry again\n");
    CHECK(one.line == 9);
    CHECK(transcript.refusals[1].disk == "FULL_DISK_ROOM=12");
    CHECK(transcript.refusals[1].prints == std::vector<std::string>{"broken"});
    CHECK(transcript.refusals[1].error.empty());
}

TEST_CASE("a transcript that is not written so is refused with its line") {
    CHECK_THROWS_WITH((void)parse_transcript("t", "## a\n$ b\n\n"), "t:3: `exit N` is due");
    CHECK_THROWS_WITH((void)parse_transcript("t", "\nnonsense\n"),
                      "t:2: neither `given`, `file NAME`, `## TITLE` nor a remark");
}

TEST_CASE("a file that a command adds, changes or takes away is noticed") {
    const Place place;
    place.prepare({"", {{"lotwort init", "", ""}, {"", "old", "text\n"}}, {}});
    const Snapshot before = place.look();
    CHECK(place.run("lotwort stock").status == 0);
    CHECK(differences(before, place.look()) == "");
    CHECK(place.run("lotwort receive 'pale ale malt' 25kg; rm old; touch brewery.lotwort-journal").status == 0);
    CHECK(differences(before, place.look()) ==
          "brewery.lotwort changed\nold is gone\nbrewery.lotwort-journal is new\n");
}
