// A disk that fails when told to: SQLite's own file system with a shim in front. It counts what changes the
// disk (writes, flushes, cuts, deletions and the opening of files to write) and fails one of them.
#pragma once

#include <string>

namespace lotwort::test {

enum class Failing {
    once,       // that one operation fails; the disk is well again after it
    for_good,   // it and all that follow
    full,       // there is no room for that write nor for any later one
    torn,       // half of that write reaches the disk, then the power is gone
    power_loss, // what was not flushed by then is lost, and the power is gone; a file whose deletion was not is back
    unflushed,  // where that operation deletes, the file is gone, and the flush of its folder fails
    scattered,  // as power_loss, but of what was not flushed any part may be there
};

class FaultyDisk {
public:
    FaultyDisk();  // becomes the disk of every ledger opened from here on
    ~FaultyDisk(); // and is no longer
    FaultyDisk(const FaultyDisk&) = delete;
    FaultyDisk& operator=(const FaultyDisk&) = delete;

    void fail(int operation, Failing how); // counted from 1
    void lose_power();                     // now; the disk is well again
    void heal();                           // counts from 1 again, fails nothing
    [[nodiscard]] int operations() const;
    [[nodiscard]] bool failed() const; // whether the operation was reached
};

} // namespace lotwort::test
