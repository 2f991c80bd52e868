#include "migrate.hpp"
#include "seal.hpp"
#include "sha256.hpp"
#include <fmt/format.h>

namespace lotwort::store {

namespace {

// A migration may make a table anew under its old name, which what refers to it must not notice. Foreign keys can be
// turned off outside a transaction alone; every migration ends with a check of all of them.
class ForeignKeysOff {
public:
    explicit ForeignKeysOff(Connection& connection) : connection_(connection) {
        connection_.execute("PRAGMA foreign_keys = OFF");
    }
    ~ForeignKeysOff() {
        try {
            connection_.execute("PRAGMA legacy_alter_table = OFF; PRAGMA foreign_keys = ON");
        } catch (...) { // the failure that led here is the one to be told
        }
    }
    ForeignKeysOff(const ForeignKeysOff&) = delete;
    ForeignKeysOff& operator=(const ForeignKeysOff&) = delete;

private:
    Connection& connection_;
};

void run_migration(Connection& connection, std::int64_t number, const EmbeddedText& migration) {
    const ForeignKeysOff off(connection);
    Transaction transaction(connection, Transaction::Kind::write);
    // another program may have got here first, while this one waited for the lock
    if (connection.integer("PRAGMA user_version") >= number) return;
    connection.execute(migration.text);
    Query record(connection, "INSERT INTO migration (migration_id, name, checksum) VALUES (?, ?, ?)");
    record.integer(number).text(migration.name).text(sha256(migration.text)).run();
    connection.execute(fmt::format("PRAGMA user_version = {}", number));
    if (migration.name == "0002_seal") seal_all(connection);
    Query broken(connection, "PRAGMA foreign_key_check");
    if (broken.next())
        throw Error(ErrorKind::ledger,
                    fmt::format("the ledger {} could not be brought up to date: {} leaves a row of {} without what it "
                                "refers to",
                                connection.name(), migration.name, broken.read_text()),
                    "it was left as it is");
    transaction.commit();
}

// One space for each run of white space, none beside a bracket or comma; comments left out.
std::string evened(std::string_view sql) {
    std::string text;
    char quote = 0;
    bool gap = false;
    for (std::size_t i = 0; i < sql.size(); ++i) {
        const char c = sql[i];
        if (quote == 0 && sql.substr(i, 2) == "--") {
            while (i < sql.size() && sql[i] != '\n') ++i;
            gap = true;
            continue;
        }
        if (quote == 0 && (c == ' ' || c == '\n' || c == '\t')) {
            gap = true;
            continue;
        }
        const bool tight = text.empty() || text.back() == '(' || c == ')' || c == ',';
        if (gap && !tight) text += ' ';
        gap = false;
        if (c == '\'' || c == '"') quote = quote == 0 ? c : (quote == c ? char{0} : quote);
        text += c;
    }
    return text;
}

} // namespace

void migrate(Connection& connection, const std::vector<EmbeddedText>& migrations) {
    for (std::size_t i = 0; i < migrations.size(); ++i)
        if (const auto number = static_cast<std::int64_t>(i + 1); connection.integer("PRAGMA user_version") < number)
            run_migration(connection, number, migrations[i]);
}

bool is_older(Connection& connection, const std::vector<EmbeddedText>& migrations) {
    if (connection.integer("PRAGMA application_id") != application_id)
        throw Error(ErrorKind::ledger, fmt::format("{} is no ledger", connection.name()),
                    "name the right file with --ledger, or make a new ledger with `lotwort init`");
    const auto version = connection.integer("PRAGMA user_version");
    const auto known = static_cast<std::int64_t>(migrations.size());
    if (version > known)
        throw Error(
            ErrorKind::ledger,
            fmt::format("the ledger {} was made by a newer lotwort (its schema is number {}, this program knows "
                        "up to {})",
                        connection.name(), version, known),
            "use the newer program; the file was left as it is");
    if (version < 1)
        throw Error(ErrorKind::ledger, fmt::format("the ledger {} is damaged (no schema)", connection.name()));
    Query seen(connection, "SELECT migration_id, name FROM migration ORDER BY migration_id");
    std::int64_t count = 0;
    while (seen.next()) {
        ++count;
        if (seen.read_integer() != count || count > version ||
            seen.read_text() != migrations[static_cast<std::size_t>(count - 1)].name)
            break;
    }
    if (count != version)
        throw Error(
            ErrorKind::ledger,
            fmt::format("the ledger {} is damaged (its record of migrations does not fit it)", connection.name()),
            "it was left as it is: keep a copy of it, then put a backup in its place");
    return version < known;
}

std::vector<std::string> schema_of(Connection& connection) {
    Query query(connection, "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name");
    std::vector<std::string> texts;
    while (query.next()) texts.push_back(evened(query.read_text()));
    return texts;
}

} // namespace lotwort::store
