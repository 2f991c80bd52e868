#include "booking.hpp"
#include "file/columns.hpp"
#include "names.hpp"

namespace lotwort::store {

std::int64_t write_entry(Connection& connection, const EntryHead& head) {
    check_text("entry", "by", head.by);
    check_text("entry", "what", head.what);
    check_text("entry", "why", head.why);
    Query query(connection,
                "INSERT INTO entry (kind, on_date, booked_at, by_name, what, why, form) VALUES (?, ?, ?, ?, ?, ?, ?)");
    query.text(word(head.kind)).text(to_iso(head.on)).text(head.booked_at);
    return query.text(head.by).text(head.what).text(head.why).text_or_null(head.form).run_new();
}

std::int64_t identity(Connection& connection, std::string_view table, std::string_view name_column,
                      std::string_view name) {
    Query known(connection, fmt::format("SELECT {0}_id FROM {0} WHERE {1} = ?", table, name_column));
    if (known.text(name).next()) return known.read_integer();
    Query added(connection, fmt::format("INSERT INTO {} ({}) VALUES (?)", table, name_column));
    return added.text(name).run_new();
}

void write_book(Connection& connection, std::int64_t entry, const Book& part) {
    check_names(connection, part);
    check_records(connection, part);
    write_definitions(connection, entry, part);
    const auto received = write_lots(connection, entry, part);
    write_offers_and_orders(connection, entry, part);
    write_plans(connection, entry, part);
    write_brews(connection, entry, part);
    write_packages(connection, entry, part);
    write_tanks(connection, entry, part);
    write_movements(connection, entry, part, received);
    refuse_circles(connection, part);
}

} // namespace lotwort::store
