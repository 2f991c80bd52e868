// SQLite behind one thin wrapper: a connection that keeps its prepared statements, and a query that gives
// its statement back when it goes out of scope.
//
// Every failure becomes an Error(ledger) that a brewer can act on, but for a broken constraint: that is an
// answer of the database, thrown as Constraint, and who booked says what it means.
#pragma once

#include <atomic>
#include <cstdint>
#include <exception>
#include <lotwort/core/error.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <sys/types.h>
#include <unordered_map>
#include <vector>

struct sqlite3;
struct sqlite3_stmt;

namespace lotwort::store {

// A CHECK, a foreign key or a trigger of the schema refused a row; what() is SQLite's text.
class Constraint : public std::exception {
public:
    explicit Constraint(std::string text) : text_(std::move(text)) {}
    [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }
    [[nodiscard]] bool says(std::string_view part) const { return text_.find(part) != std::string::npos; }

private:
    std::string text_;
};

// 64 MiB
inline constexpr std::string_view usual_cache = "PRAGMA cache_size = -65536";

enum class OpenAs { read, write, create }; // create: an empty file, or "" or ":memory:"

// For one thread at a time.
class Connection {
public:
    // read: opened so that a hot journal can be rolled back, then kept from writing.
    // Waits up to five seconds for another program. `name` is what messages call the file.
    Connection(const std::string& file, OpenAs how, std::string name);
    ~Connection();
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;

    void execute(std::string_view script);
    [[nodiscard]] std::int64_t integer(std::string_view sql); // first column of the first row
    [[nodiscard]] std::int64_t last_row_id() const;
    [[nodiscard]] sqlite3* handle() const { return handle_; }
    [[nodiscard]] const std::string& name() const { return name_; }
    [[noreturn]] void fail(int code) const;
    // Something of the file could not be read: what SQLite then calls damage may be none.
    [[nodiscard]] bool disk_failed() const;
    // The file's name is still that of the file that is open: else somebody put another in its place, or moved it.
    [[nodiscard]] bool is_in_place() const;
    [[nodiscard]] const std::string& file() const { return file_; }
    [[nodiscard]] bool is_new() const { return is_new_; }
    // The schema's own count of its changes when it was last found to be a ledger's; none where it was not looked at.
    [[nodiscard]] std::optional<std::int64_t>& proven_schema() { return proven_schema_; }
    // What is being written from now on ends where the flag is set, and is rolled back: Error(refused), "interrupted".
    void stop_when(const std::atomic<bool>* flag);

private:
    friend class Query;
    friend class Transaction;
    sqlite3_stmt* take(std::string_view sql);
    void give_back(sqlite3_stmt* statement) noexcept;

    struct Identity {
        dev_t device = 0;
        ino_t number = 0;
        friend bool operator==(const Identity&, const Identity&) = default;
    };
    [[nodiscard]] Identity identity() const; // of what now has the file's name
    void heed_stop();

    sqlite3* handle_ = nullptr;
    std::string file_;
    std::string name_;
    Identity opened_;
    const std::atomic<bool>* stop_ = nullptr;
    bool is_writing_ = false;
    std::optional<std::int64_t> proven_schema_;
    bool is_new_;                                                      // made for this: nothing was in it before
    std::unordered_map<std::string, std::vector<sqlite3_stmt*>> idle_; // by text
};

// One statement in use. Parameters are bound from left to right; columns are read from left to right.
class Query {
public:
    Query(Connection& connection, std::string_view sql) : connection_(connection), statement_(connection.take(sql)) {}
    ~Query() { connection_.give_back(statement_); }
    Query(const Query&) = delete;
    Query& operator=(const Query&) = delete;

    Query& null();
    Query& integer(std::int64_t value);
    Query& real(double value); // finite
    Query& text(std::string_view value);
    Query& integer_or_null(std::optional<std::int64_t> value) { return value ? integer(*value) : null(); }
    Query& text_or_null(const std::optional<std::string>& value) { return value ? text(*value) : null(); }

    bool next();            // steps to the next row; false at the end
    void run();             // steps to the end, then is ready to be bound again
    std::int64_t run_new(); // runs an INSERT; the new row's id

    [[nodiscard]] bool is_null() const; // of the column to be read next
    std::int64_t read_integer();
    double read_real();
    std::string read_text();
    std::string_view read_view(); // as read_text; stands until the next row
    std::optional<std::int64_t> read_integer_or_null();
    std::optional<std::string> read_text_or_null();
    void skip() { ++column_; }
    [[nodiscard]] sqlite3_stmt* statement() const { return statement_; } // for a row that is read whole
    [[noreturn]] void refuse_value(std::string_view text) const; // it is nothing that the ledger writes: damaged

private:
    void check(int code) const;

    Connection& connection_;
    sqlite3_stmt* statement_;
    int parameter_ = 0;
    int column_ = 0;
};

// All or nothing. Rolled back unless committed. What is written heeds Connection::stop_when until it is committed.
class Transaction {
public:
    enum class Kind { read, write }; // write takes the lock at once, so that it waits rather than fails
    Transaction(Connection& connection, Kind kind);
    ~Transaction();
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    void commit();
    void roll_back() noexcept;

private:
    Connection& connection_;
    bool open_ = true;
};

} // namespace lotwort::store
