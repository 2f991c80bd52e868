// Power cut off while a brewer books: what the program said is booked is booked, and nothing is half so.
#include "killed_program.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

TEST_CASE(
    "the program killed in the middle of a command loses nothing that it reported, and leaves nothing half done") {
    const auto killed = kill_program(200, 7);
    CHECK(killed.killed == 200);
    CHECK(killed.reported + killed.unreported > 5); // the moments reach over a command's whole life
}
