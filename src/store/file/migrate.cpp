#include "migrate.hpp"
#include "schema.hpp"
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
    Query broken(connection, "PRAGMA foreign_key_check");
    if (broken.next())
        throw Error(ErrorKind::ledger,
                    fmt::format("the ledger {} could not be brought up to date: {} leaves a row of {} without what it "
                                "refers to",
                                connection.name(), migration.name, broken.read_text()),
                    "it was left as it is");
    transaction.commit();
}

} // namespace

void migrate(Connection& connection, const std::vector<EmbeddedText>& migrations) {
    for (std::size_t i = 0; i < migrations.size(); ++i)
        if (const auto number = static_cast<std::int64_t>(i + 1); connection.integer("PRAGMA user_version") < number)
            run_migration(connection, number, migrations[i]);
}

std::size_t migrations_seen(Connection& connection, const std::vector<EmbeddedText>& migrations) {
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
    return static_cast<std::size_t>(version);
}

bool is_older(Connection& connection, const std::vector<EmbeddedText>& migrations) {
    const auto seen = migrations_seen(connection, migrations);
    demand_schema(connection, migrations, seen);
    Query record(connection, "SELECT migration_id, name FROM migration ORDER BY migration_id");
    std::size_t count = 0;
    while (count <= seen && record.next()) {
        const bool fits = count < seen && record.read_integer() == static_cast<std::int64_t>(count + 1) &&
                          record.read_text() == migrations[count].name;
        count = fits ? count + 1 : seen + 1;
    }
    if (count != seen)
        throw Error(
            ErrorKind::ledger,
            fmt::format("the ledger {} is damaged (its record of migrations does not fit it)", connection.name()),
            "it was left as it is: keep a copy of it, then put a backup in its place");
    return seen < migrations.size();
}

} // namespace lotwort::store
