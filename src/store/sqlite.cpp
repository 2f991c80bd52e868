#include "sqlite.hpp"
#include <cmath>
#include <fmt/format.h>
#include <sqlite3.h>

namespace lotwort::store {

namespace {

constexpr int wait_ms = 5000;

struct Complaint {
    std::string message;
    std::string hint;
};

// Of a ledger or a backup that is being made: there is nothing in it to be kept.
Complaint complaint_of_new(int primary, const std::string& file) {
    switch (primary) {
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
                "make room on the disk; what was booked before is kept, this was not booked"};
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
        return {fmt::format("the ledger {} or its folder cannot be written", ledger),
                "look at who may write there, or name another file with --ledger"};
    case SQLITE_IOERR:
        return {fmt::format("the disk failed under the ledger {}", ledger),
                "look at the disk; what was booked before is kept, this was not booked"};
    case SQLITE_NOTADB:
        return {fmt::format("{} is no ledger", ledger), "name the right file with --ledger"};
    case SQLITE_CORRUPT:
        return {fmt::format("the ledger {} is damaged ({})", ledger, how),
                "it was left as it is: keep a copy of it, then put a backup in its place"};
    default:
        return {};
    }
}

// Nobody asks SQLite how much memory it holds, and to keep count it takes a lock at each allocation: a tenth of what it
// costs to book an entry. It can only be told before its first use; a program that has used it before keeps its count.
void spare_the_count() {
    [[maybe_unused]] static const int told = sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
}

} // namespace

void Connection::fail(int code) const {
    int primary = code & 0xff;
    const std::string said = handle_ != nullptr ? sqlite3_errmsg(handle_) : sqlite3_errstr(code);
    // a plain error to SQLite: the file's head names a format that nobody writes
    if (primary == SQLITE_ERROR && said == "unsupported file format") primary = SQLITE_CORRUPT;
    if (primary == SQLITE_CONSTRAINT) throw Constraint(said);
    if (primary == SQLITE_NOMEM) throw std::bad_alloc();
    Complaint about = is_new_ ? complaint_of_new(primary, name_) : Complaint{};
    if (about.message.empty()) about = complaint(primary, name_, "its pages do not fit together");
    if (about.message.empty()) throw Bug(fmt::format("SQLite, {}: {}", code, said));
    throw Error(ErrorKind::ledger, about.message, about.hint);
}

Connection::Connection(const std::string& file, OpenAs how, std::string name)
    : name_(std::move(name)), is_new_(how == OpenAs::create) {
    spare_the_count();
    // it makes no file: what is new is an empty one that NewFile made, or one that nobody else sees
    const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE;
    const int code = sqlite3_open_v2(file.c_str(), &handle_, flags, nullptr);
    try {
        if (code != SQLITE_OK) fail(code);
        sqlite3_busy_timeout(handle_, wait_ms);
        sqlite3_db_config(handle_, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
        execute("PRAGMA foreign_keys = ON; PRAGMA synchronous = EXTRA; PRAGMA cache_size = -65536;");
        if (how == OpenAs::read) execute("PRAGMA query_only = ON");
    } catch (...) {
        sqlite3_close(handle_);
        throw;
    }
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
    again();
}

std::int64_t Query::run_new() {
    run();
    return connection_.last_row_id();
}

void Query::again() {
    sqlite3_reset(statement_);
    parameter_ = 0;
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
}

Transaction::~Transaction() {
    if (!open_) return;
    // a failed COMMIT or a full disk may have rolled back already
    if (sqlite3_get_autocommit(connection_.handle()) == 0)
        sqlite3_exec(connection_.handle(), "ROLLBACK", nullptr, nullptr, nullptr);
    // after a fault of the disk the pages are put back by whoever looks next: not tomorrow, on a disk still full
    sqlite3_exec(connection_.handle(), "SELECT 1 FROM sqlite_schema LIMIT 1", nullptr, nullptr, nullptr);
}

void Transaction::commit() {
    connection_.execute("COMMIT");
    open_ = false;
}

} // namespace lotwort::store
