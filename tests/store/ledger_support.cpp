#include "ledger_support.hpp"
#include <doctest/doctest.h>
#include <fstream>
#include <iterator>
#include <sqlite3.h>
#include <unistd.h>

namespace lotwort::test {

Folder::Folder() {
    static int count = 0;
    // in memory where there is such a folder: thousands of entries are flushed
    const std::filesystem::path memory = "/dev/shm";
    path_ = (std::filesystem::is_directory(memory) ? memory : std::filesystem::temp_directory_path()) /
            ("lotwort-store-" + std::to_string(::getpid()) + "-" + std::to_string(++count));
    std::filesystem::create_directories(path_);
}

Folder::~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

Date day(const char* iso) {
    const auto date = parse_iso_date(iso);
    REQUIRE(date);
    return *date;
}

EntryHead head(EntryKind kind, const char* on, const char* what) {
    return {kind, day(on), std::string(on) + "T08:00:00Z", "Ada", what, ""};
}

Item malt(const std::string& name) {
    Item item;
    item.name = name;
    item.kind = ItemKind::malt;
    item.malt_class = "base";
    item.extract = Percent(81.0);
    item.extract_basis = ExtractBasis::fine_dry;
    item.moisture = Percent(4.2);
    return item;
}

Lot lot_of(const std::string& code, const std::string& item, const char* received, double mass_kg) {
    Lot lot;
    lot.code = code;
    lot.item = item;
    lot.received = day(received);
    lot.received_amount = Amount::of(Kilograms(mass_kg));
    return lot;
}

Addition mash(const std::string& lot, double mass_kg) {
    Addition addition;
    addition.lot = lot;
    addition.amount = Amount::of(Kilograms(mass_kg));
    return addition;
}

Brew brew_of(const std::string& code, const char* date, std::vector<Addition> additions) {
    Brew brew;
    brew.code = code;
    brew.date = day(date);
    brew.brewhouse = "main";
    brew.additions = std::move(additions);
    return brew;
}

Package run_of(const std::string& code, const std::string& brew, const char* on, int count) {
    Package package;
    package.code = code;
    package.brew = brew;
    package.on = day(on);
    package.count = count;
    package.each = Litres(0.5);
    package.container = "bottles";
    return package;
}

Movement movement_of(MovementKind kind, const std::string& lot, const char* on, double mass_kg) {
    Movement movement;
    movement.kind = kind;
    movement.lot = lot;
    movement.on = day(on);
    movement.change = Amount::of(Kilograms(mass_kg));
    return movement;
}

namespace {

std::vector<Item> items() {
    Item pale = malt("pale malt");
    pale.stands_for = {{"wheat malt", 2.5}};
    Item wheat = malt("wheat malt");
    wheat.malt_class = "wheat";
    wheat.extract_sd = Percent(0.8);
    wheat.colour = Ebc(4.0);
    wheat.diastatic_power = WindischKolbach(250.0);
    wheat.max_share = Percent(60.0);
    wheat.shelf_life_days = 540;
    Item hop;
    hop.name = "bittering hop";
    hop.kind = ItemKind::hop;
    hop.alpha = Percent(11.0);
    hop.group = "spicy";
    Item yeast;
    yeast.name = "ale yeast";
    yeast.kind = ItemKind::yeast;
    return {yeast, hop, pale, wheat};
}

std::vector<Instrument> instruments() {
    Instrument scale;
    scale.name = "malt scale";
    scale.kind = InstrumentKind::balance;
    scale.unit = "kg";
    scale.repeatability = 0.02;
    scale.bias_sd = 0.01;
    scale.resolution = 0.005;
    Instrument marks;
    marks.name = "kettle marks";
    marks.kind = InstrumentKind::volume_marks;
    marks.calibration = Celsius(20.0);
    marks.repeatability_pct = 0.8;
    marks.bias_sd_pct = 1.0;
    marks.checks = {{day("2026-01-20"), 20.0, 0.04, 20.4}, {day("2026-01-21"), 10.0, {}, 10.1}};
    Instrument refractometer;
    refractometer.name = "refractometer";
    refractometer.kind = InstrumentKind::refractometer;
    refractometer.brix_to_plato = 0.97;
    return {marks, scale, refractometer};
}

Brewhouse brewhouse() {
    Brewhouse house;
    house.name = "main";
    house.volume = Litres(23.0);
    house.sparge = Sparge::batch;
    house.batch_sparges = 1;
    house.absorption = LitresPerKilogram(1.0);
    house.boil_off = LitresPerHour(3.2);
    house.lauter_of_expected = Percent(99.0);
    Vessel kettle;
    kettle.point = ReadingPoint::kettle_full;
    kettle.volume_instrument = "kettle marks";
    kettle.gravity_instrument = "refractometer";
    kettle.dip_table = {{Centimetres(0.0), Litres(1.5)}, {Centimetres(10.0), Litres(12.25)}};
    kettle.wall_expansion_per_c = 5e-5;
    Vessel fermenter;
    fermenter.point = ReadingPoint::fermenter;
    house.vessels = {kettle, fermenter};
    return house;
}

Recipe recipe() {
    Recipe recipe;
    recipe.name = "ordinary pale";
    recipe.volume = Litres(23.0);
    recipe.original_gravity = SpecificGravity(1.047);
    recipe.boil = Minutes(60.0);
    recipe.attenuation = Percent(76.0);
    recipe.mash_rest = Celsius(66.0);
    recipe.mash_rest_time = Minutes(60.0);
    recipe.grist = {{"pale malt", Percent(90.0), {}}, {"wheat malt", Percent(10.0), {}}};
    HopLine first{"bittering hop", Stage::boil, Minutes(60.0), {}, {}, Grams(25.3), {}};
    HopLine dry{"bittering hop", Stage::dry, {}, {}, 4, Grams(40.0), {}};
    recipe.hops = {first, dry};
    OtherLine yeast;
    yeast.item = "ale yeast";
    yeast.stage = Stage::fermenter;
    yeast.count = 1;
    recipe.others = {yeast};
    return recipe;
}

std::vector<Lot> lots() {
    Lot pale = lot_of("P-1", "pale malt", "2026-01-05", 25.0);
    pale.supplier = "hill maltings";
    pale.supplier_lot = "25/117";
    pale.price = Money{3250};
    pale.best_before = day("2027-06-01");
    Certificate paper;
    paper.extract = Percent(80.6);
    paper.extract_basis = ExtractBasis::fine_dry;
    paper.extract_sd = Percent(0.9);
    paper.moisture = Percent(4.4);
    paper.moisture_sd = Percent(0.2);
    paper.colour = Ebc(6.1);
    paper.diastatic_power = WindischKolbach(255.0);
    paper.protein = Percent(10.4);
    paper.analysed = day("2025-12-20");
    pale.certificate = paper;
    Retest dried;
    dried.on = day("2026-02-01");
    dried.found.moisture = Percent(4.9);
    pale.retests = {dried};
    Lot hop = lot_of("H-1", "bittering hop", "2026-01-05", 1.0);
    hop.crop_year = 2025;
    hop.storage = Celsius(-18.0);
    hop.packaging = "vacuum";
    hop.certificate.emplace().alpha = Percent(11.2);
    hop.certificate->alpha_sd = Percent(0.4);
    hop.certificate->hop_storage_index = 0.28;
    hop.certificate->oil_ml_per_100g = 1.1;
    Lot yeast = lot_of("Y-1", "ale yeast", "2026-01-05", 0.0);
    yeast.received_amount = Amount::pieces(10);
    return {hop, pale, lot_of("W-1", "wheat malt", "2026-01-05", 25.0), yeast};
}

Offer offer() {
    Offer offer;
    offer.supplier = "hill maltings";
    offer.item = "pale malt";
    offer.pack = Kilograms(25.0);
    offer.price_steps = {{1, Money{3300}}, {4, Money{3050}}};
    offer.delivery = Money{1200};
    offer.lead_days = 7;
    offer.shelf_life_days = 500;
    offer.valid_until = day("2026-12-31");
    return offer;
}

} // namespace

Book brewery() {
    Book book;
    book.currency = "EUR";
    book.items = items();
    book.instruments = instruments();
    book.brewhouses = {brewhouse()};
    book.lots = lots();
    book.recipes = {recipe()};
    book.suppliers = {{"hill maltings", Money{1200}, Money{50000}, Money{10000}, 7, {"saturday", "sunday"}}};
    book.offers = {offer()};
    book.orders = {{"O-1",
                    "hill maltings",
                    day("2026-01-02"),
                    day("2026-01-05"),
                    {{"pale malt", Kilograms(25.0), {}, {}, 1, Money{3250}}},
                    {"P-1"},
                    {}}};
    book.tanks = {{"FV1",
                   TankKind::fermenter,
                   Litres(25.0),
                   day("2026-01-03"),
                   {},
                   day("2026-01-04"),
                   day("2026-01-30"),
                   "the neighbour's beer"},
                  {"BT1", TankKind::bright, Litres(25.0), {}, {}, {}, {}, {}}};
    Plan plan;
    plan.code = "PL-1";
    plan.date = day("2026-02-10");
    plan.recipe = "ordinary pale";
    plan.brewhouse = "main";
    plan.volume = Litres(23.0);
    plan.reserved = {{0, "P-1", Amount::of(Kilograms(4.5))}, {2, "H-1", Amount::of(Grams(25.3))}};
    plan.reserved.front().pinned = Pinned::yes;
    plan.tank = "FV1";
    plan.tank_till = day("2026-02-24");
    plan.awaited = {{1, Amount::of(Grams(200.0))}, {2, Amount::of(Grams(5.0))}};
    book.plans = {plan};
    return book;
}

Ledger new_ledger(const std::string& file) {
    Ledger::create(file, "EUR", head(EntryKind::init, "2026-01-01", "made"));
    return Ledger(file, Access::write);
}

Ledger stocked_ledger(const std::string& file) {
    auto ledger = new_ledger(file);
    (void)ledger.append(brewery(), head(EntryKind::import_file, "2026-01-05", "the first delivery"));
    return ledger;
}

Book with(Lot lot) {
    Book book;
    book.lots.push_back(std::move(lot));
    return book;
}

Book with(Brew brew) {
    Book book;
    book.brews.push_back(std::move(brew));
    return book;
}

Book with(Package package) {
    Book book;
    book.packages.push_back(std::move(package));
    return book;
}

Book with(Movement movement) {
    Book book;
    book.movements.push_back(std::move(movement));
    return book;
}

std::string bytes_of(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    REQUIRE(in);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::string sql(const std::string& file, const std::string& text) {
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open_v2(file.c_str(), &handle, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, nullptr) == SQLITE_OK);
    sqlite3_exec(handle, "PRAGMA foreign_keys = ON", nullptr, nullptr, nullptr);
    std::string answer;
    const auto add = [](void* into, int count, char** values, char**) {
        auto& rows = *static_cast<std::string*>(into);
        if (!rows.empty()) rows += "\n";
        for (int i = 0; i < count; ++i) rows += (i > 0 ? "|" : "") + std::string(values[i] != nullptr ? values[i] : "");
        return 0;
    };
    char* said = nullptr;
    if (sqlite3_exec(handle, text.c_str(), add, &answer, &said) != SQLITE_OK)
        answer = "refused: " + std::string(said != nullptr ? said : "");
    sqlite3_free(said);
    sqlite3_close(handle);
    return answer;
}

} // namespace lotwort::test
