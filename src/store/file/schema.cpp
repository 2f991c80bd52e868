#include "schema.hpp"
#include "migrate.hpp"
#include "sha256.hpp"
#include <fmt/format.h>
#include <lotwort/store/embedded.hpp>
#include <map>

namespace lotwort::store {

namespace {

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

constexpr std::string_view every_object = "SELECT type, name, tbl_name, ifnull(sql, '') FROM sqlite_schema";

// By kind and name, "trigger lot_opens_balance": its text.
using Objects = std::map<std::string, std::string>;

Objects objects_of(Connection& connection) {
    Query query(connection, every_object);
    Objects objects;
    while (query.next()) {
        const auto type = query.read_text();
        const auto name = query.read_text();
        const auto table = query.read_text();
        objects[fmt::format("{} {}", type, name)] = fmt::format("{} {}", table, evened(query.read_text()));
    }
    return objects;
}

// It is kept: to make it is most of the work of proving a small ledger, and some callers prove many.
Objects objects_after(const std::vector<EmbeddedText>& migrations, std::size_t count) {
    thread_local std::map<std::string, Objects> known; // by the migrations' text
    std::string text;
    for (std::size_t i = 0; i < count; ++i) text += migrations[i].text;
    auto& objects = known[text];
    if (!objects.empty()) return objects;
    Connection fresh(":memory:", OpenAs::create, ":memory:");
    migrate(fresh, {migrations.begin(), migrations.begin() + static_cast<std::ptrdiff_t>(count)});
    return objects = objects_of(fresh);
}

std::vector<LedgerFault> differences(const Objects& has, const Objects& should) {
    std::vector<LedgerFault> faults;
    const auto add = [&](const std::string& object, std::string_view what) {
        faults.push_back({"schema", fmt::format("the {} {}", object, what)});
    };
    for (const auto& [object, text] : has)
        if (const auto known = should.find(object); known == should.end())
            add(object, "is not of a ledger");
        else if (known->second != text)
            add(object, "is not as a ledger has it");
    for (const auto& [object, text] : should)
        if (!has.contains(object)) add(object, "is missing");
    return faults;
}

[[noreturn]] void refuse(const Connection& connection, const std::vector<LedgerFault>& faults) {
    const auto more = faults.size() > 1 ? fmt::format(", and {} more", faults.size() - 1) : std::string();
    throw Error(
        ErrorKind::ledger,
        fmt::format("the ledger {} is not as lotwort makes one: {}{}", connection.name(), faults.front().what, more),
        "nothing it says can be relied on; `lotwort verify` lists what differs. It was left as it is: keep a "
        "copy of it, then put a backup in its place");
}

} // namespace

std::string schema_digest(Connection& connection) {
    Query query(connection, every_object);
    std::string text;
    text.reserve(100'000);
    while (query.next())
        for (int column = 0; column < 4; ++column) {
            text += query.read_view();
            text += '\0'; // no text of the schema holds one
        }
    return sha256(text);
}

std::vector<std::string> schema_of(Connection& connection) {
    Query query(connection, "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name");
    std::vector<std::string> texts;
    while (query.next()) texts.push_back(evened(query.read_text()));
    return texts;
}

std::vector<LedgerFault> schema_faults(Connection& connection, const std::vector<EmbeddedText>& migrations,
                                       std::size_t count) {
    return differences(objects_of(connection), objects_after(migrations, count));
}

void demand_schema(Connection& connection, const std::vector<EmbeddedText>& migrations, std::size_t count) {
    connection.proven_schema().reset();
    const auto version = connection.integer("PRAGMA schema_version");
    const bool is_usual = &migrations == &embedded_migrations() && count == migrations.size();
    if (!is_usual || schema_digest(connection) != usual_schema)
        if (const auto faults = schema_faults(connection, migrations, count); !faults.empty())
            refuse(connection, faults);
    connection.proven_schema() = version;
}

void demand_schema_still(Connection& connection) {
    if (connection.proven_schema() == connection.integer("PRAGMA schema_version")) return;
    demand_schema(connection, embedded_migrations(), migrations_seen(connection, embedded_migrations()));
}

} // namespace lotwort::store
