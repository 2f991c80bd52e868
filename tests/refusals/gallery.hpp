// The gallery of refusals: transcripts of what lotwort says where input cannot be used.
//
//     # a remark
//     given
//     $ lotwort init                         runs before the cases, and must succeed; so must all lines below
//
//     file cut.json                          written as it stands, up to the empty line
//     {"schema": "lotwort/exchange/1",
//
//     ## an amount without a unit            a case: what is wrong,
//     $ lotwort count PAM-1 24               the command,
//     exit 1                                 its exit status
//     lotwort count: `24` has no unit        and all of its standard error, up to the empty line
//     write 24kg or 24L
//
// Standard output is empty, unless lines `prints TEXT` say what stands in it. Between `##` and `$` may stand
//     as nobody                              the case runs as a user to whom nothing belongs
//     room for N bytes                       the case runs on a disk that has so much room left for ledgers
//     reading N fails                        the Nth time that a ledger is read the disk fails
//     flushes of folders fail                so that nobody knows whether a file that is gone stays gone
//     fill NAME with "pale ale malt"         what stands for a placeholder when the hint is typed
//     hint not typed: WHY                    the hint is no command of which the store could show that it works
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::test {

struct Refusal {
    std::string title;
    std::string command;
    int status = 0;
    std::string error; // standard error, whole
    std::vector<std::string> prints;
    bool as_nobody = false;
    std::string disk;     // FULL_DISK_ROOM=0: how the disk fails (full_disk.cpp); empty where it is well
    std::size_t line = 0; // of its title, in the transcript
    std::map<std::string, std::string> fills{};
    std::string hint_untyped{}; // why
};

// What is done before the cases: a command for the shell, or a file to be written.
struct Given {
    std::string command; // empty: a file
    std::string file;
    std::string text;
};

struct Transcript {
    std::string name;
    std::vector<Given> given;
    std::vector<Refusal> refusals;
};

// Throws std::runtime_error, with file and line, where a transcript is not written as above.
[[nodiscard]] Transcript parse_transcript(const std::string& name, const std::string& text);

// tests/refusals/NN-topic.txt, in the order of their names.
[[nodiscard]] std::vector<Transcript> gallery();

} // namespace lotwort::test
