#include "record_writer.hpp"
#include <lotwort/exchange/exchange_file.hpp>

namespace lotwort {

std::string write_exchange(const Book& book) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/exchange/1");
    write_fields(w, book);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort
