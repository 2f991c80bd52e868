#include "seal.hpp"
#include "sha256.hpp"
#include <algorithm>
#include <array>
#include <bit>
#include <fmt/format.h>
#include <iterator>
#include <memory>
#include <optional>
#include <span>
#include <sqlite3.h>

namespace lotwort::store {

namespace {

// Where an entry's rows lie. All of them are sealed in this order, each table's by its key.
struct Source {
    std::string_view table;
    std::string_view key;     // grows with each row that is booked
    std::string_view order;   // rows of one key in their order; empty: one row a key
    std::string_view columns; // beside the table's own: the name that a row is about
    std::string_view joins;   // to that name, and to the entry where the row itself does not say it
    std::string_view entry = "entry_id";
};

constexpr std::string_view by_position = "position";

constexpr std::array sources{
    Source{"entry", "entry_id", "", "", ""},
    Source{"reversal", "entry_id", "", "", ""},
    Source{"item_version", "item_version_id", "", "item.name AS of_item", "JOIN item USING (item_id)"},
    Source{"stand_in", "item_version_id", by_position, "", "JOIN item_version AS parent USING (item_version_id)",
           "parent.entry_id"},
    Source{"instrument_version", "instrument_version_id", "", "instrument.name AS of_instrument",
           "JOIN instrument USING (instrument_id)"},
    Source{"brewhouse_version", "brewhouse_version_id", "", "brewhouse.name AS of_brewhouse",
           "JOIN brewhouse USING (brewhouse_id)"},
    Source{"vessel", "vessel_id", "", "", "JOIN brewhouse_version AS parent USING (brewhouse_version_id)",
           "parent.entry_id"},
    Source{"dip_mark", "vessel_id", by_position, "",
           "JOIN vessel USING (vessel_id) JOIN brewhouse_version AS parent USING (brewhouse_version_id)",
           "parent.entry_id"},
    Source{"recipe_version", "recipe_version_id", "", "recipe.name AS of_recipe", "JOIN recipe USING (recipe_id)"},
    Source{"recipe_grist", "recipe_version_id", by_position, "",
           "JOIN recipe_version AS parent USING (recipe_version_id)", "parent.entry_id"},
    Source{"recipe_hop", "recipe_version_id", by_position, "",
           "JOIN recipe_version AS parent USING (recipe_version_id)", "parent.entry_id"},
    Source{"recipe_other", "recipe_version_id", by_position, "",
           "JOIN recipe_version AS parent USING (recipe_version_id)", "parent.entry_id"},
    Source{"supplier_version", "supplier_version_id", "", "supplier.name AS of_supplier",
           "JOIN supplier USING (supplier_id)"},
    Source{"closed_weekday", "supplier_version_id", by_position, "",
           "JOIN supplier_version AS parent USING (supplier_version_id)", "parent.entry_id"},
    Source{"lot_detail", "lot_detail_id", "", "lot.code AS of_lot, lot.measure AS of_measure",
           "JOIN lot USING (lot_id)"},
    Source{"certificate", "lot_detail_id", "", "", "JOIN lot_detail AS parent USING (lot_detail_id)",
           "parent.entry_id"},
    Source{"retest", "retest_id", "", "", ""},
    Source{"lot_hold", "lot_hold_id", "", "", ""},
    Source{"offer_version", "offer_version_id", "",
           "offer.supplier AS of_supplier, offer.item AS of_item, offer.pack_kg AS of_pack_kg, offer.pack_l AS "
           "of_pack_l, offer.pack_count AS of_pack_count",
           "JOIN offer USING (offer_id)"},
    Source{"price_step", "offer_version_id", by_position, "", "JOIN offer_version AS parent USING (offer_version_id)",
           "parent.entry_id"},
    Source{"purchase_order_version", "purchase_order_version_id", "", "purchase_order.code AS of_order",
           "JOIN purchase_order USING (purchase_order_id)"},
    Source{"order_line", "purchase_order_version_id", by_position, "",
           "JOIN purchase_order_version AS parent USING (purchase_order_version_id)", "parent.entry_id"},
    Source{"order_receipt", "purchase_order_version_id", by_position, "",
           "JOIN purchase_order_version AS parent USING (purchase_order_version_id)", "parent.entry_id"},
    Source{"plan_version", "plan_version_id", "", "plan.code AS of_plan", "JOIN plan USING (plan_id)"},
    Source{"reservation", "plan_version_id", by_position, "", "JOIN plan_version AS parent USING (plan_version_id)",
           "parent.entry_id"},
    Source{"instrument_check", "instrument_version_id", by_position, "",
           "JOIN instrument_version AS parent USING (instrument_version_id)", "parent.entry_id"},
    Source{"awaited", "plan_version_id", by_position, "", "JOIN plan_version AS parent USING (plan_version_id)",
           "parent.entry_id"},
    Source{"brew_head", "brew_head_id", "", "brew.code AS of_brew", "JOIN brew USING (brew_id)"},
    Source{"reading", "reading_id", "", "", ""},
    Source{"reading_status", "reading_status_id", "", "", ""},
    Source{"movement", "movement_id", "", "", ""},
    Source{"lot_source", "lot_detail_id", by_position, "", "JOIN lot_detail AS parent USING (lot_detail_id)",
           "parent.entry_id"},
    Source{"lot_opening", "lot_opening_id", "", "", ""},
    Source{"brew_end", "brew_end_id", "", "", ""},
    Source{"package_run", "package_run_id", "", "package.code AS of_package", "JOIN package USING (package_id)"},
    Source{"package_sent", "package_sent_id", "", "package.code AS of_package", "JOIN package USING (package_id)"},
    Source{"tank_version", "tank_version_id", "", "tank.name AS of_tank", "JOIN tank USING (tank_id)"},
};

// The entry, then the columns that are hashed.
std::string rows_of(const Source& source) {
    const bool own = source.entry == "entry_id";
    return fmt::format("SELECT {}{}, {}.*{}{} FROM {} {}", own ? fmt::format("{}.", source.table) : std::string(),
                       source.entry, source.table, source.columns.empty() ? "" : ", ", source.columns, source.table,
                       source.joins);
}

std::string order_in(const Source& source) {
    return fmt::format("{0}.{1}{2}{3}", source.table, source.key,
                       source.order.empty() ? std::string() : fmt::format(", {}.", source.table), source.order);
}

// The text that is hashed. Names, kinds and lengths stand in it, so that no two contents give one text; what is
// NULL is left out, so that a column added later changes no seal.
class Content {
public:
    void begin(std::string_view before) { add(before); }
    void row(std::string_view table, sqlite3_stmt* statement) {
        text_ += table;
        text_ += '\n';
        const int columns = sqlite3_column_count(statement);
        for (int i = 1; i < columns; ++i) value(statement, i);
        if (text_.size() > 60'000) flush();
    }
    [[nodiscard]] std::string seal() {
        flush();
        return hash_.hex();
    }
    void add(std::string_view text) {
        text_ += text;
        text_ += '\n';
    }

private:
    void flush() {
        hash_.add(text_);
        text_.clear();
    }
    void value(sqlite3_stmt* statement, int i) {
        const int type = sqlite3_column_type(statement, i);
        if (type == SQLITE_NULL) return;
        text_ += sqlite3_column_name(statement, i);
        const auto out = std::back_inserter(text_);
        if (type == SQLITE_INTEGER) {
            fmt::format_to(out, " {}\n", sqlite3_column_int64(statement, i));
            return;
        }
        if (type == SQLITE_FLOAT) {
            fmt::format_to(out, " r{:016x}\n", std::bit_cast<std::uint64_t>(sqlite3_column_double(statement, i)));
            return;
        }
        const auto* bytes = static_cast<const char*>(sqlite3_column_blob(statement, i));
        const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement, i));
        fmt::format_to(out, " {}{}:", type == SQLITE_TEXT ? 't' : 'b', size);
        if (bytes != nullptr) text_.append(bytes, size);
        text_ += '\n';
    }

    std::string text_;
    Sha256 hash_;
};

// The currency stands under no entry of its own; the entry that made the ledger answers for it.
void add_currency(Connection& connection, std::int64_t entry, Content& content) {
    if (entry != 1) return;
    Query query(connection, "SELECT currency FROM ledger");
    if (query.next()) content.add("currency " + query.read_text());
}

std::string seal_before(Connection& connection, std::int64_t entry) {
    Query query(connection, "SELECT sha256 FROM seal WHERE entry_id < ? ORDER BY entry_id DESC LIMIT 1");
    if (!query.integer(entry).next()) return {};
    return query.read_text();
}

void write_seal(Connection& connection, std::int64_t entry, const std::string& seal) {
    Query query(connection, "INSERT INTO seal (entry_id, sha256) VALUES (?, ?)");
    query.integer(entry).text(seal).run();
}

std::vector<std::int64_t> ends_now(Connection& connection) {
    std::string columns;
    for (const auto& source : sources)
        columns +=
            fmt::format("{}ifnull((SELECT max({}) FROM {}), 0)", columns.empty() ? "" : ", ", source.key, source.table);
    Query query(connection, "SELECT " + columns);
    LOTWORT_CHECK(query.next());
    std::vector<std::int64_t> ends;
    for (std::size_t i = 0; i < sources.size(); ++i) ends.push_back(query.read_integer());
    return ends;
}

// All entries' contents one after the other, each table read once.
class AllContents {
public:
    explicit AllContents(Connection& connection) : connection_(connection) {
        for (const auto& source : sources) {
            auto& rows = tables_.emplace_back(std::make_unique<Query>(
                connection, fmt::format("{} ORDER BY {}, {}", rows_of(source), entry_of(source), order_in(source))));
            at_.push_back(rows->next() ? std::optional(rows->read_integer()) : std::nullopt);
        }
    }
    // Entries are asked for in rising order.
    [[nodiscard]] std::string seal(std::int64_t entry, const std::string& before) {
        Content content;
        content.begin(before);
        add_currency(connection_, entry, content);
        for (std::size_t i = 0; i < tables_.size(); ++i)
            for (auto& at = at_[i]; at && *at <= entry; step(i))
                if (*at == entry) content.row(sources[i].table, tables_[i]->statement());
        return content.seal();
    }

private:
    static std::string entry_of(const Source& source) {
        return source.entry == "entry_id" ? fmt::format("{}.entry_id", source.table) : std::string(source.entry);
    }
    void step(std::size_t i) { at_[i] = tables_[i]->next() ? std::optional(tables_[i]->read_integer()) : std::nullopt; }

    Connection& connection_;
    std::vector<std::unique_ptr<Query>> tables_;
    std::vector<std::optional<std::int64_t>> at_; // the entry of the row each table is at
};

} // namespace

TableEnds::TableEnds(Connection& connection) : ends_(ends_now(connection)) {}

void TableEnds::seal(Connection& connection, std::int64_t entry) const {
    Content content;
    content.begin(seal_before(connection, entry));
    add_currency(connection, entry, content);
    const auto now = ends_now(connection);
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (now[i] == ends_[i]) continue;
        const auto& source = sources[i];
        Query rows(connection, fmt::format("{} WHERE {}.{} > ? ORDER BY {}", rows_of(source), source.table, source.key,
                                           order_in(source)));
        rows.integer(ends_[i]);
        while (rows.next()) content.row(source.table, rows.statement());
    }
    write_seal(connection, entry, content.seal());
}

std::optional<Seal> newest_seal(Connection& connection) {
    Query query(connection, "SELECT entry_id, sha256 FROM seal ORDER BY entry_id DESC LIMIT 1");
    if (!query.next()) return std::nullopt;
    Seal seal;
    seal.entry = query.read_integer();
    seal.digits = query.read_text();
    return seal;
}

std::optional<std::int64_t> entry_sealed(Connection& connection, std::string_view digits) {
    Query query(connection, "SELECT entry_id FROM seal WHERE substr(sha256, 1, length(?1)) = ?1 LIMIT 1");
    if (!query.text(digits).next()) return std::nullopt;
    return query.read_integer();
}

void check_seals(Connection& connection, std::vector<LedgerFault>& faults) {
    AllContents contents(connection);
    Query entries(connection, "SELECT entry_id, sha256 FROM entry LEFT JOIN seal USING (entry_id) ORDER BY entry_id");
    std::string before;
    while (entries.next()) {
        const auto entry = entries.read_integer();
        const auto sealed = entries.read_text_or_null();
        if (!sealed) {
            faults.push_back({fmt::format("entry {}", entry), "it bears no seal: another program booked it"});
            continue;
        }
        if (contents.seal(entry, before) != *sealed)
            faults.push_back({fmt::format("entry {}", entry), "it is not as it was booked: its rows, or a seal, were "
                                                              "changed behind the program's back"});
        before = *sealed;
    }
}

} // namespace lotwort::store
