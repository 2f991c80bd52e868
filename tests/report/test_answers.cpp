// The answers as text, JSON and CSV: what is shown, what is left out, and what is never lost.
#include "json.hpp"
#include <doctest/doctest.h>
#include <lotwort/report/booked.hpp>
#include <lotwort/report/history.hpp>
#include <lotwort/report/item.hpp>
#include <lotwort/report/keep.hpp>
#include <lotwort/report/movement.hpp>
#include <lotwort/report/stock.hpp>
#include <lotwort/report/text.hpp>

using namespace lotwort;
using namespace lotwort::report;
using lotwort::test::Json;

namespace {

Date day(const char* text) {
    return *parse_iso_date(text);
}

Entry entry(std::int64_t number, EntryKind kind, const std::string& what) {
    Entry e;
    e.number = number;
    e.head.kind = kind;
    e.head.on = day("2026-03-10");
    e.head.booked_at = "2026-03-10T12:00:00Z";
    e.head.what = what;
    return e;
}

StockChange counted(double before_kg, double after_kg) {
    StockChange change;
    change.lot.code = "PAM-1";
    change.lot.item = "pale ale malt";
    change.before = Amount::of(Kilograms(before_kg));
    change.movement.on = day("2026-03-10");
    change.movement.change = Amount::of(Kilograms(after_kg)) - change.before;
    change.promised = Amount::of(Kilograms(0.0));
    change.booked = {entry(4, EntryKind::count, "counted PAM-1"), false, "lotwort lot PAM-1"};
    return change;
}

} // namespace

TEST_CASE("money keeps its two decimals and its sign") {
    CHECK(money_text({3250}) == "32.50");
    CHECK(money_text({5}) == "0.05");
    CHECK(money_text({-3205}, "EUR") == "-32.05 EUR");
    CHECK(money_text({0}) == "0.00");
}

TEST_CASE("extract is shown in the unit its basis names") {
    CHECK(extract_text(Percent(81.5), ExtractBasis::fine_dry) == "81.5 % fine-dry");
    CHECK(extract_text(Percent(300), ExtractBasis::l_per_kg_coarse_as_is) == "300 L°/kg coarse-as-is");
    CHECK(extract_text(Percent(36), ExtractBasis::ppg_fine_dry) == "36 ppg fine-dry");
}

TEST_CASE("what was booked is one line with the entry's number and what to type next") {
    const Booked booked{entry(12, EntryKind::receive, "received 25 kg of malt as M-1"), false, "lotwort stock"};
    CHECK(booked_line(booked) == "booked as entry 12: received 25 kg of malt as M-1; next: lotwort stock\n");
    CHECK(booked_line({booked.entry, true, "lotwort stock"}) ==
          "nothing booked; entry 12 would be: received 25 kg of malt as M-1\n");
    const Json json = Json::parse(booked_json(booked, "lotwort/receive/1"));
    CHECK(json["schema"] == "lotwort/receive/1");
    CHECK(json["dry_run"] == false);
    CHECK(json["entry"]["number"] == 12);
    CHECK(json["entry"]["kind"] == "receive");
    CHECK(json["entry"]["on"] == "2026-03-10");
    CHECK(!json["entry"].contains("by"));
}

TEST_CASE("a count says how much is short or over, and what is promised beyond it") {
    CHECK(count_text(counted(25.0, 24.2))
              .starts_with("PAM-1: 24.2 kg counted where 25 kg was booked: 800 g short (-3.2 %)\n"));
    CHECK(count_text(counted(25.0, 25.5))
              .starts_with("PAM-1: 25.5 kg counted where 25 kg was booked: 500 g over (2.0 %)\n"));
    CHECK(count_text(counted(25.0, 25.0)).starts_with("PAM-1: 25 kg counted, as booked\n"));
    CHECK(count_text(counted(0.0, 1.0)).starts_with("PAM-1: 1 kg counted where 0 kg was booked: 1 kg over\n"));
    auto promised = counted(25.0, 4.0);
    promised.promised = Amount::of(Kilograms(5.0));
    promised.booked.lost.push_back(
        {"P1", {}, {{"PAM-1", Amount::of(Kilograms(1.0))}}, "lotwort plan P1 --move 2026-03-20"});
    promised.booked.lost.front().date = *parse_iso_date("2026-03-20");
    CHECK(count_text(promised).find("P1 on 2026-03-20 loses what it was promised: 1 kg of PAM-1\n"
                                    "what can stand in: lotwort plan P1 --move 2026-03-20\nbooked") != std::string::npos);
    const Json json = Json::parse(count_json(promised));
    CHECK(json["before_kg"] == 25.0);
    CHECK(json["change_kg"] == -21.0);
    CHECK(json["after_kg"] == 4.0);
    CHECK(json["promised_kg"] == 5.0);
    CHECK(json["promises_lost"][0]["lost_kg"] == 1.0);
}

TEST_CASE("the stock list marks a date that has gone by, and leaves out columns nobody needs") {
    StockList list;
    list.today = day("2026-03-10");
    list.currency = "EUR";
    list.by_lot = true;
    list.value = {1625};
    list.lots_without_price = 1;
    StockLine line;
    line.item = "pale ale malt";
    line.lot = "PAM-1";
    line.on_hand = Amount::of(Kilograms(12.5));
    line.promised = Amount::of(Kilograms(5.0));
    line.free = Amount::of(Kilograms(7.5));
    line.best_before = day("2026-03-09");
    line.value = Money{1625};
    list.lines.push_back(line);
    CHECK(stock_text(list) == "LOT    ITEM           ON HAND  PROMISED    FREE  BEST BEFORE      VALUE\n"
                              "PAM-1  pale ale malt  12.5 kg      5 kg  7.5 kg  2026-03-09 past  16.25\n"
                              "value at cost 16.25 EUR; 1 lot has no price\n");
    list.lines[0].held = "weevils";
    CHECK(stock_text(list).find("HELD") != std::string::npos);
    CHECK(stock_csv(list) == "item,kind,lot,unit,on_hand,promised,free,best_before,value,currency,held\r\n"
                             "pale ale malt,malt,PAM-1,kg,12.5,5,7.5,2026-03-09,16.25,EUR,weevils\r\n");
    const Json json = Json::parse(stock_json(list));
    CHECK(json["schema"] == "lotwort/lots/1");
    CHECK(json["lots"][0]["on_hand_kg"] == 12.5);
    CHECK(json["lots"][0]["held"] == "weevils");
    CHECK(json["value"] == 16.25);
}

TEST_CASE("an entry taken back says so at the front, where nothing is cut") {
    Entry back = entry(12, EntryKind::receive, std::string(100, 'x'));
    back.reversed_by = 14;
    back.head.why = "wrong sack";
    const std::string text = history_text({back});
    CHECK(text.find("[taken back by 14] xxx") != std::string::npos);
    CHECK(text.find("…") != std::string::npos);
    const Json json = Json::parse(history_json({back}));
    CHECK(json["entries"][0]["reversed_by"] == 14);
    CHECK(json["entries"][0]["what"] == std::string(100, 'x')); // whole
    CHECK(json["entries"][0]["why"] == "wrong sack");
    CHECK(history_text({}) == "no such entries\n");
}

TEST_CASE("verify lists every fault and says what to do") {
    Verified verified{"b.lotwort", {{"lot PAM-1", "balance 24 kg, movements 25 kg"}}, 0, 0};
    const std::string text = verify_text(verified);
    CHECK(text.find("b.lotwort has 1 fault\n  lot PAM-1: balance 24 kg, movements 25 kg\n") == 0);
    CHECK(Json::parse(verify_json(verified))["sound"] == false);
    verified.faults.clear();
    CHECK(Json::parse(verify_json(verified))["sound"] == true);
}

TEST_CASE("an import names what is new, as far as the line goes, and all of it in JSON") {
    Imported done{"b.json", {}, std::nullopt};
    CHECK(import_text(done) == "b.json holds nothing that the ledger lacks; nothing booked\n");
    for (int i = 0; i < 30; ++i) {
        Item item;
        item.name = "malt " + std::to_string(i);
        done.added.items.push_back(item);
    }
    done.booked = Booked{entry(2, EntryKind::import_file, "imported b.json"), false, "lotwort stock"};
    const std::string text = import_text(done);
    CHECK(text.find("  30 items: malt 0, malt 1,") != std::string::npos);
    CHECK(text.find(", ...\n") != std::string::npos);
    CHECK(Json::parse(import_json(done))["added"]["items"].size() == 30);
}

TEST_CASE("an item shows what is stated and nothing else") {
    Item item;
    item.name = "munich malt";
    item.malt_class = "high-kilned";
    item.colour = Ebc(20.0);
    item.stands_for = {{"vienna malt", 2.0}};
    CHECK(item_text(item) == "munich malt: high-kilned malt\n"
                             "  colour           20 EBC\n"
                             "  stands in for    vienna malt (2)\n"
                             "What is not stated is taken as typical of light Munich malt; lotwort item kinds\n"
                             "  \"munich malt\" shows it.\n");
    CHECK(item_list_csv({item}).ends_with("munich malt,malt,high-kilned,,,,20,,,\r\n"));
}
