#include "backup.hpp"
#include "migrate.hpp"
#include "place.hpp"
#include "verify.hpp"
#include <filesystem>
#include <fmt/format.h>
#include <lotwort/store/embedded.hpp>
#include <sqlite3.h>

namespace lotwort::store {

namespace {

bool is_ledger(const std::string& path) {
    try {
        Connection there(std::filesystem::absolute(path), OpenAs::read, path);
        return there.integer("PRAGMA application_id") == application_id;
    } catch (const Error&) {
        return false; // not one of ours, whatever it is
    }
}

void check_target(const std::string& ledger_file, const std::string& path, Ledger::Replace replace) {
    namespace fs = std::filesystem;
    std::error_code ignored;
    const auto status = fs::status(path, ignored);
    if (!fs::exists(status)) {
        const auto folder = fs::path(path).parent_path();
        if (!folder.empty() && !fs::is_directory(folder, ignored))
            throw Error(ErrorKind::ledger, fmt::format("there is no folder {} to put the backup in", folder.string()),
                        "make it first, or name another");
        return;
    }
    if (fs::is_directory(status))
        throw Error(ErrorKind::ledger, fmt::format("{} is a folder", path), "name a file in it");
    if (same_file(ledger_file, path))
        throw Error(ErrorKind::ledger, fmt::format("{} is the ledger itself", path), "name another file");
    if (!is_ledger(path))
        throw Error(ErrorKind::ledger, fmt::format("{} is there already and is no backup of a ledger", path),
                    "name another file");
    if (replace == Ledger::Replace::no)
        throw Error(ErrorKind::ledger, fmt::format("{} is there already", path),
                    "name another file, or put the new copy in its place with --replace");
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
    int code = SQLITE_OK;
    int waits = 0;
    // busy is not waited for by itself here: 100 times 50 ms
    while ((code = sqlite3_backup_step(backup, -1)) == SQLITE_BUSY || code == SQLITE_LOCKED) {
        if (++waits > 100) break;
        sqlite3_sleep(50);
    }
    const int finished = sqlite3_backup_finish(backup);
    if (code != SQLITE_DONE) (code == SQLITE_BUSY || code == SQLITE_LOCKED ? from : to).fail(code);
    if (finished != SQLITE_OK) to.fail(finished);
}

void write_backup(Connection& from, const std::string& ledger_file, const std::string& path, Ledger::Replace replace) {
    check_target(ledger_file, path, replace);
    const auto made = beside(path);
    try {
        copy_and_prove(from, made, path);
        sync_file(made);
        put_over(made, path);
    } catch (...) {
        remove_quietly(made);
        throw;
    }
    sync_folder_of(path);
}

} // namespace lotwort::store
