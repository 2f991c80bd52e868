#include "sqlite.hpp"
#include <cerrno>
#include <cmath>
#include <fmt/format.h>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/stat.h>

namespace lotwort::store {

namespace {

constexpr int wait_ms = 5000;

struct Complaint {
    std::string message;
    std::string hint;
};

constexpr std::string_view kept = "what was booked before is kept, this was not booked";

// What the system said of the last operation on the file that it refused.
int system_fault(sqlite3* handle) {
    int fault = 0;
    sqlite3_file_control(handle, "main", SQLITE_FCNTL_LAST_ERRNO, &fault);
    return fault;
}

// SQLite takes a sector that cannot be read for one that holds nonsense, and calls the file corrupt.
bool is_unreadable(int fault) {
    return fault == EIO || fault == ENXIO || fault == ERANGE;
}

bool is_of_reading(int code) {
    return code == SQLITE_IOERR_READ || code == SQLITE_IOERR_SHORT_READ || code == SQLITE_IOERR_CORRUPTFS ||
           code == SQLITE_IOERR_FSTAT;
}

// The system's number is that of the ledger's file: of its journal, which is the first to grow, nothing is known.
bool met_limit(int code, int fault) {
    rlimit most{};
    return (code & 0xff) == SQLITE_IOERR &&
           (fault == EFBIG || (code == SQLITE_IOERR_WRITE && fault == 0 && ::getrlimit(RLIMIT_FSIZE, &most) == 0 &&
                               most.rlim_cur != RLIM_INFINITY));
}

// Of a copy that SQLite lays on the disk as far as it is long, where nobody else sees it.
Complaint complaint_of_aside(int primary, const std::string& ledger) {
    if (primary != SQLITE_FULL && primary != SQLITE_IOERR && primary != SQLITE_CANTOPEN) return {};
    return {fmt::format("the folder for temporary files has no room for a copy of {}", ledger),
            "make room there, or name another folder with TMPDIR; the ledger is as it was"};
}

// Of a ledger or a backup that is being made: there is nothing in it to be kept.
Complaint complaint_of_new(int code, int fault, const std::string& file) {
    if (met_limit(code, fault))
        return {fmt::format("there is no room for {}: files may not grow further here", file),
                "raise the limit (ulimit -f)"};
    switch (code & 0xff) {
    case SQLITE_FULL:
        return {fmt::format("the disk has no room for {}", file), "make room on the disk, or name another file"};
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
        return {fmt::format("{} cannot be written", file), "look at who may write in its folder, or name another file"};
    case SQLITE_IOERR:
        return {fmt::format("the disk failed under {}", file), "look at the disk, or name another file"};
    default:
        return {};
    }
}

// `how` it is damaged, in brackets.
Complaint complaint(int primary, const std::string& ledger, std::string_view how) {
    switch (primary) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return {fmt::format("another program holds the ledger {}", ledger), "try again when it has finished"};
    case SQLITE_FULL:
        return {fmt::format("the disk that holds the ledger {} is full", ledger),
                fmt::format("make room on the disk; {}", kept)};
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
        return {fmt::format("the ledger {} or its folder cannot be written", ledger),
                "look at who may write there, or name another file with --ledger"};
    case SQLITE_IOERR:
        return {fmt::format("the disk failed under the ledger {}", ledger), fmt::format("look at the disk; {}", kept)};
    case SQLITE_NOTADB:
        return {fmt::format("{} is no ledger", ledger), "name the right file with --ledger"};
    case SQLITE_CORRUPT:
        return {fmt::format("the ledger {} is damaged ({})", ledger, how),
                "it was left as it is: keep a copy of it, then put a backup in its place"};
    default:
        return {};
    }
}

// What the system's own number says beyond SQLite's.
Complaint complaint_of_system(int code, int fault, const std::string& ledger) {
    const int primary = code & 0xff;
    if (code == SQLITE_READONLY_DBMOVED)
        return {fmt::format("the ledger {} was moved or replaced while it was open", ledger),
                "nothing was booked: look at what lies there now, and type it again"};
    if (is_of_reading(code) || ((primary == SQLITE_CORRUPT || primary == SQLITE_NOTADB) && is_unreadable(fault)))
        return {fmt::format("the disk failed while the ledger {} was read", ledger),
                "try again; where it fails again, copy the ledger to another disk and look at this one"};
    if (met_limit(code, fault))
        return {fmt::format("the ledger {} has no room: files may not grow further here", ledger),
                fmt::format("raise the limit (ulimit -f); {}", kept)};
    if (primary == SQLITE_IOERR && fault == EDQUOT)
        return {fmt::format("the ledger {} has no room: the quota of its disk is used up", ledger),
                fmt::format("make room on the disk; {}", kept)};
    return {};
}

// Nobody asks SQLite how much memory it holds, and to keep count it takes a lock at each allocation: a tenth of what it
// costs to book an entry. It can only be told before its first use; a program that has used it before keeps its count.
void spare_the_count() {
    [[maybe_unused]] static const int told = sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
}

// The file may be a stranger's: its schema calls no function of its own choosing, and has bounds.
void be_wary(sqlite3* handle) {
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_limit(handle, SQLITE_LIMIT_ATTACHED, 0);
    sqlite3_limit(handle, SQLITE_LIMIT_SQL_LENGTH, 200'000);
    sqlite3_limit(handle, SQLITE_LIMIT_TRIGGER_DEPTH, 8);
}

} // namespace

bool Connection::disk_failed() const {
    return is_unreadable(system_fault(handle_));
}

void Connection::fail(int code) const {
    int primary = code & 0xff;
    const std::string said = handle_ != nullptr ? sqlite3_errmsg(handle_) : sqlite3_errstr(code);
    // a plain error to SQLite: the file's head names a format that nobody writes
    if (primary == SQLITE_ERROR && said == "unsupported file format") primary = SQLITE_CORRUPT;
    if (primary == SQLITE_CONSTRAINT) throw Constraint(said);
    if (primary == SQLITE_NOMEM) throw std::bad_alloc();
    if (primary == SQLITE_INTERRUPT) throw Error(ErrorKind::refused, "interrupted", "nothing was booked");
    Complaint about;
    const int fault = system_fault(handle_);
    if (is_new_) about = file_.empty() ? complaint_of_aside(primary, name_) : complaint_of_new(code, fault, name_);
    if (about.message.empty()) about = complaint_of_system(code, fault, name_);
    if (about.message.empty()) about = complaint(primary, name_, "its pages do not fit together");
    if (about.message.empty()) throw Bug(fmt::format("SQLite, {}: {}", code, said));
    throw Error(ErrorKind::ledger, about.message, about.hint);
}

Connection::Connection(const std::string& file, OpenAs how, std::string name)
    : file_(file), name_(std::move(name)), is_new_(how == OpenAs::create) {
    spare_the_count();
    // it makes no file: what is new is an empty one that NewFile made, or one that nobody else sees
    const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE;
    const int code = sqlite3_open_v2(file.c_str(), &handle_, flags, nullptr);
    try {
        if (code != SQLITE_OK) fail(code);
        opened_ = identity();
        sqlite3_busy_timeout(handle_, wait_ms);
        be_wary(handle_);
        execute("PRAGMA foreign_keys = ON; PRAGMA synchronous = EXTRA; PRAGMA cell_size_check = ON");
        execute(usual_cache);
        if (how == OpenAs::read) execute("PRAGMA query_only = ON");
    } catch (...) {
        sqlite3_close(handle_);
        throw;
    }
}

Connection::Identity Connection::identity() const {
    struct stat status {};
    if (::stat(file_.c_str(), &status) != 0) return {};
    return {status.st_dev, status.st_ino};
}

bool Connection::is_in_place() const {
    int moved = 0; // under the name that a link led to when it was opened
    sqlite3_file_control(handle_, "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    return moved == 0 && identity() == opened_;
}

void Connection::stop_when(const std::atomic<bool>* flag) {
    stop_ = flag;
    heed_stop();
}

void Connection::heed_stop() {
    constexpr int steps = 10'000; // of SQLite's machine between two looks: a millisecond or less
    const auto look = [](void* flag) { return static_cast<const std::atomic<bool>*>(flag)->load() ? 1 : 0; };
    auto* const flag = const_cast<std::atomic<bool>*>(stop_);
    sqlite3_progress_handler(handle_, is_writing_ && stop_ != nullptr ? steps : 0, look, flag);
}

Connection::~Connection() {
    for (auto& [sql, statements] : idle_)
        for (auto* statement : statements) sqlite3_finalize(statement);
    sqlite3_close(handle_);
}

void Connection::execute(std::string_view script) {
    const int code = sqlite3_exec(handle_, std::string(script).c_str(), nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) fail(code);
}

std::int64_t Connection::integer(std::string_view sql) {
    Query query(*this, sql);
    LOTWORT_CHECK(query.next());
    return query.read_integer();
}

std::int64_t Connection::last_row_id() const {
    return sqlite3_last_insert_rowid(handle_);
}

sqlite3_stmt* Connection::take(std::string_view sql) {
    auto& idle = idle_[std::string(sql)];
    if (!idle.empty()) {
        auto* statement = idle.back();
        idle.pop_back();
        return statement;
    }
    sqlite3_stmt* statement = nullptr;
    const int code = sqlite3_prepare_v3(handle_, sql.data(), static_cast<int>(sql.size()), SQLITE_PREPARE_PERSISTENT,
                                        &statement, nullptr);
    if (code != SQLITE_OK) fail(code);
    LOTWORT_CHECK(statement != nullptr);
    return statement;
}

void Connection::give_back(sqlite3_stmt* statement) noexcept {
    sqlite3_reset(statement);
    sqlite3_clear_bindings(statement);
    const auto found = idle_.find(sqlite3_sql(statement));
    if (found != idle_.end() && found->second.size() < 4)
        found->second.push_back(statement);
    else
        sqlite3_finalize(statement);
}

void Query::check(int code) const {
    if (code != SQLITE_OK) connection_.fail(code);
}

Query& Query::null() {
    check(sqlite3_bind_null(statement_, ++parameter_));
    return *this;
}

Query& Query::integer(std::int64_t value) {
    check(sqlite3_bind_int64(statement_, ++parameter_, value));
    return *this;
}

Query& Query::real(double value) {
    // SQLite would keep NaN as NULL: a figure that is not one is never let in
    LOTWORT_CHECK(std::isfinite(value));
    check(sqlite3_bind_double(statement_, ++parameter_, value));
    return *this;
}

Query& Query::text(std::string_view value) {
    check(sqlite3_bind_text64(statement_, ++parameter_, value.data() != nullptr ? value.data() : "", value.size(),
                              SQLITE_TRANSIENT, SQLITE_UTF8));
    return *this;
}

bool Query::next() {
    column_ = 0;
    const int code = sqlite3_step(statement_);
    if (code == SQLITE_ROW) return true;
    if (code != SQLITE_DONE) connection_.fail(code);
    return false;
}

void Query::run() {
    while (next()) {
    }
    sqlite3_reset(statement_);
    parameter_ = 0;
}

std::int64_t Query::run_new() {
    run();
    return connection_.last_row_id();
}

bool Query::is_null() const {
    return sqlite3_column_type(statement_, column_) == SQLITE_NULL;
}

std::int64_t Query::read_integer() {
    return sqlite3_column_int64(statement_, column_++);
}

double Query::read_real() {
    return sqlite3_column_double(statement_, column_++);
}

std::string Query::read_text() {
    return std::string(read_view());
}

std::string_view Query::read_view() {
    const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, column_));
    const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_, column_++));
    return text != nullptr ? std::string_view(text, size) : std::string_view();
}

std::optional<std::int64_t> Query::read_integer_or_null() {
    if (!is_null()) return read_integer();
    skip();
    return std::nullopt;
}

std::optional<std::string> Query::read_text_or_null() {
    if (!is_null()) return read_text();
    skip();
    return std::nullopt;
}

void Query::refuse_value(std::string_view text) const {
    const auto [message, hint] = complaint(SQLITE_CORRUPT, connection_.name(), fmt::format("it holds `{}`", text));
    throw Error(ErrorKind::ledger, message, hint);
}

Transaction::Transaction(Connection& connection, Kind kind) : connection_(connection) {
    connection_.execute(kind == Kind::write ? "BEGIN IMMEDIATE" : "BEGIN");
    connection_.is_writing_ = kind == Kind::write;
    connection_.heed_stop();
}

Transaction::~Transaction() {
    if (open_) roll_back();
}

void Transaction::roll_back() noexcept {
    open_ = false;
    connection_.is_writing_ = false;
    connection_.heed_stop();
    // a failed COMMIT or a full disk may have rolled back already
    if (sqlite3_get_autocommit(connection_.handle()) == 0)
        sqlite3_exec(connection_.handle(), "ROLLBACK", nullptr, nullptr, nullptr);
    // after a fault of the disk the pages are put back by whoever looks next: not tomorrow, on a disk still full
    sqlite3_exec(connection_.handle(), "SELECT 1 FROM sqlite_schema LIMIT 1", nullptr, nullptr, nullptr);
}

void Transaction::commit() {
    if (connection_.stop_ != nullptr && connection_.stop_->load()) connection_.fail(SQLITE_INTERRUPT);
    connection_.is_writing_ = false;
    connection_.heed_stop();
    connection_.execute("COMMIT");
    open_ = false;
}

} // namespace lotwort::store
