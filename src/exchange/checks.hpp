// What a record must hold beyond its single fields: exactly one amount, shares that make a whole. What one
// record says of another is looked at in references.cpp, once the ledger is at hand.
#pragma once

#include "exchange_fields.hpp"
#include <cstdint>
#include <string_view>

namespace lotwort {

class RecordReader;

// Tells a fault of the record that is being checked; `field` is the part of it, empty for all of it.
class Report {
public:
    Report(RecordReader& reader, std::uint32_t at) : reader_(reader), at_(at) {}
    void operator()(std::string_view field, std::string_view what) const;

private:
    RecordReader& reader_;
    std::uint32_t at_;
};

void check(const Item& item, const Report& report);
void check(const Instrument& instrument, const Report& report);
void check(const Vessel& vessel, const Report& report);
void check(const Certificate& certificate, const Report& report);
void check(const Retest& retest, const Report& report);
void check(const Lot& lot, const Report& report);
void check(const GristLine& line, const Report& report);
void check(const HopLine& line, const Report& report);
void check(const OtherLine& line, const Report& report);
void check(const Recipe& recipe, const Report& report);
void check(const Reading& reading, const Report& report);
void check(const Brew& brew, const Report& report);
void check(const Supplier& supplier, const Report& report);
void check(const Offer& offer, const Report& report);
void check(const Movement& movement, const Report& report);
void check(const ExchangeDocument& document, const Report& report);

template <class Record>
void check(const Record& /*nothing more to ask*/, const Report& /*report*/) {}

} // namespace lotwort
