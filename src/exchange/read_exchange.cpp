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

// Brews and movements, of which a ledger of years has many: read one by one, as they come.
class LongLists final : public EntryTaker {
public:
    LongLists(const Document& document, RecordReader& reader, std::vector<Brew>& brews, LaidMovements& movements,
              const Passed& passed)
        : document_(document), reader_(reader), brews_(brews), movements_(movements), passed_(passed) {}

    bool takes(std::string_view list) override {
        now_ = list == "brews" ? Now::brews : list == "movements" ? Now::movements : Now::none;
        return now_ != Now::none;
    }
    void take(std::uint32_t at, std::size_t index) override {
        if (now_ == Now::brews)
            brew_names_.push_back(reader_.read_entry(at, "brews", index, brews_.emplace_back()));
        else
            take_movement(at, index);
        if (passed_ && ++since_passed_ == entries_between) {
            passed_(document_.start_of(at));
            since_passed_ = 0;
        }
    }
    void check_names() {
        reader_.check_names("brews", brews_, brew_names_);
        for_each_double_id(movements_, [&](const DoubleId& found) {
            reader_.double_name<Movement>("movements", found.index, movements_.start_of(found.place), found.id,
                                          found.first);
        });
    }

    [[nodiscard]] const std::vector<std::uint64_t>& brew_names() const { return brew_names_; }

private:
    enum class Now { none, brews, movements };
    static constexpr std::size_t entries_between = 4096;

    void take_movement(std::uint32_t at, std::size_t index) {
        movement_ = Movement();
        const std::uint64_t start = reader_.read_entry(at, "movements", index, movement_);
        if (movement_.id) reader_.check_name<Movement>("movements", index, start, *movement_.id);
        movements_.add(movement_, start);
    }

    const Document& document_;
    RecordReader& reader_;
    std::vector<Brew>& brews_;
    LaidMovements& movements_;
    const Passed& passed_;
    Movement movement_;
    Now now_ = Now::none;
    std::size_t since_passed_ = 0;
    std::vector<std::uint64_t> brew_names_;
};

// Of all lists but brews and movements, whose nodes are gone.
void note_places(const Document& document, Places& places) {
    for (std::uint32_t name = 1; name < document[0].end; name = document[name + 1].end) {
        const std::uint32_t list = name + 1;
        if (document[list].kind != NodeKind::array || document[list].end == list + 1) continue;
        auto& starts = places.starts[std::string(document.text(name))];
        for (std::uint32_t entry = list + 1; entry < document[list].end; entry = document[entry].end) {
            const std::uint32_t called = document.find(entry, "name");
            starts.push_back(document.start_of(called != entry ? called : document.find(entry, "code")));
        }
    }
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
        LongLists lists(document, reader, read.book.brews, *movements, passed);
        parse_json(text, source, document, lists, passed);
        Faults of_schema(document);
        expect_schema(document, of_schema);
        lists.check_names();
        if (places != nullptr) places->starts["brews"] = lists.brew_names();
    }
    reader.read(0, read, 0);
    faults.throw_if_any();
    for (Brew& brew : read.book.brews) number_readings(brew);
    if (places != nullptr) {
        places->text = text;
        note_places(document, *places);
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
