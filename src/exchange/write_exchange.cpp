#include "record_writer.hpp"
#include <lotwort/exchange/exchange_file.hpp>

namespace lotwort {

void ExchangeWriter::begin(const Book& rest) {
    LOTWORT_CHECK(rest_ == nullptr);
    rest_ = &rest;
    writer_.begin_object().field("schema", "lotwort/exchange/1");
}

void ExchangeWriter::brew(const Brew& brew) {
    open("brews");
    write_record(writer_, brew);
    hand_on(1 << 16);
}

void ExchangeWriter::movement(const Movement& movement) {
    open("movements");
    write_record(writer_, movement);
    hand_on(1 << 16);
}

void ExchangeWriter::end() {
    close();
    write_up_to({});
    writer_.end_object();
    take_(std::move(writer_).text());
}

// The book's fields that stand before a list; all that are left where it names none.
void ExchangeWriter::write_up_to(std::string_view list) {
    LOTWORT_CHECK(rest_ != nullptr);
    std::size_t place = 0;
    bool there = false;
    for_each_exchange_field<Book>([&](const auto& f) {
        there = there || f.name == list;
        if (place++ < written_ || there) return;
        if (f.name != "brews" && f.name != "movements") write_field(writer_, *rest_, f);
        ++written_;
    });
}

void ExchangeWriter::open(std::string_view list) {
    if (open_ == list) return;
    close();
    write_up_to(list);
    writer_.key(list).begin_array();
    open_ = list;
}

void ExchangeWriter::close() {
    if (!open_.empty()) writer_.end_array();
    open_ = {};
}

void ExchangeWriter::hand_on(std::size_t most) {
    if (writer_.undrained() >= most) writer_.drain(take_);
}

std::string write_exchange(const Book& book) {
    std::string text;
    ExchangeWriter writer([&](std::string_view piece) { text += piece; });
    writer.begin(book);
    for (const Brew& brew : book.brews) writer.brew(brew);
    for (const Movement& movement : book.movements) writer.movement(movement);
    writer.end();
    return text;
}

} // namespace lotwort
