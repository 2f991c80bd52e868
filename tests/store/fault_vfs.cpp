#include "fault_vfs.hpp"
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <random>
#include <sqlite3.h>
#include <utility>
#include <vector>

namespace lotwort::test {

namespace {

struct State {
    sqlite3_vfs* real = nullptr;
    sqlite3_vfs shim{};
    int count = 0;
    int fails_at = 0;
    bool failed = false;
    Failing how = Failing::once;
    std::map<std::string, std::string> flushed;  // what is sure to be on the disk, by file
    std::map<std::string, std::string> unlinked; // deleted, their folder not flushed since: they may come back
    std::map<std::string, std::vector<std::pair<sqlite3_int64, std::string>>> written; // since the flush
    std::mt19937 coin;
};
State state;

struct File {
    sqlite3_file base;
    std::string* name;
    [[nodiscard]] sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};

File* own(sqlite3_file* file) {
    return reinterpret_cast<File*>(file);
}
sqlite3_file* real_of(sqlite3_file* file) {
    return own(file)->real();
}

std::string read_whole(const std::string& name) {
    std::ifstream in(name, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

bool loses_power() {
    return state.how == Failing::power_loss || state.how == Failing::scattered;
}

// A disk writes in its own order: of the writes since the last flush, any may have reached it.
void add_scattered(std::string& bytes, const std::string& name) {
    for (const auto& [at, data] : state.written[name]) {
        if (state.coin() % 2 == 0) continue;
        const auto place = static_cast<std::size_t>(at);
        if (bytes.size() < place + data.size()) bytes.resize(place + data.size());
        bytes.replace(place, data.size(), data);
    }
}

void lose_what_was_not_flushed() {
    for (auto [name, bytes] : state.flushed) {
        if (!std::filesystem::exists(name)) continue;
        if (state.how == Failing::scattered) add_scattered(bytes, name);
        std::ofstream(name, std::ios::binary | std::ios::trunc) << bytes;
    }
    for (const auto& [name, bytes] : state.unlinked) std::ofstream(name, std::ios::binary | std::ios::trunc) << bytes;
}

bool fails(bool is_write) {
    ++state.count;
    const bool now = state.fails_at > 0 && state.count == state.fails_at;
    const bool before = state.fails_at > 0 && state.count > state.fails_at;
    if (now && state.how != Failing::unflushed) state.failed = true;
    if (now && loses_power()) lose_what_was_not_flushed();
    if (state.how == Failing::unflushed) return false; // it matters to a deletion alone
    if (state.how == Failing::full) return is_write && (now || before);
    return now || (before && state.how != Failing::once);
}

int code_of_failure() {
    return state.how == Failing::full ? SQLITE_FULL : SQLITE_IOERR;
}

int write(sqlite3_file* file, const void* data, int size, sqlite3_int64 at) {
    const bool tears = state.how == Failing::torn && state.count + 1 == state.fails_at;
    if (fails(true)) {
        if (tears) real_of(file)->pMethods->xWrite(real_of(file), data, size / 2, at);
        return code_of_failure();
    }
    if (state.how == Failing::scattered)
        state.written[*own(file)->name].emplace_back(
            at, std::string(static_cast<const char*>(data), static_cast<std::size_t>(size)));
    return real_of(file)->pMethods->xWrite(real_of(file), data, size, at);
}

int truncate(sqlite3_file* file, sqlite3_int64 size) {
    return fails(false) ? code_of_failure() : real_of(file)->pMethods->xTruncate(real_of(file), size);
}

int sync(sqlite3_file* file, int flags) {
    if (fails(false)) return code_of_failure();
    const int code = real_of(file)->pMethods->xSync(real_of(file), flags);
    if (loses_power()) state.flushed[*own(file)->name] = read_whole(*own(file)->name);
    state.written.erase(*own(file)->name);
    return code;
}

int close(sqlite3_file* file) {
    delete own(file)->name;
    return real_of(file)->pMethods->xClose(real_of(file));
}

int read(sqlite3_file* file, void* data, int size, sqlite3_int64 at) {
    return real_of(file)->pMethods->xRead(real_of(file), data, size, at);
}
int file_size(sqlite3_file* file, sqlite3_int64* size) {
    return real_of(file)->pMethods->xFileSize(real_of(file), size);
}
int lock(sqlite3_file* file, int level) {
    return real_of(file)->pMethods->xLock(real_of(file), level);
}
int unlock(sqlite3_file* file, int level) {
    return real_of(file)->pMethods->xUnlock(real_of(file), level);
}
int check_lock(sqlite3_file* file, int* reserved) {
    return real_of(file)->pMethods->xCheckReservedLock(real_of(file), reserved);
}
int control(sqlite3_file* file, int operation, void* argument) {
    return real_of(file)->pMethods->xFileControl(real_of(file), operation, argument);
}
int sector_size(sqlite3_file* file) {
    return real_of(file)->pMethods->xSectorSize(real_of(file));
}
int characteristics(sqlite3_file* file) {
    return real_of(file)->pMethods->xDeviceCharacteristics(real_of(file));
}

const sqlite3_io_methods methods{
    1,           close,           read,    write,   truncate, sync,    file_size, lock,   unlock, check_lock, control,
    sector_size, characteristics, nullptr, nullptr, nullptr,  nullptr, nullptr,   nullptr};

int open(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out) {
    file->pMethods = nullptr;
    if ((flags & (SQLITE_OPEN_MAIN_JOURNAL | SQLITE_OPEN_MAIN_DB)) != 0 && fails(false)) return SQLITE_CANTOPEN;
    const int code = state.real->xOpen(state.real, name, real_of(file), flags, out);
    if (code != SQLITE_OK) return code;
    own(file)->name = new std::string(name != nullptr ? name : "");
    if (loses_power() && !own(file)->name->empty())
        state.flushed.emplace(*own(file)->name, read_whole(*own(file)->name));
    file->pMethods = &methods;
    return SQLITE_OK;
}

int remove(sqlite3_vfs*, const char* name, int sync_folder) {
    if (fails(false)) return SQLITE_IOERR_DELETE;
    if (state.how == Failing::unflushed && state.count == state.fails_at) {
        state.failed = true;
        (void)state.real->xDelete(state.real, name, sync_folder);
        return SQLITE_IOERR_DIR_FSYNC;
    }
    if (sync_folder != 0) state.unlinked.clear();
    if (loses_power() && sync_folder == 0) state.unlinked[name] = state.flushed[name];
    state.flushed.erase(name);
    state.written.erase(name);
    return state.real->xDelete(state.real, name, sync_folder);
}

} // namespace

FaultyDisk::FaultyDisk() {
    state = {};
    state.real = sqlite3_vfs_find(nullptr);
    state.shim = *state.real;
    state.shim.zName = "faulty";
    state.shim.szOsFile = static_cast<int>(sizeof(File)) + state.real->szOsFile;
    state.shim.xOpen = open;
    state.shim.xDelete = remove;
    sqlite3_vfs_register(&state.shim, 1);
}

FaultyDisk::~FaultyDisk() {
    sqlite3_vfs_unregister(&state.shim);
    sqlite3_vfs_register(state.real, 1);
}

void FaultyDisk::fail(int operation, Failing how) {
    heal();
    state.fails_at = operation;
    state.how = how;
    state.coin.seed(static_cast<unsigned>(operation));
}

void FaultyDisk::lose_power() {
    lose_what_was_not_flushed();
    heal();
}

void FaultyDisk::heal() {
    state.count = 0;
    state.fails_at = 0;
    state.failed = false;
    state.how = Failing::once;
    state.flushed.clear();
    state.unlinked.clear();
    state.written.clear();
}

int FaultyDisk::operations() const {
    return state.count;
}

bool FaultyDisk::failed() const {
    return state.failed;
}

} // namespace lotwort::test
