// The program from outside: where its output goes, and what it returns.
#include "session.hpp"
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace lotwort::test;

TEST_CASE("success leaves standard error empty") {
    const Workplace place;
    place.prepare("receive");
    for (const char* line : {"lotwort", "lotwort --help", "lotwort --version", "lotwort stock", "lotwort lot PAM-1",
                             "lotwort history --json", "lotwort export", "lotwort verify", "lotwort item",
                             "lotwort discard PAM-1 1kg --reason wet", "lotwort import -n - < export.json"}) {
        CAPTURE(line);
        (void)place.run("lotwort export > export.json");
        CHECK(place.run(std::string(line) + " 2>&1 >/dev/null").out.empty());
        CHECK(place.run(std::string(line) + " >/dev/null").status == 0);
    }
}

TEST_CASE("a reader that has seen enough is no fault") {
    const Workplace place;
    place.prepare("receive");
    // enough entries to fill the pipe: 64 KiB and more
    const auto piped = place.run("for i in 1 2 3 4 5 6 7 8 9 10; do lotwort export; done > big.json\n"
                                 "{ lotwort lot --help; echo $? >status; } 2>messages | true\n"
                                 "cat status messages");
    CHECK(piped.out == "0\n");
}

TEST_CASE("an answer that cannot be written is said, and is not a success") {
    const Workplace place;
    const auto full = place.run("lotwort --help >/dev/full 2>messages; echo $?; head -1 messages");
    CHECK(full.out == "1\nlotwort: the answer could not be written: No space left on device\n");
}

TEST_CASE("a file that is written is there, whatever befalls the answer, and the exit status says so") {
    const Workplace place;
    place.prepare("receive");
    for (const auto& [line, file] :
         {std::pair("backup copy.lotwort", "copy.lotwort"), std::pair("export all.json", "all.json"),
          std::pair("report --out all.html", "all.html"), std::pair("buy --model m.mps", "m.mps")}) {
        CAPTURE(line);
        const auto said =
            place.run(fmt::format("lotwort {} 2>&1 >/dev/full; echo $?; test -s {}; echo $?", line, file));
        CHECK(said.out == fmt::format("lotwort {}: {} is written, but the answer could not be written: "
                                      "No space left on device\nnothing needs to be done again\n0\n0\n",
                                      std::string(line).substr(0, std::string(line).find(' ')), file));
    }
}

TEST_CASE("refusals go to standard error alone, with the kind as exit status") {
    const Workplace place;
    place.prepare("init");
    struct Case {
        const char* line;
        int status;
    };
    for (const Case& c : {Case{"lotwort receive malt 25", 1}, Case{"lotwort brewe", 2}, Case{"lotwort receive", 2},
                          Case{"lotwort stock --ledger nowhere.lotwort", 4}, Case{"lotwort --ledger x stock", 2}}) {
        CAPTURE(c.line);
        const auto said = place.run(std::string(c.line) + " 2>/dev/null");
        CHECK(said.out.empty());
        CHECK(said.status == c.status);
    }
}

TEST_CASE("words that are no text are refused at the door") {
    const Workplace place;
    place.prepare("init");
    CHECK(place.run("lotwort receive \"$(printf 'malt\\377')\" 25kg 2>/dev/null").status == 2);
    CHECK(place.run("lotwort receive \"$(printf 'pale\\nmalt')\" 25kg 2>/dev/null").status == 2);
}

TEST_CASE("variables that are no text are refused as typed words are, where they are needed, and nothing is booked") {
    const Workplace place;
    place.prepare("init");
    for (const char* variable : {"LOTWORT_BY", "LOTWORT_LEDGER"}) {
        CAPTURE(variable);
        const auto said =
            place.run(std::string(variable) + "=\"$(printf 'J\\374rgen')\" lotwort receive malt 25kg 2>&1");
        CHECK(said.out == std::string("lotwort receive: ") + variable +
                              " is not UTF-8 text\nset the terminal to UTF-8 and type it again\n");
        CHECK(said.status == 2);
    }
    for (const char* variable : {"HOME", "XDG_DATA_HOME"}) {
        CAPTURE(variable);
        const auto set = std::string(variable) + "=\"$(printf '/J\\374rgen')\" ";
        CHECK(place.run("unset LOTWORT_LEDGER; " + set + "lotwort stock 2>&1").status == 2);
        CHECK(place.run(set + "lotwort stock").status == 0); // the ledger is named: nobody looks there
    }
    CHECK(place.run("LOTWORT_BY=\"$(printf 'ann\\nbob')\" lotwort receive malt 25kg 2>&1").status == 2);
    CHECK(place.run("lotwort history --csv | wc -l").out == "2\n");
}

// A script that goes by the exit status must not book it again.
TEST_CASE("what is booked ends with 0, whatever befalls its answer, and standard error names the entry") {
    const Workplace place;
    place.prepare("init");
    const std::string receive = "lotwort receive 'pale ale malt' 1kg --lot ";
    const auto full = place.run(receive + "P-1 2>&1 >/dev/full");
    CHECK(full.status == 0);
    CHECK(full.out ==
          "lotwort receive: entry 2 is booked, but the answer could not be written: No space left on device\n"
          "lotwort history 2 shows it\n");
    const auto closed = place.run(receive + "P-2 2>&1 >&-");
    CHECK(closed.status == 0);
    CHECK(closed.out == "lotwort receive: entry 3 is booked, but the answer could not be written: Bad file descriptor\n"
                        "lotwort history 3 shows it\n");
    CHECK(place.run(receive + "P-3 -n 2>&1 >/dev/full").status == 1); // a rehearsal books nothing
    CHECK(place.run("lotwort init --ledger new.lotwort 2>&1 >/dev/full").status == 0);
    CHECK(place.run("lotwort stock --lots --csv | grep -c ',P-[12],'").out == "2\n");
    // what is opened next must not be taken for standard output
    CHECK(place.run("lotwort export all.json >&- 2>/dev/null; lotwort import -n all.json").status == 0);
    CHECK(place.run("lotwort verify").status == 0);
}

TEST_CASE("a limit on the size of files is told as a full disk is") {
    const Workplace place;
    place.prepare("init");
    for (const char* limit : {"0", "200"}) { // what meets it is the journal, or the ledger
        CAPTURE(limit);
        const auto said = place.run(std::string("ulimit -f ") + limit + "; lotwort receive 'pale ale malt' 1kg 2>&1");
        CHECK(said.status == 4);
        CHECK(said.out == "lotwort receive: the ledger brewery.lotwort has no room: files may not grow further here\n"
                          "raise the limit (ulimit -f); what was booked before is kept, this was not booked\n");
    }
    CHECK(place.run("lotwort verify").status == 0);
    for (const std::string line : {"init --ledger new.lotwort", "backup new.lotwort", "export new.lotwort"}) {
        const auto told = place.run("(ulimit -f 0; lotwort " + line + " 2>&1)");
        CAPTURE(told.out);
        CHECK(told.status != 0);
        CHECK(told.out.find("raise the limit") != told.out.npos);
    }
    CHECK(place.run("ls | grep -c new").out == "0\n");
}

TEST_CASE("an interrupt before anything is booked says so, and leaves no file behind") {
    const Workplace place;
    place.prepare("receive");
    // timeout's exit status is the program's: ended by SIGINT
    const auto import = place.run("sleep 3 | timeout --preserve-status -s INT 1 lotwort import - 2>&1");
    CHECK(import.status == 130);
    CHECK(import.out == "lotwort import: interrupted, nothing was booked\n");
    CHECK(place.run("lotwort history --csv | wc -l").out == "4\n");
    CHECK(place.run("ls -A | grep -c part").out == "0\n");
}

TEST_CASE("LOTWORT_TODAY that is no date is refused before anything is done") {
    const Workplace place;
    CHECK(place.run("LOTWORT_TODAY=2026-02-30 lotwort init 2>&1").status == 2);
    CHECK(place.run("test -e brewery.lotwort").status == 1);
}

TEST_CASE("the time of booking is the clock's, whatever day is stated") {
    const Workplace place;
    CHECK(place.run("LOTWORT_TODAY=2025-01-02 lotwort init 2>&1").status == 0);
    const auto told = place.run("date -u +%Y-%m-%d; lotwort history 1; date -u +%Y-%m-%d").out;
    CHECK(told.find("about 2025-01-02") != std::string::npos);
    const std::string before = told.substr(0, 10), after = told.substr(told.size() - 11, 10);
    const bool is_now = told.find("booked at      " + before) != std::string::npos ||
                        told.find("booked at      " + after) != std::string::npos; // at midnight
    CHECK_MESSAGE(is_now, told);
}

TEST_CASE("no output has a control sequence in it, NO_COLOR or not") {
    const Workplace place;
    place.prepare("receive");
    for (const char* line : {"lotwort", "lotwort stock --lots", "lotwort lot PAM-1", "lotwort nonsense 2>&1"})
        CHECK(place.run(line).out.find('\033') == std::string::npos);
}
