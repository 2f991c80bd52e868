#include "backup.hpp"
#include "migrate.hpp"
#include "verify.hpp"
#include <filesystem>
#include <fmt/format.h>
#include <lotwort/store/embedded.hpp>
#include <lotwort/store/new_file.hpp>
#include <sqlite3.h>

namespace lotwort::store {

namespace {

void check_folder(const std::string& path) {
    namespace fs = std::filesystem;
    std::error_code ignored;
    const auto folder = fs::path(path).parent_path();
    if (!folder.empty() && !fs::is_directory(folder, ignored))
        throw Error(ErrorKind::ledger, fmt::format("there is no folder {} to put the backup in", folder.string()),
                    "make it first, or name another");
}

void copy_and_prove(Connection& from, const std::string& made, const std::string& path) {
    Connection copy(made, OpenAs::create, path);
    copy_pages(from, copy);
    const auto faults = find_faults(copy, embedded_migrations());
    if (!faults.empty())
        throw Error(ErrorKind::ledger, fmt::format("the ledger {} is not sound, no backup was made of it", from.name()),
                    "`lotwort verify` lists what is wrong; an earlier backup was left as it is");
}

} // namespace

void copy_pages(Connection& from, Connection& to) {
    auto* backup = sqlite3_backup_init(to.handle(), "main", from.handle(), "main");
    if (backup == nullptr) to.fail(sqlite3_errcode(to.handle()));
    from.execute("PRAGMA cache_size = -1024"); // each page is looked at once
    int code = SQLITE_OK;
    int waits = 0;
    // busy is not waited for by itself here: 100 times 50 ms
    while ((code = sqlite3_backup_step(backup, -1)) == SQLITE_BUSY || code == SQLITE_LOCKED) {
        if (++waits > 100) break;
        sqlite3_sleep(50);
    }
    const int finished = sqlite3_backup_finish(backup);
    from.execute(usual_cache);
    const int primary = code & 0xff;
    const bool of_source = primary == SQLITE_BUSY || primary == SQLITE_LOCKED || primary == SQLITE_CORRUPT ||
                           primary == SQLITE_NOTADB || from.disk_failed();
    if (code != SQLITE_DONE) (of_source ? from : to).fail(from.disk_failed() ? SQLITE_IOERR_READ : code);
    if (finished != SQLITE_OK) to.fail(finished);
}

void write_backup(Connection& from, const std::string& ledger_file, const std::string& path, Ledger::Replace replace) {
    check_folder(path);
    NewFile file(path, {.ledger = ledger_file,
                        .over = Over::ledger,
                        .replaces = replace == Ledger::Replace::yes,
                        .instead = "put the new copy in its place with --replace",
                        .fault = ErrorKind::ledger});
    copy_and_prove(from, file.made(), path);
    file.put();
}

} // namespace lotwort::store
