#include "laid_movements.hpp"
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

// The lists of a document, which may be long: read entry by entry, as they come.
class Lists final : public EntryTaker {
public:
    Lists(const Document& document, const Faults& faults, RecordReader& reader, Book& book, LaidMovements& movements,
          const Passed& passed)
        : document_(document), faults_(faults), reader_(reader), book_(book), movements_(movements), passed_(passed) {}

    bool takes(std::string_view list) override {
        if (list == "offers") return false;        // what one says against another is told with its field's place
        take_ = [](std::uint32_t, std::size_t) {}; // a list that nobody knows is told of by its name
        if (list == "movements") take_ = [this](std::uint32_t at, std::size_t index) { take_movement(at, index); };
        for_each_list([&](std::string_view name, auto& records) {
            if (name == list) take_ = taker_of(name, records);
        });
        return true;
    }
    void take(std::uint32_t at, std::size_t index) override {
        take_(at, index);
        if (passed_ && ++since_passed_ == entries_between) {
            passed_(document_.start_of(at));
            since_passed_ = 0;
        }
    }
    void check_names() {
        for_each_list([&]<class Record>(std::string_view name, const std::vector<Record>& records) {
            if constexpr (is_named<Record>) reader_.check_names(name, records, starts_[std::string(name)]);
        });
        for_each_double_id(movements_, [&](const DoubleId& found) {
            reader_.double_name<Movement>("movements", found.index, movements_.start_of(found.place), found.id,
                                          found.first);
        });
    }
    // Of each list but movements, where its entries begin, or their names.
    [[nodiscard]] auto& starts() { return starts_; }

private:
    using Take = std::function<void(std::uint32_t at, std::size_t index)>;
    static constexpr std::size_t entries_between = 4096;

    template <class Look>
    void for_each_list(Look&& look) {
        for_each_exchange_field<Book>([&]<class Value>(const Field<Book, Value>& f) {
            if constexpr (is_list<Value> && !std::is_same_v<Value, std::vector<Movement>>)
                look(f.name, book_.*f.member);
        });
    }
    template <class Record>
    Take taker_of(std::string_view name, std::vector<Record>& records) {
        auto& starts = starts_[std::string(name)];
        return [this, name, &records, &starts](std::uint32_t at, std::size_t index) {
            const std::uint64_t start = reader_.read_entry(at, name, index, records.emplace_back());
            if (faults_.is_hopeless())
                records.pop_back();
            else
                starts.push_back(start);
        };
    }
    void take_movement(std::uint32_t at, std::size_t index) {
        movement_ = Movement();
        const std::uint64_t start = reader_.read_entry(at, "movements", index, movement_);
        if (movement_.id) reader_.check_name<Movement>("movements", index, start, *movement_.id);
        if (!faults_.is_hopeless()) movements_.add(movement_, start);
    }

    const Document& document_;
    const Faults& faults_;
    RecordReader& reader_;
    Book& book_;
    LaidMovements& movements_;
    const Passed& passed_;
    Movement movement_;
    Take take_;
    std::size_t since_passed_ = 0;
    std::map<std::string, std::vector<std::uint64_t>, std::less<>> starts_;
};

// Of the one list that was not taken.
void note_offers(const Document& document, Places& places) {
    const std::uint32_t list = document.find(0, "offers");
    if (list == 0 || document[list].kind != NodeKind::array) return;
    auto& starts = places.starts["offers"];
    for (std::uint32_t offer = list + 1; offer < document[list].end; offer = document[offer].end)
        starts.push_back(document.start_of(offer));
}

std::string place_text(std::string_view text, std::uint64_t start) {
    const Place place = place_in(text, start);
    return fmt::format(":{}:{}", place.line, place.column);
}

} // namespace

std::string Places::of(std::string_view list, std::size_t index) const {
    const auto known = starts.find(list);
    return known != starts.end() && index < known->second.size() ? place_text(text, known->second[index]) : "";
}

std::string Places::of_movement(std::uint64_t place) const {
    return start_of_movement ? place_text(text, start_of_movement(place)) : "";
}

LongBook read_long_exchange(std::string_view text, std::string_view source, const Passed& passed, Places* places) {
    Document document;
    Faults faults(document);
    RecordReader reader(document, faults);
    ExchangeDocument read;
    const auto movements = std::make_shared<LaidMovements>();
    {
        Lists lists(document, faults, reader, read.book, *movements, passed);
        parse_json(text, source, document, lists, passed);
        Faults of_schema(document);
        expect_schema(document, of_schema);
        lists.check_names();
        if (places != nullptr) places->starts = std::move(lists.starts());
    }
    reader.read(0, read, 0);
    faults.throw_if_any();
    for (Brew& brew : read.book.brews) number_readings(brew);
    if (places != nullptr) {
        places->text = text;
        note_offers(document, *places);
        places->start_of_movement = [movements](std::uint64_t place) { return movements->start_of(place); };
    }
    return {std::move(read.book), movements};
}

Book read_exchange(std::string_view text, std::string_view source) {
    LongBook read = read_long_exchange(text, source);
    read.rest.movements.reserve(read.movements->size());
    read.movements->for_each(
        [&](const Movement& movement, std::uint64_t /*place*/) { read.rest.movements.push_back(movement); });
    return std::move(read.rest);
}

} // namespace lotwort
