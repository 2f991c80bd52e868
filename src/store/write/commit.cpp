#include "commit.hpp"
#include "file/place.hpp"
#include "file/seal.hpp"
#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

namespace lotwort::store {

namespace {

[[noreturn]] void doubt(const Connection& connection, std::int64_t entry, std::string_view what) {
    throw Error(ErrorKind::ledger,
                fmt::format("the ledger {} {} as entry {} was booked: nobody can tell whether it is kept",
                            connection.name(), what, entry),
                fmt::format("look at the disk, and at `lotwort history {}`, before you book it again", entry));
}

// As the file has it now, read anew.
bool is_there(Connection& connection, std::int64_t entry, const std::optional<Seal>& seal) {
    const auto newest = newest_seal(connection);
    return newest && seal && newest->entry == entry && newest->digits == seal->digits;
}

} // namespace

void commit_entry(Connection& connection, Transaction& transaction, std::int64_t entry) {
    if (connection.is_new()) return transaction.commit();
    if (!connection.is_in_place()) connection.fail(SQLITE_READONLY_DBMOVED);
    const auto seal = newest_seal(connection);
    try {
        transaction.commit();
    } catch (const Error& fault) {
        transaction.roll_back();
        bool there = false;
        try {
            there = is_there(connection, entry, seal);
        } catch (const Error&) {
            // with its journal still there the next who opens the ledger undoes it
            if (::access((connection.file() + "-journal").c_str(), F_OK) == 0) throw fault;
            doubt(connection, entry, "could not be read");
        }
        if (!there) throw;
        // the last step failed, when all was written: the folder's flush, without which a lost power takes it back
        if (sync_folder_of(connection.file()) != 0) doubt(connection, entry, "could not be flushed");
    }
    if (!connection.is_in_place()) doubt(connection, entry, "was moved or replaced");
}

} // namespace lotwort::store
