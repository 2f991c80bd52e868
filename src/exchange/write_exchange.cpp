#include "record_writer.hpp"
#include <lotwort/exchange/exchange_file.hpp>

namespace lotwort {

std::string write_exchange(const Book& book) {
    JsonWriter w(1, JsonWriter::Digits::exact);
    w.begin_object().field("schema", "lotwort/exchange/1");
    write_fields(w, book);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort
