#include "file/backup.hpp"
#include "file/migrate.hpp"
#include "file/place.hpp"
#include "file/schema.hpp"
#include "file/seal.hpp"
#include "file/verify.hpp"
#include "read/entries.hpp"
#include "read/snapshot.hpp"
#include "write/booking.hpp"
#include "write/commit.hpp"
#include <filesystem>
#include <fmt/format.h>
#include <lotwort/store/embedded.hpp>
#include <lotwort/store/ledger.hpp>
#include <lotwort/store/new_file.hpp>
#include <sqlite3.h>
#include <unistd.h>

namespace lotwort {

using namespace store;
namespace fs = std::filesystem;

struct Ledger::Impl {
    std::string file;
    std::unique_ptr<Connection> connection;
    std::unique_ptr<Connection> copy; // read in place of the file: an older ledger brought up to date, or a picture
    std::optional<Transaction> held;  // between hold() and the next entry

    // One picture of the ledger: no writer comes between the statements of one answer.
    template <class Answer>
    auto read(Answer&& answer) const {
        auto& data = copy ? *copy : *connection;
        std::optional<Transaction> one_picture;
        if (!held) one_picture.emplace(data, Transaction::Kind::read);
        demand_schema_still(data);
        return answer(data);
    }

    // The same of a copy that nobody else sees: what takes long, or waits for whoever reads its output, keeps nobody
    // from booking.
    template <class Answer>
    auto read_aside(Answer&& answer) const {
        if (copy || held) return read(answer); // who holds the ledger keeps everybody waiting as it is
        Connection aside("", OpenAs::create, connection->name());
        read([&](Connection& data) { copy_pages(data, aside); });
        return answer(aside);
    }
};

namespace {

// A plain path, never one of SQLite's URIs or special names.
std::string plain_path(const std::string& path) {
    return fs::absolute(path).string();
}

void check_currency(std::string_view currency) {
    const bool good = currency.size() == 3 && currency.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ") == currency.npos;
    if (!good)
        throw Error(ErrorKind::refused, fmt::format("`{}` is no currency", currency),
                    "three capital letters of ISO 4217, such as EUR, GBP or USD");
}

[[noreturn]] void refuse_existing(const std::string& path) {
    throw Error(ErrorKind::ledger, fmt::format("{} exists already", path),
                "use it as it is, or name another file with --ledger");
}

// A broken rule that no step of booking foresaw; the database kept it out.
[[noreturn]] void refuse(const Constraint& rule) {
    throw Error(ErrorKind::refused, fmt::format("the ledger does not take this: {}", rule.what()));
}

bool is_empty(const Book& part) {
    Book bare;
    bare.currency = part.currency;
    return part == bare;
}

enum class Keep { yes, no };

std::int64_t newest(Connection& connection) {
    return connection.integer("SELECT ifnull(max(entry_id), 0) FROM entry");
}

// Where an entry goes, and what it takes for the ledger's state.
struct Booking {
    Connection& connection;
    Keep keep;
    Ledger::ReadUpTo read_up_to = {};
    std::optional<Transaction>* held = nullptr;
};

// However a booking ends: rolled back unless committed.
struct Release {
    std::optional<Transaction>& transaction;
    ~Release() { transaction.reset(); }
};

template <class Write>
Entry write(const Booking& booking, Write&& write_rows) {
    auto& [connection, keep, read_up_to, held] = booking;
    // a rehearsal keeps every page in memory until it is rolled back: the file is not touched
    connection.execute(keep == Keep::yes ? "PRAGMA cache_spill = ON" : "PRAGMA cache_spill = OFF");
    try {
        std::optional<Transaction> own;
        auto& transaction = held != nullptr ? *held : own;
        if (!transaction) transaction.emplace(connection, Transaction::Kind::write);
        const Release release{transaction};
        demand_schema_still(connection);
        if (read_up_to && newest(connection) != *read_up_to) throw Moved();
        const auto ends = keep == Keep::yes ? std::optional<TableEnds>(connection) : std::nullopt;
        const std::int64_t number = write_rows();
        if (ends) ends->seal(connection, number);
        auto entry = read_entry(connection, number);
        LOTWORT_CHECK(entry);
        if (keep == Keep::yes) commit_entry(connection, *transaction, number);
        return *entry;
    } catch (const Constraint& rule) {
        refuse(rule);
    }
}

Entry write_part(const Booking& booking, const Book& part, const EntryHead& head) {
    LOTWORT_CHECK(head.kind != EntryKind::reverse && head.kind != EntryKind::init);
    if (is_empty(part)) throw Error(ErrorKind::refused, "there is nothing to book");
    return write(booking, [&] {
        auto& connection = booking.connection;
        const auto currency = read_currency(connection);
        if (!part.currency.empty() && part.currency != currency)
            throw Error(ErrorKind::refused,
                        fmt::format("prices in {} cannot be booked: the ledger is in {}", part.currency, currency));
        const auto entry = write_entry(connection, head);
        write_book(connection, entry, part);
        return entry;
    });
}

// Each change of a table makes SQLite read the whole schema anew. A thread that makes many ledgers runs the migrations
// once: tests do, and it is half of their time.
Connection& ledger_without_entries() {
    thread_local const auto made = [] {
        auto connection = std::make_unique<Connection>(":memory:", OpenAs::create, "a new ledger");
        migrate(*connection, embedded_migrations());
        return connection;
    }();
    return *made;
}

void make_ledger(const std::string& file, const std::string& name, std::string_view currency, EntryHead head) {
    Connection connection(file, OpenAs::create, name);
    copy_pages(ledger_without_entries(), connection);
    head.kind = EntryKind::init;
    write({connection, Keep::yes}, [&] {
        Query(connection, "INSERT INTO ledger (ledger_id, currency) VALUES (1, ?)").text(currency).run();
        return write_entry(connection, head);
    });
}

} // namespace

void Ledger::check_new(const std::string& path) {
    std::error_code ignored;
    if (fs::exists(fs::symlink_status(path, ignored))) refuse_existing(path);
    if (const auto folder = fs::path(path).parent_path(); !folder.empty() && !fs::is_directory(folder, ignored))
        throw Error(ErrorKind::ledger, fmt::format("there is no folder {} to make the ledger in", folder.string()),
                    "make it first, or name another file with --ledger");
}

std::string_view Ledger::network_under(const std::string& path) {
    return store::network_under(path);
}

void Ledger::create(const std::string& path, std::string_view currency, const EntryHead& head) {
    check_currency(currency);
    check_new(path);
    NewFile made(path, {.over = Over::ledger, .fault = ErrorKind::ledger});
    make_ledger(made.made(), path, currency, head);
    made.put();
}

Ledger::Ledger(const std::string& path, Access access) : impl_(std::make_unique<Impl>()) {
    impl_->file = plain_path(path);
    demand_file(path);
    const bool writes = access == Access::write;
    impl_->connection = std::make_unique<Connection>(impl_->file, writes ? OpenAs::write : OpenAs::read, path);
    auto& connection = *impl_->connection;
    const bool older = [&] {
        const Transaction one_picture(connection, Transaction::Kind::read);
        return is_older(connection, embedded_migrations());
    }();
    if (writes && sqlite3_db_readonly(connection.handle(), "main") != 0) connection.fail(SQLITE_READONLY);
    if (writes) connection.execute("PRAGMA journal_mode = DELETE"); // another tool may have left another
    if (writes && older) migrate(connection, embedded_migrations());
    if (writes || !(older || access == Access::picture)) return;
    // laid on the disk by SQLite as far as it is long
    impl_->copy = std::make_unique<Connection>("", OpenAs::create, path);
    copy_pages(connection, *impl_->copy);
    if (older) migrate(*impl_->copy, embedded_migrations());
}

Ledger::~Ledger() = default;
Ledger::Ledger(Ledger&&) noexcept = default;
Ledger& Ledger::operator=(Ledger&&) noexcept = default;

Entry Ledger::append(const Book& part, const EntryHead& head, ReadUpTo read_up_to) {
    return write_part({*impl_->connection, Keep::yes, read_up_to, &impl_->held}, part, head);
}

Entry Ledger::rehearse(const Book& part, const EntryHead& head, ReadUpTo read_up_to) {
    return write_part({*impl_->connection, Keep::no, read_up_to, &impl_->held}, part, head);
}

Entry Ledger::reverse(std::int64_t number, const EntryHead& head, ReadUpTo read_up_to) {
    const Booking booking{*impl_->connection, Keep::yes, read_up_to, &impl_->held};
    return write(booking, [&] { return write_reversal(booking.connection, number, head); });
}

Entry Ledger::rehearse_reverse(std::int64_t number, const EntryHead& head, ReadUpTo read_up_to) {
    const Booking rolled_back{*impl_->connection, Keep::no, read_up_to, &impl_->held};
    return write(rolled_back, [&] { return write_reversal(rolled_back.connection, number, head); });
}

void Ledger::hold() {
    LOTWORT_CHECK(!impl_->copy);
    if (!impl_->held) impl_->held.emplace(*impl_->connection, Transaction::Kind::write);
}

std::int64_t Ledger::newest_entry() const {
    return impl_->read(newest);
}

void Ledger::stop_when(const std::atomic<bool>* flag) {
    impl_->connection->stop_when(flag);
}

Book Ledger::opposite_of(std::int64_t number) const {
    return impl_->read([&](Connection& data) { return read_opposite(data, number); });
}

std::string Ledger::currency() const {
    return impl_->read(read_currency);
}

std::vector<Brewhouse> Ledger::brewhouses() const {
    return impl_->read([](Connection& data) { return read_brewhouses(data); });
}

std::vector<std::string> Ledger::own_words() const {
    return impl_->read(read_own_words);
}

Book Ledger::definitions() const {
    return impl_->read([](Connection& data) {
        Book book = read_definitions(data);
        book.plans = read_plans(data, Plans::open);
        return book;
    });
}

std::vector<StockRow> Ledger::stock() const {
    return impl_->read(read_stock);
}

std::vector<LotState> Ledger::lots() const {
    return impl_->read([](Connection& data) { return read_lots(data); });
}

std::optional<LotState> Ledger::lot(std::string_view code) const {
    auto lots = impl_->read([&](Connection& data) { return read_lots(data, code); });
    return lots.empty() ? std::nullopt : std::optional(std::move(lots.front()));
}

std::vector<LotState> Ledger::lots_on(Date day) const {
    return impl_->read([&](Connection& data) { return read_lots_on(data, day); });
}

std::optional<Date> Ledger::booked_after(Date day) const {
    return impl_->read([&](Connection& data) { return read_booked_after(data, day); });
}

std::vector<LotState> Ledger::lots_harvested(std::string_view brew) const {
    return impl_->read([&](Connection& data) {
        std::vector<LotState> lots;
        Query codes(data, "SELECT code FROM lot_now WHERE harvested_from = ? ORDER BY received, code");
        codes.text(brew);
        while (codes.next()) lots.push_back(read_lots(data, codes.read_text()).at(0));
        return lots;
    });
}

std::vector<LotOrigin> Ledger::origins() const {
    return impl_->read([](Connection& data) { return read_origins(data); });
}

std::vector<Movement> Ledger::movements(std::string_view lot) const {
    return impl_->read([&](Connection& data) { return read_movements(data, lot); });
}

std::vector<Brew> Ledger::brews() const {
    return impl_->read([](Connection& data) { return read_brews(data); });
}

std::optional<Brew> Ledger::brew(std::string_view code) const {
    auto brews = impl_->read([&](Connection& data) { return read_brews(data, code); });
    return brews.empty() ? std::nullopt : std::optional(std::move(brews.front()));
}

std::vector<Brew> Ledger::brews_of_fermenter(std::string_view brew) const {
    return impl_->read([&](Connection& data) { return read_fermenter(data, brew); });
}

std::optional<std::string> Ledger::recipe_of(std::string_view brew) const {
    return impl_->read([&](Connection& data) {
        Query query(data, "SELECT recipe FROM brew_now WHERE code = ?");
        return query.text(brew).next() ? query.read_text_or_null() : std::nullopt;
    });
}

std::vector<Package> Ledger::packages() const {
    return impl_->read([](Connection& data) { return read_packages(data); });
}

std::optional<Package> Ledger::package(std::string_view code) const {
    auto packages = impl_->read([&](Connection& data) { return read_packages(data, PackagesOf::code, code); });
    return packages.empty() ? std::nullopt : std::optional(std::move(packages.front()));
}

std::vector<Package> Ledger::packages_of(std::string_view brew) const {
    return impl_->read([&](Connection& data) { return read_packages(data, PackagesOf::brew, brew); });
}

std::vector<Plan> Ledger::plans() const {
    return impl_->read([](Connection& data) { return read_plans(data, Plans::all); });
}

Book Ledger::book() const {
    return impl_->read_aside([](Connection& data) {
        Book book = read_definitions(data);
        for (auto& state : read_lots(data)) book.lots.push_back(std::move(state.lot));
        book.plans = read_plans(data, Plans::all);
        book.brews = read_brews(data);
        book.packages = read_packages(data);
        book.movements = read_other_movements(data);
        return book;
    });
}

std::vector<Entry> Ledger::history(const HistoryFilter& filter) const {
    return impl_->read([&](Connection& data) { return read_history(data, filter); });
}

std::optional<Entry> Ledger::entry(std::int64_t number) const {
    return impl_->read([&](Connection& data) { return read_entry(data, number); });
}

std::optional<Entry> Ledger::entry_of_form(std::string_view form) const {
    return impl_->read([&](Connection& data) -> std::optional<Entry> {
        Query query(data, "SELECT entry_id FROM entry WHERE form = ?");
        if (!query.text(form).next()) return std::nullopt;
        return read_entry(data, query.read_integer());
    });
}

std::vector<Entry> Ledger::touching(const Book& part, std::int64_t since) const {
    return impl_->read([&](Connection& data) { return read_touching(data, part, since); });
}

std::vector<LedgerFault> Ledger::verify() const {
    return impl_->read_aside([](Connection& data) { return find_faults(data, embedded_migrations()); });
}

std::vector<LedgerFault> Ledger::prove(const std::string& path) {
    demand_file(path);
    Connection connection(plain_path(path), OpenAs::read, path);
    const auto seen = migrations_seen(connection, embedded_migrations());
    auto faults = schema_faults(connection, embedded_migrations(), seen);
    return faults.empty() ? Ledger(path, Access::read).verify() : faults;
}

std::optional<Seal> Ledger::newest_seal() const {
    return impl_->read(store::newest_seal);
}

std::optional<std::int64_t> Ledger::entry_sealed(std::string_view digits) const {
    return impl_->read([&](Connection& data) { return store::entry_sealed(data, digits); });
}

void Ledger::backup(const std::string& path, Replace replace) const {
    write_backup(*impl_->connection, impl_->file, path, replace);
}

} // namespace lotwort
