#include "backup.hpp"
#include "booking.hpp"
#include "entries.hpp"
#include "migrate.hpp"
#include "place.hpp"
#include "seal.hpp"
#include "snapshot.hpp"
#include "verify.hpp"
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
    std::unique_ptr<Connection> brought_up_to_date; // an older ledger that is only read: a copy in memory

    // One picture of the ledger: no writer comes between the statements of one answer.
    template <class Answer>
    auto read(Answer&& answer) const {
        auto& data = brought_up_to_date ? *brought_up_to_date : *connection;
        return with_damage_told(data, embedded_migrations(), [&] {
            Transaction one_picture(data, Transaction::Kind::read);
            return answer(data);
        });
    }
};

namespace {

// A plain path, never one of SQLite's URIs or special names.
std::string plain_path(const std::string& path) {
    return fs::absolute(path).string();
}

// `path` as it was named, in messages too.
void check_file(const std::string& path) {
    std::error_code error;
    const auto status = fs::status(path, error);
    if (error && error != std::errc::no_such_file_or_directory && error != std::errc::not_a_directory)
        throw Error(ErrorKind::ledger, fmt::format("the ledger {} cannot be opened: {}", path, error.message()),
                    "look at who may read it, or name another file with --ledger");
    if (!fs::exists(status))
        throw Error(ErrorKind::ledger, fmt::format("there is no ledger {}", path),
                    "`lotwort init` makes one; --ledger PATH or LOTWORT_LEDGER names another");
    if (fs::is_directory(status))
        throw Error(ErrorKind::ledger, fmt::format("{} is no ledger, it is a folder", path),
                    "name a file in it with --ledger");
    if (!fs::is_regular_file(status))
        throw Error(ErrorKind::ledger, fmt::format("{} is no ledger, it is no plain file", path),
                    "name the right file with --ledger");
    if (::access(path.c_str(), R_OK) != 0)
        throw Error(ErrorKind::ledger, fmt::format("the ledger {} cannot be read", path),
                    "look at who may read it, or name another file with --ledger");
    if (fs::file_size(path, error) == 0)
        throw Error(ErrorKind::ledger, fmt::format("{} is no ledger, it is empty", path),
                    "name the right file with --ledger, or remove it and make a ledger with `lotwort init`");
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

bool is_empty(const Book& part, const MovementList& movements) {
    Book bare;
    bare.currency = part.currency;
    bare.movements = part.movements;
    return part == bare && movements.size() == 0;
}

constexpr std::size_t most_rehearsed_in_memory = 50'000; // movements

enum class Keep { yes, no };

template <class Write>
Entry write(Connection& connection, Keep keep, Write&& write_rows) {
    // a rehearsal keeps every page in memory until it is rolled back: the file is not touched
    connection.execute(keep == Keep::yes ? "PRAGMA cache_spill = ON" : "PRAGMA cache_spill = OFF");
    try {
        return with_damage_told(connection, embedded_migrations(), [&] {
            Transaction transaction(connection, Transaction::Kind::write);
            const auto ends = keep == Keep::yes ? std::optional<TableEnds>(connection) : std::nullopt;
            const std::int64_t number = write_rows();
            if (ends) ends->seal(connection, number);
            auto entry = read_entry(connection, number);
            LOTWORT_CHECK(entry);
            if (keep == Keep::yes) transaction.commit();
            return *entry;
        });
    } catch (const Constraint& rule) {
        refuse(rule);
    }
}

Entry write_part(Connection& connection, Keep keep, const Book& part, const MovementList& movements,
                 const EntryHead& head) {
    LOTWORT_CHECK(head.kind != EntryKind::reverse && head.kind != EntryKind::init);
    if (is_empty(part, movements)) throw Error(ErrorKind::refused, "there is nothing to book");
    return write(connection, keep, [&] {
        const auto currency = read_currency(connection);
        if (!part.currency.empty() && part.currency != currency)
            throw Error(ErrorKind::refused,
                        fmt::format("prices in {} cannot be booked: the ledger is in {}", part.currency, currency));
        const auto entry = write_entry(connection, head);
        write_book(connection, entry, part, movements);
        return entry;
    });
}

Entry write_part(Connection& connection, Keep keep, const Book& part, const EntryHead& head) {
    return write_part(connection, keep, part, HeldMovements(part.movements), head);
}

Entry write_part(Connection& connection, Keep keep, const LongBook& part, const EntryHead& head) {
    LOTWORT_CHECK(part.rest.movements.empty());
    return write_part(connection, keep, part.rest, *part.movements, head);
}

Book read_definitions(Connection& data) {
    Book book;
    book.currency = read_currency(data);
    book.items = read_items(data);
    book.instruments = read_instruments(data);
    book.brewhouses = read_brewhouses(data);
    book.recipes = read_recipes(data);
    book.suppliers = read_suppliers(data);
    book.offers = read_offers(data);
    book.orders = read_orders(data);
    return book;
}

void make_ledger(const std::string& file, const std::string& name, std::string_view currency, EntryHead head) {
    Connection connection(file, OpenAs::create, name);
    migrate(connection, embedded_migrations());
    head.kind = EntryKind::init;
    write(connection, Keep::yes, [&] {
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
    check_file(path);
    const bool writes = access == Access::write;
    impl_->connection = std::make_unique<Connection>(impl_->file, writes ? OpenAs::write : OpenAs::read, path);
    auto& connection = *impl_->connection;
    const bool older = with_damage_told(connection, embedded_migrations(),
                                        [&] { return is_older(connection, embedded_migrations()); });
    if (writes && sqlite3_db_readonly(connection.handle(), "main") != 0) connection.fail(SQLITE_READONLY);
    if (writes) connection.execute("PRAGMA journal_mode = DELETE"); // another tool may have left another
    if (!older) return;
    if (writes) {
        migrate(connection, embedded_migrations());
        return;
    }
    impl_->brought_up_to_date = std::make_unique<Connection>(":memory:", OpenAs::create, path);
    copy_pages(connection, *impl_->brought_up_to_date);
    migrate(*impl_->brought_up_to_date, embedded_migrations());
}

Ledger::~Ledger() = default;
Ledger::Ledger(Ledger&&) noexcept = default;
Ledger& Ledger::operator=(Ledger&&) noexcept = default;

Entry Ledger::append(const Book& part, const EntryHead& head) {
    return write_part(*impl_->connection, Keep::yes, part, head);
}

Entry Ledger::append(const LongBook& part, const EntryHead& head) {
    return write_part(*impl_->connection, Keep::yes, part, head);
}

Entry Ledger::rehearse(const LongBook& part, const EntryHead& head) {
    if (part.movements->size() < most_rehearsed_in_memory) return write_part(*impl_->connection, Keep::no, part, head);
    // booked into a copy that nobody else sees, which SQLite lays on the disk as far as it is long
    Connection copy("", OpenAs::create, impl_->connection->name());
    impl_->read([&](Connection& data) { copy_pages(data, copy); });
    return write_part(copy, Keep::yes, part, head);
}

Entry Ledger::rehearse(const Book& part, const EntryHead& head) {
    return write_part(*impl_->connection, Keep::no, part, head);
}

Entry Ledger::reverse(std::int64_t number, const EntryHead& head) {
    auto& connection = *impl_->connection;
    return write(connection, Keep::yes, [&] { return write_reversal(connection, number, head); });
}

Entry Ledger::rehearse_reverse(std::int64_t number, const EntryHead& head) {
    auto& connection = *impl_->connection;
    return write(connection, Keep::no, [&] { return write_reversal(connection, number, head); });
}

std::string Ledger::currency() const {
    return impl_->read(read_currency);
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

std::vector<LotState> Ledger::lots_harvested(std::string_view brew) const {
    return impl_->read([&](Connection& data) {
        std::vector<LotState> lots;
        Query codes(data, "SELECT code FROM lot_now WHERE harvested_from = ? ORDER BY received, code");
        codes.text(brew);
        while (codes.next()) lots.push_back(read_lots(data, codes.read_text()).at(0));
        return lots;
    });
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

std::vector<Plan> Ledger::plans() const {
    return impl_->read([](Connection& data) { return read_plans(data, Plans::all); });
}

Book Ledger::book() const {
    class Collected final : public BookSink {
    public:
        void begin(const Book& rest) override { book = rest; }
        void brew(const Brew& brew) override { book.brews.push_back(brew); }
        void movement(const Movement& movement) override { book.movements.push_back(movement); }
        void end() override {}
        Book book;
    } collected;
    book_to(collected);
    return std::move(collected.book);
}

void Ledger::book_to(BookSink& sink) const {
    impl_->read([&](Connection& data) {
        Book rest = read_definitions(data);
        for (auto& state : read_lots(data)) rest.lots.push_back(std::move(state.lot));
        rest.plans = read_plans(data, Plans::all);
        sink.begin(rest);
        for_each_brew(data, [&](const Brew& brew) { sink.brew(brew); });
        for_each_other_movement(data, [&](const Movement& movement) { sink.movement(movement); });
        sink.end();
    });
}

std::vector<Entry> Ledger::history(const HistoryFilter& filter) const {
    return impl_->read([&](Connection& data) { return read_history(data, filter); });
}

std::optional<Entry> Ledger::entry(std::int64_t number) const {
    return impl_->read([&](Connection& data) { return read_entry(data, number); });
}

std::vector<LedgerFault> Ledger::verify() const {
    return impl_->read([](Connection& data) { return find_faults(data, embedded_migrations()); });
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
