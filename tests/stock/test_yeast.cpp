// Packs and cells: what a yeast of some age holds, and what a wort asks for.
#include "lot_on_hand.hpp"
#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/stock/yeast.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Item yeast(const char* name) {
    Item item;
    item.name = name;
    item.kind = ItemKind::yeast;
    return item;
}

LotState lot(const char* code, Amount amount) {
    LotState state = lot_on_hand(code, "ale yeast", amount);
    state.promised.measure = amount.measure;
    return state;
}

} // namespace

TEST_CASE("23 L at 12 degrees plato ask for 207 billion cells of ale yeast, twice that of a lager's") {
    CHECK(cells_wanted(pitch_rate(yeast("ale yeast"), {}), Litres(23.0), Plato(12.0)) == near(207.0));
    CHECK(cells_wanted(pitch_rate(yeast("Lager yeast"), {}), Litres(23.0), Plato(12.0)) == near(414.0));
    CHECK(pitch_rate(yeast("pilsner yeast"), {}).from == RateFrom::lager);
}

TEST_CASE("the recipe's rate comes before the item's, the item's before common practice") {
    Item lager = yeast("lager yeast");
    lager.pitch_rate = 1.2;
    CHECK(pitch_rate(lager, {}).million_per_ml_plato == 1.2);
    CHECK(pitch_rate(lager, {}).from == RateFrom::item);
    CHECK(pitch_rate(lager, 2.0).million_per_ml_plato == 2.0);
    CHECK(pitch_rate(lager, 2.0).from == RateFrom::recipe);
}

TEST_CASE("a pack loses a fifth of its cells a month, from the day it was packed on") {
    Lot pack = lot("YST-1", Amount::pieces(2)).lot;
    pack.received = day("2026-02-20");
    CHECK(yeast_cells(yeast("ale yeast"), pack, day("2026-02-20")).now == near(100.0));
    pack.packed = day("2026-01-01");
    const YeastCells cells = yeast_cells(yeast("ale yeast"), pack, day("2026-03-02"));
    CHECK(cells.days == 60);
    CHECK(cells.now == near(64.0));
    CHECK(cells.is_packed_stated);
    CHECK(yeast_cells(yeast("ale yeast"), pack, day("2025-12-01")).now == near(100.0)); // not yet packed: fresh
}

TEST_CASE("dry yeast holds ten billion a gram and dies slowly; a pack of it is 11 g") {
    CHECK(fresh_cells(yeast("dried ale yeast"), Measure::mass) == near(10.0));
    CHECK(fresh_cells(yeast("dried ale yeast"), Measure::count) == near(110.0));
    CHECK(cells_lost_per_month(yeast("dried ale yeast"), Measure::count) == near(1.0));
    CHECK(cells_lost_per_month(yeast("ale yeast"), Measure::mass) == near(1.0)); // what is bought by weight is dry
}

TEST_CASE("a harvest is slurry, measured or weighed: a billion a millilitre or gram") {
    for (const Amount amount : {Amount::of(Litres(1.0)), Amount::of(Kilograms(1.0))}) {
        Lot slurry = lot("Y-1", amount).lot;
        slurry.generation = 1;
        const YeastCells cells = yeast_cells(yeast("ale yeast"), slurry, slurry.received);
        CHECK(cells_in(amount, cells.now) == near(1000.0));
        CHECK(cells.loss_pct_per_month == near(25.0));
    }
}

TEST_CASE("what the item states is of its own measure, what the lot states comes first") {
    Item own = yeast("ale yeast");
    own.cells_billion = 200.0;
    CHECK(fresh_cells(own, Measure::count) == near(200.0));
    own.cells_per = CellsPer::ml;
    CHECK(fresh_cells(own, Measure::count) == near(100.0));
    CHECK(fresh_cells(own, Measure::volume) == near(200.0));
    own.cells_loss = Percent(50.0);
    Lot counted = lot("Y-1", Amount::of(Litres(1.0))).lot;
    counted.received = day("2026-01-01");
    counted.cells_billion = 1.6;
    CHECK(yeast_cells(own, counted, day("2026-01-31")).now == near(0.8));
}

TEST_CASE("a yeast is counted as the lots are that hold most cells, unless another is pinned") {
    const Item ale = yeast("ale yeast");
    const Date today = day("2026-03-01");
    CHECK(yeast_measure(ale, {}, today, {}, 200.0) == Measure::count);
    const std::vector<LotState> lots{lot("PACKS", Amount::pieces(2)), lot("SLURRY", Amount::of(Litres(1.0)))};
    CHECK(yeast_measure(ale, lots, today, {}, 200.0) == Measure::volume);
    CHECK(yeast_measure(ale, lots, today, {"PACKS"}, 200.0) == Measure::count);
    std::vector<LotState> held = lots;
    held[1].lot.held = "sour";
    CHECK(yeast_measure(ale, held, today, {}, 200.0) == Measure::count);
}

TEST_CASE("a harvest that does not reach is not made up by one that nobody sells, but left for packs") {
    const Item ale = yeast("ale yeast");
    const Date today = day("2026-03-01");
    LotState harvest = lot("H", Amount::of(Litres(0.3))); // 300 billion
    harvest.lot.generation = 1;
    harvest.lot.received = today;
    CHECK(yeast_measure(ale, {harvest}, today, {}, 200.0) == Measure::volume);
    CHECK(yeast_measure(ale, {harvest}, today, {}, 400.0) == Measure::count);
    CHECK(yeast_measure(ale, {harvest}, today, {"H"}, 400.0) == Measure::volume); // named for it
}

TEST_CASE("yeast is measured as what may be used of it that day, else as it came last") {
    const Date today = day("2026-03-01");
    LotState packs = lot("Y1", Amount::pieces(1)), slurry = lot("Y2", Amount::of(Litres(2.0)));
    const auto measure = [&] { return yeast_measure(yeast("ale yeast"), {packs, slurry}, today, {}, 200.0); };
    CHECK(measure() == Measure::volume);    // 2000 billion against 100
    packs.lot.received = day("2026-02-01"); // the later one, where none may be used
    slurry.lot.best_before = today;
    CHECK(measure() == Measure::volume);
    slurry.lot.best_before = day("2026-02-28");
    CHECK(measure() == Measure::count);
    packs.lot.held = "swollen";
    CHECK(measure() == Measure::count);
    slurry.lot.best_before.reset();
    slurry.lot.received = today;
    packs.lot.received = day("2026-03-02"); // is to come
    CHECK(measure() == Measure::volume);
}

TEST_CASE("thinner than water, a wort asks for no yeast, and not for less than none") {
    CHECK(cells_wanted(pitch_rate(yeast("ale yeast"), {}), Litres(23.0), Plato(-1.0)) == 0.0);
}
