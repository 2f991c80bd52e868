#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/report/rows.hpp>

using namespace lotwort;
using namespace lotwort::report;

namespace {

Book small() {
    Book book;
    Lot lot;
    lot.code = "A";
    lot.item = "pale, ale malt";
    lot.received = *parse_iso_date("2026-03-01");
    lot.received_amount = Amount::of(Kilograms(25.5));
    lot.price = Money{3250};
    lot.certificate = Certificate{};
    lot.certificate->extract = Percent(81.5);
    lot.certificate->extract_basis = ExtractBasis::fine_dry;
    book.lots.push_back(lot);
    Brew brew;
    brew.code = "B1";
    brew.date = *parse_iso_date("2026-03-10");
    Reading reading;
    reading.id = "r1";
    reading.point = ReadingPoint::kettle_full;
    reading.volume = Litres(28.0);
    reading.volume_at = Celsius(95.0);
    brew.readings.push_back(reading);
    book.brews.push_back(brew);
    return book;
}

std::size_t columns(const std::string& row) {
    return 1 + static_cast<std::size_t>(std::count(row.begin(), row.end(), ','));
}

} // namespace

TEST_CASE("a lot is a row with its certificate in it") {
    const std::string csv = rows_csv(small(), RowKind::lots);
    CHECK(csv.starts_with("code,item,supplier,supplier_lot,received,amount,unit,price,best_before,crop_year,"
                          "extract_pct,extract_basis,"));
    CHECK(csv.find("\r\nA,\"pale, ale malt\",,,2026-03-01,25.5,kg,32.50,,,81.5,fine-dry,") != std::string::npos);
}

TEST_CASE("readings begin with their brew") {
    const std::string csv = rows_csv(small(), RowKind::readings);
    CHECK(csv.starts_with("brew,date,id,on,at,point,mash,run,volume_l,"));
    CHECK(csv.find("\r\nB1,2026-03-10,r1,,,kettle-full,,,28,,,95,") != std::string::npos);
}

TEST_CASE("headings and rows have as many columns, of every kind") {
    for (const auto kind : {RowKind::items, RowKind::lots, RowKind::movements, RowKind::additions, RowKind::readings}) {
        Book book = small();
        book.lots[0].item = "malt"; // no comma to count
        book.items.push_back({});
        book.movements.push_back({});
        book.brews[0].additions.push_back({});
        const std::string csv = rows_csv(book, kind);
        const auto end = csv.find("\r\n");
        const auto second = csv.find("\r\n", end + 2);
        REQUIRE(second != std::string::npos);
        CHECK(columns(csv.substr(0, end)) == columns(csv.substr(end + 2, second - end - 2)));
    }
}
