#include "record_reader.hpp"
#include <lotwort/exchange/exchange_file.hpp>
#include <set>

namespace lotwort {

namespace {

constexpr std::string_view schema_word = "lotwort/exchange/1";

// A document of another kind would only yield a list of unknown fields: its schema is looked at first.
void expect_schema(const Document& document, Faults& faults) {
    if (document[0].kind != NodeKind::object) {
        faults.add(0, "", "an exchange file is a record, { \"schema\": \"lotwort/exchange/1\", ... }");
        return faults.throw_if_any();
    }
    for (std::uint32_t name = 1; name < document[0].end; name = document[name + 1].end) {
        if (document.text(name) != "schema") continue;
        const std::uint32_t value = name + 1;
        const bool is_text = document[value].kind == NodeKind::text;
        if (is_text && document.text(value) == schema_word) return;
        faults.add(value, "schema",
                   is_text ? fmt::format("this program reads `{}`, not `{}`", schema_word, document.text(value))
                           : fmt::format("must be the text `{}`", schema_word));
        return faults.throw_if_any();
    }
    faults.add(0, "schema", fmt::format("is missing; an exchange file begins with \"schema\": \"{}\"", schema_word));
    faults.throw_if_any();
}

// r1, r2, ... by place; where a reading already bears that name, the next number nobody bears.
void number_readings(Brew& brew) {
    std::set<std::string, std::less<>> taken;
    for (const Reading& reading : brew.readings) taken.insert(reading.id);
    std::size_t spare = brew.readings.size();
    for (std::size_t i = 0; i < brew.readings.size(); ++i) {
        Reading& reading = brew.readings[i];
        if (!reading.id.empty()) continue;
        reading.id = fmt::format("r{}", i + 1);
        while (taken.contains(reading.id)) reading.id = fmt::format("r{}", ++spare);
        taken.insert(reading.id);
    }
}

// Brews and movements, of which a ledger of years has many: read one by one, as they come.
class LongLists final : public EntryTaker {
public:
    LongLists(RecordReader& reader, Book& book) : reader_(reader), book_(book) {}

    bool takes(std::string_view list) override {
        now_ = list == "brews" ? Now::brews : list == "movements" ? Now::movements : Now::none;
        return now_ != Now::none;
    }
    void take(std::uint32_t at, std::size_t index) override {
        if (now_ == Now::brews)
            brew_names_.push_back(reader_.read_entry(at, "brews", index, book_.brews.emplace_back()));
        else
            movement_names_.push_back(reader_.read_entry(at, "movements", index, book_.movements.emplace_back()));
    }
    void check_names() {
        reader_.check_names("brews", book_.brews, brew_names_);
        reader_.check_names("movements", book_.movements, movement_names_);
    }

private:
    enum class Now { none, brews, movements };
    RecordReader& reader_;
    Book& book_;
    Now now_ = Now::none;
    std::vector<std::uint64_t> brew_names_, movement_names_;
};

} // namespace

Book read_exchange(std::string_view text, std::string_view source) {
    Document document;
    Faults faults(document);
    RecordReader reader(document, faults);
    ExchangeDocument read;
    {
        LongLists lists(reader, read.book);
        parse_json(text, source, document, lists);
        Faults of_schema(document);
        expect_schema(document, of_schema);
        lists.check_names();
    }
    reader.read(0, read, 0);
    faults.throw_if_any();
    for (Brew& brew : read.book.brews) number_readings(brew);
    return std::move(read.book);
}

} // namespace lotwort
