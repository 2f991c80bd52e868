#include "readings.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <limits>
#include <lotwort/core/format.hpp>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>

namespace lotwort::verbs {

namespace {

constexpr double most_of_brewhouse = 5.0; // a volume beyond so many brewhouses is a slip of the point

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

bool is_ph(const std::string& word) {
    return word.size() > 2 && (word[0] == 'p' || word[0] == 'P') && (word[1] == 'h' || word[1] == 'H') &&
           !is_letter(word[2]) && word[2] != '-';
}

// gap1.2mm
bool is_gap(const std::string& word) {
    return word.size() > 3 && word.starts_with("gap") && !is_letter(word[3]) && word[3] != '-';
}

// The number of pH5.4, or of 5.4pH as some write it; empty: it is none.
std::string ph_number(const std::string& word) {
    if (is_ph(word)) return word.substr(2);
    const auto size = word.size();
    const bool ends_so = size > 2 && (word[size - 2] == 'p' || word[size - 2] == 'P') &&
                         (word[size - 1] == 'H' || word[size - 1] == 'h');
    return ends_so && !is_letter(word[0]) ? word.substr(0, size - 2) : std::string();
}

bool is_liquor(ReadingPoint point) {
    return point == ReadingPoint::strike_liquor || point == ReadingPoint::sparge_liquor ||
           point == ReadingPoint::top_up;
}

std::string point_words() {
    return fmt::format("{}", fmt::join(WordsOf<ReadingPoint>::list, ", "));
}

ReadingPoint parse_point(const std::string& word) {
    if (const auto point = from_word<ReadingPoint>(word)) return *point;
    const std::vector<std::string> names(WordsOf<ReadingPoint>::list.begin(), WordsOf<ReadingPoint>::list.end());
    const std::string near = did_you_mean(word, names);
    throw Error(ErrorKind::refused, fmt::format("`{}` is no point of the brew", word),
                near.empty() ? "points are " + point_words() : near);
}

int next_number(const std::vector<Reading>& readings) {
    std::vector<std::string> ids;
    for (const auto& reading : readings) ids.push_back(reading.id);
    return std::stoi(next_code("r", ids).substr(1));
}

[[noreturn]] void refuse(const std::string& word, const std::string& why, const std::string& hint) {
    throw Error(ErrorKind::refused, fmt::format("`{}` {}", word, why), hint);
}

// One point's words gathered into readings.
class Gatherer {
public:
    Gatherer(const ReadingPlace& place, std::vector<Reading>& out)
        : place_(place), out_(out), next_(next_number(place.brew.readings)) {}

    void begin(ReadingPoint point) {
        point_ = point;
        fresh_ = true;
    }
    void take(const std::string& word);
    [[nodiscard]] bool has_point() const { return point_.has_value(); }
    [[nodiscard]] bool is_empty() const { return fresh_; }

private:
    Reading& open();
    Reading& open_for_volume();
    Reading& open_for_gravity();
    void take_volume(const std::string& word, const Typed& typed);
    void take_depth(const std::string& word, const Typed& typed);
    void take_gravity(const std::string& word, const Typed& typed);
    void take_temperature(const std::string& word, const Typed& typed);
    void take_gap(const std::string& word);
    void take_bitterness(const std::string& word, BitternessUnits units);
    [[nodiscard]] Range believable_litres() const;
    void demand_believable_volume(const std::string& word, double litres) const;
    [[noreturn]] void refuse_bare(const std::string& word, double value) const;

    const ReadingPlace& place_;
    std::vector<Reading>& out_;
    int next_;
    std::optional<ReadingPoint> point_;
    bool fresh_ = true; // the point has no reading yet
};

Reading& Gatherer::open() {
    if (fresh_) {
        Reading reading;
        reading.id = fmt::format("r{}", next_++);
        reading.point = *point_;
        out_.push_back(std::move(reading));
        fresh_ = false;
    }
    return out_.back();
}

bool has_volume(const Reading& r) {
    return r.volume || r.depth || r.mass;
}
bool has_gravity(const Reading& r) {
    return r.gravity_sg || r.gravity_plato || r.brix;
}

// A temperature between readings is the temperature of one of them, and which is not said.
void demand_no_temperature(const Reading& r, const std::string& word) {
    if (!r.temperature || word.find('@') != std::string::npos) return;
    refuse(word,
           fmt::format("stands beside {} °C, and it is not said whether it was read at that",
                       readable(r.temperature->value())),
           fmt::format("write {}@{}C if it was; else name the point again before the temperature", word,
                       readable(r.temperature->value())));
}

Reading& Gatherer::open_for_volume() {
    if (!fresh_ && has_volume(out_.back())) fresh_ = true;
    return open();
}

Reading& Gatherer::open_for_gravity() {
    if (!fresh_ && has_gravity(out_.back())) fresh_ = true;
    return open();
}

// Some points may have had nothing; the least of the others is as good as that.
Range Gatherer::believable_litres() const {
    const bool may_be_nothing = point_ == ReadingPoint::top_up || point_ == ReadingPoint::sparge_liquor;
    return {may_be_nothing ? 0.0 : std::numeric_limits<double>::min(),
            most_of_brewhouse * place_.brewhouse.volume.value()};
}

void Gatherer::demand_believable_volume(const std::string& word, double litres) const {
    const Range believable = believable_litres();
    if (!believable.holds(litres))
        refuse(word,
               fmt::format("is not believable at {} of {}, which brews {} L", lotwort::word(*point_),
                           place_.brewhouse.name, readable(place_.brewhouse.volume.value())),
               fmt::format("more than 0 and up to {} L is taken; write what was read, such as {}L@95C",
                           readable(believable.most), readable(place_.brewhouse.volume.value())));
}

// 1.47 is said of 47 points; 1.2465 of none.
std::string said_as_gravity(const std::string& number, double value) {
    const auto point = number.find('.');
    return number.size() - std::min(point, number.size()) <= 3 ? points_as_gravity(value)
                                                               : "write what was read, such as 1.048";
}

// A number alone may be one of several readings: those are offered that would be booked at this point.
void Gatherer::refuse_bare(const std::string& word, double value) const {
    const std::string number = word.substr(0, word.find('@')), at = word.substr(number.size());
    std::vector<std::string> offers;
    if (believable_litres().holds(value)) offers.push_back(number + "L" + at);
    if (value > 1.2 && value < 2.0 && !is_liquor(*point_))
        refuse(word, "is no gravity of wort, which lies between 0.98 and 1.2",
               fmt::format("{}{}{}", said_as_gravity(number, value), at,
                           offers.empty() ? "" : "; a volume has its unit: " + offers.front()));
    if (value >= 980.0 && value <= 1200.0 && !is_liquor(*point_))
        refuse(word, "is a number without a unit",
               fmt::format("write {:.6g}{} for a gravity{}", value / 1000.0, at,
                           offers.empty() ? "" : "; a volume has its unit: " + offers.front()));
    if (believable_plato.holds(value) && !is_liquor(*point_)) offers.push_back(number + "P" + at);
    if (range_of<Reading>("temperature_c").holds(value) && at.empty()) offers.push_back(number + "C");
    if (believable_litres().holds(value) && at.empty()) offers.push_back(number + "kg");
    refuse(word, "is a number without a unit",
           offers.empty() ? "write its unit, such as 28L, 12P or 65C"
                          : fmt::format("write {}", fmt::join(offers, " or ")));
}

void demand_temperature_of(const std::string& word, const std::optional<Celsius>& at, Range range) {
    if (at && !range.holds(at->value()))
        refuse(word, fmt::format("was not read at {} °C", readable(at->value())),
               fmt::format("the temperature lies between {} and {} °C", readable(range.least), readable(range.most)));
}

void Gatherer::take_volume(const std::string& word, const Typed& typed) {
    demand_temperature_of(word, typed.at, range_of<Reading>("volume_at_c"));
    if (const auto* mass = std::get_if<Kilograms>(&typed.value)) {
        if (typed.at) refuse(word, "is a weight, which no temperature changes", "leave the @ part out");
        demand_believable_volume(word, mass->value());
        Reading& reading = open_for_volume();
        reading.mass = *mass;
        return;
    }
    const Litres volume = std::get<Litres>(typed.value);
    demand_believable_volume(word, volume.value());
    Reading& reading = open_for_volume();
    demand_no_temperature(reading, word);
    reading.volume = volume;
    reading.volume_at = typed.at;
}

void Gatherer::take_depth(const std::string& word, const Typed& typed) {
    const Centimetres depth = std::get<Centimetres>(typed.value);
    demand_temperature_of(word, typed.at, range_of<Reading>("volume_at_c"));
    const auto& vessels = place_.brewhouse.vessels;
    const auto vessel = std::ranges::find(vessels, *point_, &Vessel::point);
    if (vessel == vessels.end() || vessel->dip_table.size() < 2)
        refuse(
            word, fmt::format("is a depth, and no dip table is known for {}", lotwort::word(*point_)),
            fmt::format(
                "write litres, or state the table, such as lotwort brewhouse vessel {} --point {} --dip 0cm=0L --dip "
                "40cm=30L",
                shell_word(place_.brewhouse.name), lotwort::word(*point_)));
    const auto& table = vessel->dip_table;
    if (depth < table.front().depth || depth > table.back().depth)
        refuse(word, "lies outside the vessel's dip table",
               fmt::format("the table runs from {} to {} cm", readable(table.front().depth.value()),
                           readable(table.back().depth.value())));
    Reading& reading = open_for_volume();
    demand_no_temperature(reading, word);
    reading.depth = depth;
    reading.volume_at = typed.at;
}

void Gatherer::take_gravity(const std::string& word, const Typed& typed) {
    if (is_liquor(*point_))
        refuse(word, fmt::format("is a gravity, and {} is water", lotwort::word(*point_)),
               "name the point where it was read, such as kettle-full or fermenter");
    demand_temperature_of(word, typed.at, range_of<Reading>("gravity_at_c"));
    const auto demand = [&](double value, Range believable, const char* hint) {
        if (!believable.holds(value))
            refuse(word,
                   fmt::format("is no gravity of {}: it lies between {} and {}",
                               is_fermented_point(*point_) ? "beer" : "wort", readable(believable.least),
                               readable(believable.most)),
                   hint);
    };
    Reading& reading = open_for_gravity();
    demand_no_temperature(reading, word);
    if (const auto* sg = std::get_if<SpecificGravity>(&typed.value)) {
        demand(sg->value(), believable_sg, "50 gravity points are written 1.050");
        reading.gravity_sg = *sg;
    } else if (const auto* plato = std::get_if<Plato>(&typed.value)) {
        demand(plato->value(), believable_plato, "write degrees Plato such as 12P");
        reading.gravity_plato = *plato;
    } else {
        demand(std::get<Brix>(typed.value).value(), believable_brix, "write degrees Brix such as 11.8Bx");
        reading.brix = std::get<Brix>(typed.value);
    }
    reading.gravity_at = typed.at;
}

void Gatherer::take_temperature(const std::string& word, const Typed& typed) {
    const Celsius celsius = std::get<Celsius>(typed.value);
    demand_temperature_of(word, celsius, range_of<Reading>("temperature_c"));
    const Reading& reading = open();
    // what says the temperature that it was read at leaves this one to the beer or the vessel
    const bool gravity_open = has_gravity(reading) && !reading.gravity_at;
    if (gravity_open || (has_volume(reading) && !reading.mass && !reading.volume_at))
        refuse(word, "follows a volume or gravity, and it is not said whether that was read at it",
               fmt::format("write it behind the reading, such as {}@{}C; else name the point again before it",
                           gravity_open ? "1.040" : "28L", readable(celsius.value())));
    if (reading.temperature) fresh_ = true;
    open().temperature = celsius;
}

void Gatherer::take_gap(const std::string& word) {
    if (point_ != ReadingPoint::mash) refuse(word, "is the gap of the mill", "name the mash before it: mash " + word);
    const Range range = range_of<Reading>("mill_gap_mm");
    const Millimetres gap(parse_length(word.substr(3)).value() * 10.0);
    if (!range.holds(gap.value()))
        refuse(
            word, "is no gap of a mill",
            fmt::format("it lies between {} and {} mm, such as gap1.2mm", readable(range.least), readable(range.most)));
    if (!fresh_ && out_.back().mill_gap) fresh_ = true;
    open().mill_gap = gap;
}

void Gatherer::take_bitterness(const std::string& word, BitternessUnits units) {
    if (point_ != ReadingPoint::final_beer)
        refuse(word, "is the bitterness of beer", "name the final beer before it: final " + word);
    const Range range = range_of<Reading>("bitterness_ibu");
    if (!range.holds(units.value()))
        refuse(word, "is no bitterness of beer", fmt::format("it lies between 0 and {} IBU", readable(range.most)));
    if (!fresh_ && out_.back().bitterness) fresh_ = true;
    open().bitterness = units;
}

void Gatherer::take(const std::string& word) {
    if (const auto ph = ph_number(word); !ph.empty()) {
        Reading& reading = open();
        if (reading.ph) fresh_ = true;
        open().ph = parse_number(ph, "pH", range_of<Reading>("ph"));
        return;
    }
    if (is_gap(word)) return take_gap(word);
    const Typed typed = parse_typed(word);
    if (typed.sd) refuse(word, "carries a deviation", "how well it was read is the instrument's: leave the ± part out");
    if (const auto* bare = std::get_if<Bare>(&typed.value)) refuse_bare(word, bare->value());
    if (std::holds_alternative<Litres>(typed.value) || std::holds_alternative<Kilograms>(typed.value))
        return take_volume(word, typed);
    if (std::holds_alternative<Centimetres>(typed.value)) return take_depth(word, typed);
    if (std::holds_alternative<SpecificGravity>(typed.value) || std::holds_alternative<Plato>(typed.value) ||
        std::holds_alternative<Brix>(typed.value))
        return take_gravity(word, typed);
    if (std::holds_alternative<Celsius>(typed.value)) return take_temperature(word, typed);
    if (const auto* units = std::get_if<BitternessUnits>(&typed.value)) return take_bitterness(word, *units);
    refuse(word, "is not read at a brew",
           "read are volumes, gravities, weights, depths and more, such as 28L@95C, 1.048, 12P, 65C, pH5.4, gap1.2mm "
           "or 34IBU");
}

} // namespace

std::vector<Reading> parse_readings(const std::vector<std::string>& words, const ReadingPlace& place) {
    std::vector<Reading> readings;
    Gatherer gatherer(place, readings);
    std::string last_point;
    const auto demand_some = [&] {
        if (gatherer.has_point() && gatherer.is_empty())
            throw Error(ErrorKind::usage, fmt::format("nothing is read at {}", last_point),
                        fmt::format("write the reading behind it, such as {} 28L@95C 1.040@20C", last_point));
    };
    for (const auto& word : words) {
        if (is_letter(word[0]) && !is_ph(word) && !is_gap(word)) {
            demand_some();
            gatherer.begin(parse_point(word));
            last_point = word;
        } else if (!gatherer.has_point()) {
            throw Error(ErrorKind::usage, fmt::format("where was {} read?", word),
                        fmt::format("name the point before it: kettle-full {}; points are {}", word, point_words()));
        } else {
            gatherer.take(word);
        }
    }
    demand_some();
    return readings;
}

} // namespace lotwort::verbs
