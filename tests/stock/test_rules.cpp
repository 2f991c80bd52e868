// What records of stock may not say, and the last that they may.
#include <doctest/doctest.h>
#include <lotwort/stock/rules.hpp>

using namespace lotwort;

namespace {

// The fields that are told of; "itself" where the record is.
template <class... Record>
std::string told(const Record&... record) {
    std::string fields;
    const TellBroken tell = [&](std::string_view field, std::string_view) {
        fields += (fields.empty() ? "" : " ") + std::string(field.empty() ? "itself" : field);
    };
    if constexpr (sizeof...(Record) == 2)
        check_fit(record..., tell);
    else
        check_rules(record..., tell);
    return fields;
}

Date day(const char* iso) {
    return *parse_iso_date(iso);
}

Lot lot_of(Amount amount) {
    Lot lot;
    lot.code = "L1";
    lot.item = "goods";
    lot.received = day("2026-03-10");
    lot.received_amount = amount;
    return lot;
}

Item item(ItemKind kind) {
    Item item;
    item.name = "goods";
    item.kind = kind;
    return item;
}

Amount kg(double kilograms) {
    return Amount::of(Kilograms(kilograms));
}

} // namespace

TEST_CASE("a lot is opened and measured from the day it came on, and was packed and cropped no later") {
    Lot lot = lot_of(kg(5.0));
    lot.opened = lot.packed = lot.received;
    lot.crop_year = 2026;
    lot.retests.emplace_back().on = lot.received;
    CHECK(told(lot).empty());
    lot.opened = lot.retests[0].on = day("2026-03-09");
    lot.packed = day("2026-03-11");
    lot.crop_year = 2027;
    CHECK(told(lot) == "crop_year packed opened retests[0].on");
}

TEST_CASE("a lot is something, and as much as the lots it was made of, which are others") {
    CHECK(told(lot_of(kg(0.0))) == "itself");
    Lot lot = lot_of(kg(5.0));
    lot.made_from = {{"A", kg(3.0)}, {"B", kg(2.0)}};
    CHECK(told(lot).empty());
    lot.made_from[1].amount = kg(1.999);
    CHECK(told(lot) == "made_from");
    lot.made_from = {{"L1", kg(5.0)}};
    CHECK(told(lot) == "made_from");
}

TEST_CASE("goods are kept as their kind is, and yeast alone is packed, counted and harvested") {
    const Lot pieces = lot_of(Amount::pieces(4)), litres = lot_of(Amount::of(Litres(2.0)));
    for (const ItemKind kind : {ItemKind::malt, ItemKind::hop, ItemKind::sugar}) {
        CHECK(told(pieces, item(kind)) == "itself");
        CHECK(told(litres, item(kind)) == "itself");
        CHECK(told(lot_of(kg(4.0)), item(kind)).empty());
    }
    CHECK(told(pieces, item(ItemKind::yeast)).empty());
    Lot crop = pieces;
    crop.cells_billion = 100.0;
    crop.harvested_from = "B1";
    CHECK(told(crop, item(ItemKind::yeast)).empty());
    crop.received_amount = kg(1.0);
    CHECK(told(crop, item(ItemKind::malt)) == "cells_billion harvested_from");
}

TEST_CASE("a movement's sign is its kind's: what takes is no gain, a receipt is one") {
    const auto moved = [](MovementKind kind, double change) {
        Movement movement;
        movement.kind = kind;
        movement.change = kg(change);
        return told(movement);
    };
    for (const MovementKind kind : {MovementKind::brew, MovementKind::discard, MovementKind::return_to_supplier}) {
        CHECK(moved(kind, 1.0) == "itself");
        CHECK(moved(kind, 0.0).empty());
    }
    CHECK(moved(MovementKind::receipt, 0.0) == "itself");
    CHECK(moved(MovementKind::unused, -1.0) == "itself");
    CHECK(moved(MovementKind::count, -1.0).empty());
    Movement boiled;
    boiled.kind = MovementKind::discard;
    boiled.change = kg(-1.0);
    boiled.minutes = Minutes(60.0);
    CHECK(told(boiled) == "kind");
}

TEST_CASE("an offer's steps rise, and it is of one pack that holds something") {
    Offer offer;
    offer.pack = Kilograms(25.0);
    offer.price_steps = {{1, Money{100}}, {2, Money{90}}};
    CHECK(told(offer).empty());
    offer.price_steps[1].packs = 1;
    CHECK(told(offer) == "price_steps");
    offer.price_steps.pop_back();
    offer.pack_count = 4;
    CHECK(told(offer) == "itself");
    offer.pack_count.reset();
    offer.pack = Kilograms(0.0);
    CHECK(told(offer) == "pack_kg");
}
