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

// Where each record of its lists begins, or its name.
void note(const Document& document, Places& places) {
    for_each_exchange_field<Book>([&]<class Value>(const Field<Book, Value>& f) {
        if constexpr (is_list<Value>) {
            const std::uint32_t list = document.find(0, f.name);
            if (list == 0) return;
            auto& starts = places.starts[std::string(f.name)];
            for (std::uint32_t at = list + 1; at < document[list].end; at = document[at].end)
                starts.push_back(document.start_of(document.find(at, NameOf<typename Value::value_type>::field)));
        }
    });
}

} // namespace

std::string Places::of(std::string_view list, std::size_t index) const {
    const auto known = starts.find(list);
    if (known == starts.end() || index >= known->second.size()) return {};
    const Place place = place_in(text, known->second[index]);
    return fmt::format(":{}:{}", place.line, place.column);
}

Book read_exchange(std::string_view text, std::string_view source, Places* places) {
    const Document document = parse_json(text, source);
    Faults faults(document);
    expect_schema(document, faults);
    ExchangeDocument read;
    RecordReader(document, faults).read(0, read);
    faults.throw_if_any();
    for (Brew& brew : read.book.brews) number_readings(brew);
    if (places != nullptr) {
        places->text = text;
        note(document, *places);
    }
    return std::move(read.book);
}

} // namespace lotwort
