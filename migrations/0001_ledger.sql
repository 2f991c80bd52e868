-- The ledger: everything a brewery has in stock, has brewed and has read, as it was booked.
--
-- Nothing is altered. Every row stands under an entry (who, when, why); an entry is taken back by another
-- that names it (reversal), and the rows of an entry taken back are no longer live. What is known by a name
-- (an item, a recipe) has one identity row and a version for each time it was stated: the newest live
-- version holds. Stock is the sum of movements; lot_balance keeps that sum for each lot, and no movement is
-- taken that would leave a lot below nothing at the end of any day, past or to come.
--
-- Units stand last in a column's name. Amounts of stock are whole numbers of milligrams, microlitres or
-- pieces; money is in hundredths of the ledger's currency. Columns are named as the fields of the records
-- they keep (FieldsOf in the headers), and their ranges are those fields' ranges.
PRAGMA application_id = 1282364500; -- 'LoTT'

CREATE TABLE migration (
    migration_id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE,
    checksum TEXT NOT NULL CHECK (length(checksum) = 64) -- SHA-256 of the migration's text, in hexadecimal
) STRICT;

CREATE TABLE ledger (
    ledger_id INTEGER PRIMARY KEY CHECK (ledger_id = 1),
    currency TEXT NOT NULL CHECK (currency GLOB '[A-Z][A-Z][A-Z]') -- ISO 4217
) STRICT;

------------------------------------------------------------------------------------------------ entries
CREATE TABLE entry (
    entry_id INTEGER PRIMARY KEY CHECK (entry_id > 0),
    kind TEXT NOT NULL CHECK (kind IN ('init', 'item', 'instrument', 'brewhouse', 'recipe', 'receive', 'plan',
        'brew', 'measure', 'count', 'discard', 'offer', 'order', 'hold', 'retest', 'import', 'reverse', 'return',
        'split', 'open', 'harvest')),
    on_date TEXT NOT NULL CHECK (on_date IS date(on_date, '+0 days') AND on_date BETWEEN '1900-01-01' AND '2199-12-31'),
    booked_at TEXT NOT NULL CHECK (booked_at IS strftime('%Y-%m-%dT%H:%M:%SZ', booked_at, '+0 days')),
    by_name TEXT NOT NULL,
    what TEXT NOT NULL,
    why TEXT NOT NULL
) STRICT;

CREATE TABLE reversal (
    entry_id INTEGER PRIMARY KEY REFERENCES entry,
    reverses_entry_id INTEGER NOT NULL UNIQUE REFERENCES entry,
    CHECK (reverses_entry_id < entry_id)
) STRICT;

-------------------------------------------------------------------------------------------- definitions
CREATE TABLE item (
    item_id INTEGER PRIMARY KEY CHECK (item_id > 0),
    name TEXT NOT NULL UNIQUE CHECK (name <> '' AND name = trim(name))
) STRICT;

CREATE TABLE item_version (
    item_version_id INTEGER PRIMARY KEY CHECK (item_version_id > 0),
    item_id INTEGER NOT NULL REFERENCES item,
    entry_id INTEGER NOT NULL REFERENCES entry,
    kind TEXT NOT NULL CHECK (kind IN ('malt', 'sugar', 'hop', 'yeast', 'salt', 'other')),
    class TEXT,
    extract_pct REAL CHECK (extract_pct BETWEEN 0 AND 500),
    extract_basis TEXT CHECK (extract_basis IN ('fine-dry', 'fine-as-is', 'coarse-dry', 'coarse-as-is',
        'l-per-kg-fine-dry', 'l-per-kg-fine-as-is', 'l-per-kg-coarse-dry', 'l-per-kg-coarse-as-is',
        'ppg-fine-dry', 'ppg-fine-as-is', 'ppg-coarse-dry', 'ppg-coarse-as-is')),
    extract_sd_pct REAL CHECK (extract_sd_pct BETWEEN 0 AND 50),
    moisture_pct REAL CHECK (moisture_pct BETWEEN 0 AND 30),
    colour_ebc REAL CHECK (colour_ebc BETWEEN 0 AND 3000),
    diastatic_power_wk REAL CHECK (diastatic_power_wk BETWEEN 0 AND 1000),
    max_share_pct REAL CHECK (max_share_pct BETWEEN 0 AND 100),
    alpha_pct REAL CHECK (alpha_pct BETWEEN 0 AND 30),
    "group" TEXT,
    shelf_life_days INTEGER CHECK (shelf_life_days BETWEEN 1 AND 36500)
) STRICT;
CREATE INDEX item_version_item ON item_version (item_id);

CREATE TABLE stand_in (
    item_version_id INTEGER NOT NULL REFERENCES item_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    item TEXT NOT NULL REFERENCES item (name),
    preference REAL CHECK (preference BETWEEN 0 AND 1000),
    allowed TEXT CHECK (allowed IN ('yes', 'never')),
    PRIMARY KEY (item_version_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE instrument (
    instrument_id INTEGER PRIMARY KEY CHECK (instrument_id > 0),
    name TEXT NOT NULL UNIQUE CHECK (name <> '' AND name = trim(name))
) STRICT;

CREATE TABLE instrument_version (
    instrument_version_id INTEGER PRIMARY KEY CHECK (instrument_version_id > 0),
    instrument_id INTEGER NOT NULL REFERENCES instrument,
    entry_id INTEGER NOT NULL REFERENCES entry,
    kind TEXT NOT NULL CHECK (kind IN ('hydrometer', 'refractometer', 'density-meter', 'thermometer',
        'volume-marks', 'balance')),
    calibration_c REAL CHECK (calibration_c BETWEEN 0 AND 60),
    unit TEXT,
    repeatability REAL CHECK (repeatability BETWEEN 0 AND 10000),
    repeatability_pct REAL CHECK (repeatability_pct BETWEEN 0 AND 50),
    bias_sd REAL CHECK (bias_sd BETWEEN 0 AND 10000),
    bias_sd_pct REAL CHECK (bias_sd_pct BETWEEN 0 AND 50),
    resolution REAL CHECK (resolution BETWEEN 0 AND 10000),
    brix_to_plato REAL CHECK (brix_to_plato BETWEEN 0.8 AND 1.2),
    -- Several mashes into one kettle, several brews into one fermenter, and the correction of an instrument.
    -- true = read + correction, in the instrument's unit
    correction REAL CHECK (correction BETWEEN -10000 AND 10000)
) STRICT;
CREATE INDEX instrument_version_instrument ON instrument_version (instrument_id);

CREATE TABLE brewhouse (
    brewhouse_id INTEGER PRIMARY KEY CHECK (brewhouse_id > 0),
    name TEXT NOT NULL UNIQUE CHECK (name <> '' AND name = trim(name))
) STRICT;

CREATE TABLE brewhouse_version (
    brewhouse_version_id INTEGER PRIMARY KEY CHECK (brewhouse_version_id > 0),
    brewhouse_id INTEGER NOT NULL REFERENCES brewhouse,
    entry_id INTEGER NOT NULL REFERENCES entry,
    volume_l REAL NOT NULL CHECK (volume_l BETWEEN 0.1 AND 1000000),
    sparge TEXT CHECK (sparge IN ('none', 'batch', 'continuous')),
    batch_sparges INTEGER CHECK (batch_sparges BETWEEN 1 AND 10),
    wash_stages REAL CHECK (wash_stages BETWEEN 1 AND 20),
    mash_ratio_l_per_kg REAL CHECK (mash_ratio_l_per_kg BETWEEN 1 AND 20),
    absorption_l_per_kg REAL CHECK (absorption_l_per_kg BETWEEN 0 AND 5),
    absorption_sd_l_per_kg REAL CHECK (absorption_sd_l_per_kg BETWEEN 0 AND 2),
    absorption_level_sd_l_per_kg REAL CHECK (absorption_level_sd_l_per_kg BETWEEN 0 AND 2),
    hop_absorption_l_per_kg REAL CHECK (hop_absorption_l_per_kg BETWEEN 0 AND 30),
    altitude_m REAL CHECK (altitude_m BETWEEN -500 AND 6000),
    tun_loss_l REAL CHECK (tun_loss_l BETWEEN 0 AND 100000),
    boil_off_l_per_h REAL CHECK (boil_off_l_per_h BETWEEN 0 AND 100000),
    boil_off_sd_l_per_h REAL CHECK (boil_off_sd_l_per_h BETWEEN 0 AND 100000),
    boil_off_level_sd_l_per_h REAL CHECK (boil_off_level_sd_l_per_h BETWEEN 0 AND 100000),
    kettle_loss_l REAL CHECK (kettle_loss_l BETWEEN 0 AND 100000),
    kettle_loss_sd_l REAL CHECK (kettle_loss_sd_l BETWEEN 0 AND 100000),
    kettle_loss_level_sd_l REAL CHECK (kettle_loss_level_sd_l BETWEEN 0 AND 100000),
    conversion_pct REAL CHECK (conversion_pct BETWEEN 1 AND 110),
    conversion_sd_pct REAL CHECK (conversion_sd_pct BETWEEN 0 AND 50),
    conversion_level_sd_pct REAL CHECK (conversion_level_sd_pct BETWEEN 0 AND 50),
    lauter_pct_of_expected REAL CHECK (lauter_pct_of_expected BETWEEN 1 AND 150),
    lauter_sd_pct REAL CHECK (lauter_sd_pct BETWEEN 0 AND 50),
    lauter_level_sd_pct REAL CHECK (lauter_level_sd_pct BETWEEN 0 AND 50),
    weigh_step_kg REAL CHECK (weigh_step_kg BETWEEN 1e-6 AND 10000),
    hop_step_kg REAL CHECK (hop_step_kg BETWEEN 1e-6 AND 10000),
    crumb_kg REAL CHECK (crumb_kg BETWEEN 0 AND 10000),
    hop_crumb_kg REAL CHECK (hop_crumb_kg BETWEEN 0 AND 10000)
) STRICT;
CREATE INDEX brewhouse_version_brewhouse ON brewhouse_version (brewhouse_id);

CREATE TABLE vessel (
    vessel_id INTEGER PRIMARY KEY CHECK (vessel_id > 0),
    brewhouse_version_id INTEGER NOT NULL REFERENCES brewhouse_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    point TEXT NOT NULL CHECK (point IN ('mash', 'strike-liquor', 'sparge-liquor', 'first-wort', 'last-runnings',
        'kettle-full', 'cast-out', 'fermenter', 'top-up', 'kettle-liquor', 'final')),
    volume_instrument TEXT REFERENCES instrument (name),
    gravity_instrument TEXT REFERENCES instrument (name),
    wall_expansion_per_c REAL CHECK (wall_expansion_per_c BETWEEN 0 AND 0.001)
) STRICT;
CREATE INDEX vessel_brewhouse ON vessel (brewhouse_version_id, position);

CREATE TABLE dip_mark (
    vessel_id INTEGER NOT NULL REFERENCES vessel,
    position INTEGER NOT NULL CHECK (position >= 0),
    depth_cm REAL NOT NULL CHECK (depth_cm BETWEEN 0 AND 2000),
    volume_l REAL NOT NULL CHECK (volume_l BETWEEN 0 AND 1000000),
    PRIMARY KEY (vessel_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE recipe (
    recipe_id INTEGER PRIMARY KEY CHECK (recipe_id > 0),
    name TEXT NOT NULL UNIQUE CHECK (name <> '' AND name = trim(name))
) STRICT;

CREATE TABLE recipe_version (
    recipe_version_id INTEGER PRIMARY KEY CHECK (recipe_version_id > 0),
    recipe_id INTEGER NOT NULL REFERENCES recipe,
    entry_id INTEGER NOT NULL REFERENCES entry,
    volume_l REAL NOT NULL CHECK (volume_l BETWEEN 0.1 AND 1000000),
    original_gravity_sg REAL CHECK (original_gravity_sg BETWEEN 1 AND 1.2),
    boil_minutes REAL CHECK (boil_minutes BETWEEN 0 AND 1440),
    attenuation_pct REAL CHECK (attenuation_pct BETWEEN 0 AND 110),
    mash_rest_c REAL CHECK (mash_rest_c BETWEEN 20 AND 100),
    mash_rest_minutes REAL CHECK (mash_rest_minutes BETWEEN 0 AND 1440),
    diastatic_floor_wk REAL CHECK (diastatic_floor_wk BETWEEN 0 AND 1000)
) STRICT;
CREATE INDEX recipe_version_recipe ON recipe_version (recipe_id);

CREATE TABLE recipe_grist (
    recipe_version_id INTEGER NOT NULL REFERENCES recipe_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    item TEXT NOT NULL REFERENCES item (name),
    share_pct REAL CHECK (share_pct BETWEEN 0 AND 100),
    mass_kg REAL CHECK (mass_kg BETWEEN 0 AND 1000000),
    PRIMARY KEY (recipe_version_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE recipe_hop (
    recipe_version_id INTEGER NOT NULL REFERENCES recipe_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    item TEXT NOT NULL REFERENCES item (name),
    stage TEXT NOT NULL CHECK (stage IN ('mash', 'kettle', 'boil', 'stand', 'fermenter', 'dry')),
    minutes REAL CHECK (minutes BETWEEN 0 AND 1440),
    temperature_c REAL CHECK (temperature_c BETWEEN 0 AND 105),
    days INTEGER CHECK (days BETWEEN 0 AND 365),
    mass_g REAL CHECK (mass_g BETWEEN 0 AND 10000000),
    bitterness_ibu REAL CHECK (bitterness_ibu BETWEEN 0 AND 200),
    PRIMARY KEY (recipe_version_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE recipe_other (
    recipe_version_id INTEGER NOT NULL REFERENCES recipe_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    item TEXT NOT NULL REFERENCES item (name),
    stage TEXT NOT NULL CHECK (stage IN ('mash', 'kettle', 'boil', 'stand', 'fermenter', 'dry')),
    minutes REAL CHECK (minutes BETWEEN 0 AND 100000),
    mass_kg REAL CHECK (mass_kg BETWEEN 0 AND 1000000),
    volume_l REAL CHECK (volume_l BETWEEN 0 AND 1000000),
    count INTEGER CHECK (count BETWEEN 0 AND 1000000),
    PRIMARY KEY (recipe_version_id, position)
) STRICT, WITHOUT ROWID;

-- A supplier may be known by name alone: a delivery names it before anyone has stated its terms.
CREATE TABLE supplier (
    supplier_id INTEGER PRIMARY KEY CHECK (supplier_id > 0),
    name TEXT NOT NULL UNIQUE CHECK (name <> '' AND name = trim(name))
) STRICT;

CREATE TABLE supplier_version (
    supplier_version_id INTEGER PRIMARY KEY CHECK (supplier_version_id > 0),
    supplier_id INTEGER NOT NULL REFERENCES supplier,
    entry_id INTEGER NOT NULL REFERENCES entry,
    delivery_minor INTEGER CHECK (delivery_minor BETWEEN 0 AND 100000000000),
    free_delivery_from_minor INTEGER CHECK (free_delivery_from_minor BETWEEN 0 AND 100000000000),
    minimum_order_minor INTEGER CHECK (minimum_order_minor BETWEEN 0 AND 100000000000),
    lead_days INTEGER CHECK (lead_days BETWEEN 0 AND 3650)
) STRICT;
CREATE INDEX supplier_version_supplier ON supplier_version (supplier_id);

CREATE TABLE closed_weekday (
    supplier_version_id INTEGER NOT NULL REFERENCES supplier_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    weekday TEXT NOT NULL CHECK (weekday IN ('monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday',
        'sunday')),
    PRIMARY KEY (supplier_version_id, position)
) STRICT, WITHOUT ROWID;

-- An offer is known by supplier, item and what a pack holds.
CREATE TABLE offer (
    offer_id INTEGER PRIMARY KEY CHECK (offer_id > 0),
    supplier TEXT NOT NULL REFERENCES supplier (name),
    item TEXT NOT NULL REFERENCES item (name),
    pack_kg REAL CHECK (pack_kg BETWEEN 0 AND 100000),
    pack_l REAL CHECK (pack_l BETWEEN 0 AND 100000),
    pack_count INTEGER CHECK (pack_count BETWEEN 1 AND 1000000),
    CHECK ((pack_kg IS NOT NULL) + (pack_l IS NOT NULL) + (pack_count IS NOT NULL) = 1)
) STRICT;
CREATE UNIQUE INDEX offer_pack ON offer (supplier, item, ifnull(pack_kg, -1), ifnull(pack_l, -1),
    ifnull(pack_count, -1));

CREATE TABLE offer_version (
    offer_version_id INTEGER PRIMARY KEY CHECK (offer_version_id > 0),
    offer_id INTEGER NOT NULL REFERENCES offer,
    entry_id INTEGER NOT NULL REFERENCES entry,
    delivery_minor INTEGER CHECK (delivery_minor BETWEEN 0 AND 100000000000),
    minimum_order_minor INTEGER CHECK (minimum_order_minor BETWEEN 0 AND 100000000000),
    lead_days INTEGER CHECK (lead_days BETWEEN 0 AND 3650),
    shelf_life_days INTEGER CHECK (shelf_life_days BETWEEN 1 AND 36500),
    valid_until TEXT CHECK (valid_until IS NULL OR valid_until IS date(valid_until, '+0 days'))
) STRICT;
CREATE INDEX offer_version_offer ON offer_version (offer_id);

CREATE TABLE price_step (
    offer_version_id INTEGER NOT NULL REFERENCES offer_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    packs INTEGER NOT NULL CHECK (packs BETWEEN 1 AND 1000000),
    price_minor INTEGER NOT NULL CHECK (price_minor BETWEEN 0 AND 100000000000),
    PRIMARY KEY (offer_version_id, position)
) STRICT, WITHOUT ROWID;

--------------------------------------------------------------------------------------------------- lots
CREATE TABLE lot (
    lot_id INTEGER PRIMARY KEY CHECK (lot_id > 0),
    code TEXT NOT NULL UNIQUE CHECK (code <> '' AND code = trim(code)),
    measure TEXT NOT NULL CHECK (measure IN ('mass', 'volume', 'count')) -- mg, uL or pieces in its movements
) STRICT;

-- One live detail a lot: how it was received.
CREATE TABLE lot_detail (
    lot_detail_id INTEGER PRIMARY KEY CHECK (lot_detail_id > 0),
    lot_id INTEGER NOT NULL REFERENCES lot,
    entry_id INTEGER NOT NULL REFERENCES entry,
    item TEXT NOT NULL REFERENCES item (name),
    supplier TEXT REFERENCES supplier (name),
    supplier_lot TEXT,
    received TEXT NOT NULL CHECK (received IS date(received, '+0 days')
        AND received BETWEEN '1900-01-01' AND '2199-12-31'),
    mass_mg INTEGER CHECK (mass_mg BETWEEN 1 AND 1000000000000),
    volume_ul INTEGER CHECK (volume_ul BETWEEN 1 AND 1000000000000),
    pieces INTEGER CHECK (pieces BETWEEN 1 AND 1000000),
    price_minor INTEGER CHECK (price_minor BETWEEN 0 AND 100000000000),
    best_before TEXT CHECK (best_before IS NULL OR best_before IS date(best_before, '+0 days')),
    crop_year INTEGER CHECK (crop_year BETWEEN 1900 AND 2199),
    storage_c REAL CHECK (storage_c BETWEEN -80 AND 60),
    packaging TEXT,
    harvested_from TEXT REFERENCES brew (code),
    generation INTEGER CHECK (generation BETWEEN 1 AND 100),
    CHECK ((mass_mg IS NOT NULL) + (volume_ul IS NOT NULL) + (pieces IS NOT NULL) = 1)
) STRICT;
CREATE INDEX lot_detail_lot ON lot_detail (lot_id);
CREATE INDEX lot_detail_item ON lot_detail (item);

CREATE TABLE certificate (
    lot_detail_id INTEGER PRIMARY KEY REFERENCES lot_detail,
    extract_pct REAL CHECK (extract_pct BETWEEN 0 AND 500),
    extract_basis TEXT CHECK (extract_basis IN ('fine-dry', 'fine-as-is', 'coarse-dry', 'coarse-as-is',
        'l-per-kg-fine-dry', 'l-per-kg-fine-as-is', 'l-per-kg-coarse-dry', 'l-per-kg-coarse-as-is',
        'ppg-fine-dry', 'ppg-fine-as-is', 'ppg-coarse-dry', 'ppg-coarse-as-is')),
    extract_sd_pct REAL CHECK (extract_sd_pct BETWEEN 0 AND 50),
    moisture_pct REAL CHECK (moisture_pct BETWEEN 0 AND 30),
    moisture_sd_pct REAL CHECK (moisture_sd_pct BETWEEN 0 AND 10),
    colour_ebc REAL CHECK (colour_ebc BETWEEN 0 AND 3000),
    diastatic_power_wk REAL CHECK (diastatic_power_wk BETWEEN 0 AND 1000),
    protein_pct REAL CHECK (protein_pct BETWEEN 0 AND 30),
    alpha_pct REAL CHECK (alpha_pct BETWEEN 0 AND 30),
    alpha_sd_pct REAL CHECK (alpha_sd_pct BETWEEN 0 AND 10),
    hsi REAL CHECK (hsi BETWEEN 0.1 AND 3),
    oil_ml_per_100g REAL CHECK (oil_ml_per_100g BETWEEN 0 AND 10),
    analysed TEXT CHECK (analysed IS NULL OR analysed IS date(analysed, '+0 days'))
) STRICT;

-- A later laboratory value; it replaces only the fields it has, from its day on.
CREATE TABLE retest (
    retest_id INTEGER PRIMARY KEY CHECK (retest_id > 0),
    lot_id INTEGER NOT NULL REFERENCES lot,
    entry_id INTEGER NOT NULL REFERENCES entry,
    on_date TEXT NOT NULL CHECK (on_date IS date(on_date, '+0 days') AND on_date BETWEEN '1900-01-01' AND '2199-12-31'),
    extract_pct REAL CHECK (extract_pct BETWEEN 0 AND 500),
    extract_basis TEXT CHECK (extract_basis IN ('fine-dry', 'fine-as-is', 'coarse-dry', 'coarse-as-is',
        'l-per-kg-fine-dry', 'l-per-kg-fine-as-is', 'l-per-kg-coarse-dry', 'l-per-kg-coarse-as-is',
        'ppg-fine-dry', 'ppg-fine-as-is', 'ppg-coarse-dry', 'ppg-coarse-as-is')),
    extract_sd_pct REAL CHECK (extract_sd_pct BETWEEN 0 AND 50),
    moisture_pct REAL CHECK (moisture_pct BETWEEN 0 AND 30),
    moisture_sd_pct REAL CHECK (moisture_sd_pct BETWEEN 0 AND 10),
    colour_ebc REAL CHECK (colour_ebc BETWEEN 0 AND 3000),
    diastatic_power_wk REAL CHECK (diastatic_power_wk BETWEEN 0 AND 1000),
    protein_pct REAL CHECK (protein_pct BETWEEN 0 AND 30),
    alpha_pct REAL CHECK (alpha_pct BETWEEN 0 AND 30),
    alpha_sd_pct REAL CHECK (alpha_sd_pct BETWEEN 0 AND 10),
    hsi REAL CHECK (hsi BETWEEN 0.1 AND 3),
    oil_ml_per_100g REAL CHECK (oil_ml_per_100g BETWEEN 0 AND 10),
    analysed TEXT CHECK (analysed IS NULL OR analysed IS date(analysed, '+0 days'))
) STRICT;
CREATE INDEX retest_lot ON retest (lot_id);

-- The newest live row says whether a lot is on hold: a reason, or NULL once it is released.
CREATE TABLE lot_hold (
    lot_hold_id INTEGER PRIMARY KEY CHECK (lot_hold_id > 0),
    lot_id INTEGER NOT NULL REFERENCES lot,
    entry_id INTEGER NOT NULL REFERENCES entry,
    held TEXT CHECK (held <> '')
) STRICT;
CREATE INDEX lot_hold_lot ON lot_hold (lot_id);

CREATE TABLE purchase_order (
    purchase_order_id INTEGER PRIMARY KEY CHECK (purchase_order_id > 0),
    code TEXT NOT NULL UNIQUE CHECK (code <> '' AND code = trim(code))
) STRICT;

CREATE TABLE purchase_order_version (
    purchase_order_version_id INTEGER PRIMARY KEY CHECK (purchase_order_version_id > 0),
    purchase_order_id INTEGER NOT NULL REFERENCES purchase_order,
    entry_id INTEGER NOT NULL REFERENCES entry,
    supplier TEXT NOT NULL REFERENCES supplier (name),
    ordered TEXT NOT NULL CHECK (ordered IS date(ordered, '+0 days') AND ordered BETWEEN '1900-01-01' AND '2199-12-31'),
    arrives TEXT CHECK (arrives IS NULL OR arrives IS date(arrives, '+0 days')),
    closed TEXT CHECK (closed <> '')
) STRICT;
CREATE INDEX purchase_order_version_order ON purchase_order_version (purchase_order_id);

CREATE TABLE order_line (
    purchase_order_version_id INTEGER NOT NULL REFERENCES purchase_order_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    item TEXT NOT NULL REFERENCES item (name),
    pack_kg REAL CHECK (pack_kg BETWEEN 0 AND 100000),
    packs INTEGER NOT NULL CHECK (packs BETWEEN 1 AND 1000000),
    cost_minor INTEGER NOT NULL CHECK (cost_minor BETWEEN 0 AND 100000000000),
    -- what a pack holds where it is not weighed: yeast by the piece, acid by the litre
    pack_l REAL CHECK (pack_l BETWEEN 0 AND 100000),
    pack_count INTEGER CHECK (pack_count BETWEEN 1 AND 1000000),
    PRIMARY KEY (purchase_order_version_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE order_receipt (
    purchase_order_version_id INTEGER NOT NULL REFERENCES purchase_order_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    lot TEXT NOT NULL REFERENCES lot (code),
    PRIMARY KEY (purchase_order_version_id, position)
) STRICT, WITHOUT ROWID;

-------------------------------------------------------------------------------------- plans and brews
CREATE TABLE plan (
    plan_id INTEGER PRIMARY KEY CHECK (plan_id > 0),
    code TEXT NOT NULL UNIQUE CHECK (code <> '' AND code = trim(code))
) STRICT;

CREATE TABLE plan_version (
    plan_version_id INTEGER PRIMARY KEY CHECK (plan_version_id > 0),
    plan_id INTEGER NOT NULL REFERENCES plan,
    entry_id INTEGER NOT NULL REFERENCES entry,
    date TEXT NOT NULL CHECK (date IS date(date, '+0 days') AND date BETWEEN '1900-01-01' AND '2199-12-31'),
    recipe TEXT NOT NULL REFERENCES recipe (name),
    brewhouse TEXT REFERENCES brewhouse (name),
    volume_l REAL CHECK (volume_l BETWEEN 0.1 AND 1000000),
    cancelled TEXT CHECK (cancelled <> ''),
    adopted TEXT CHECK (adopted <> '')
) STRICT;
CREATE INDEX plan_version_plan ON plan_version (plan_id);

CREATE TABLE reservation (
    plan_version_id INTEGER NOT NULL REFERENCES plan_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    line INTEGER NOT NULL CHECK (line BETWEEN 0 AND 1000),
    lot TEXT NOT NULL REFERENCES lot (code),
    mass_mg INTEGER CHECK (mass_mg BETWEEN 0 AND 1000000000000),
    volume_ul INTEGER CHECK (volume_ul BETWEEN 0 AND 1000000000000),
    pieces INTEGER CHECK (pieces BETWEEN 0 AND 1000000),
    instead_of TEXT REFERENCES item (name),
    PRIMARY KEY (plan_version_id, position),
    CHECK ((mass_mg IS NOT NULL) + (volume_ul IS NOT NULL) + (pieces IS NOT NULL) = 1)
) STRICT, WITHOUT ROWID;

CREATE TABLE brew (
    brew_id INTEGER PRIMARY KEY CHECK (brew_id > 0),
    code TEXT NOT NULL UNIQUE CHECK (code <> '' AND code = trim(code))
) STRICT;

-- One live head a brew.
CREATE TABLE brew_head (
    brew_head_id INTEGER PRIMARY KEY CHECK (brew_head_id > 0),
    brew_id INTEGER NOT NULL REFERENCES brew,
    entry_id INTEGER NOT NULL REFERENCES entry,
    date TEXT NOT NULL CHECK (date IS date(date, '+0 days') AND date BETWEEN '1900-01-01' AND '2199-12-31'),
    plan TEXT REFERENCES plan (code),
    recipe TEXT REFERENCES recipe (name),
    brewhouse TEXT NOT NULL REFERENCES brewhouse (name),
    boil_minutes REAL CHECK (boil_minutes BETWEEN 0 AND 1440),
    -- the brew whose fermenter this one was run into
    fermented_with TEXT REFERENCES brew (code)
) STRICT;
CREATE INDEX brew_head_brew ON brew_head (brew_id);
CREATE INDEX brew_head_plan ON brew_head (plan) WHERE plan IS NOT NULL;

CREATE TABLE reading (
    reading_id INTEGER PRIMARY KEY CHECK (reading_id > 0),
    brew_id INTEGER NOT NULL REFERENCES brew,
    entry_id INTEGER NOT NULL REFERENCES entry,
    id TEXT NOT NULL CHECK (id <> '' AND id = trim(id)),
    at TEXT CHECK (at GLOB '[0-2][0-9]:[0-5][0-9]' AND at < '24:00'),
    point TEXT NOT NULL CHECK (point IN ('mash', 'strike-liquor', 'sparge-liquor', 'first-wort', 'last-runnings',
        'kettle-full', 'cast-out', 'fermenter', 'top-up', 'kettle-liquor', 'final')),
    run INTEGER CHECK (run BETWEEN 1 AND 20),
    volume_l REAL CHECK (volume_l BETWEEN 0 AND 1000000),
    depth_cm REAL CHECK (depth_cm BETWEEN 0 AND 2000),
    mass_kg REAL CHECK (mass_kg BETWEEN 0 AND 1000000),
    volume_at_c REAL CHECK (volume_at_c BETWEEN 0 AND 105),
    volume_instrument TEXT REFERENCES instrument (name),
    temperature_c REAL CHECK (temperature_c BETWEEN -5 AND 120),
    ph REAL CHECK (ph BETWEEN 2 AND 12),
    gravity_sg REAL CHECK (gravity_sg BETWEEN 0.98 AND 1.2),
    gravity_plato REAL CHECK (gravity_plato BETWEEN -5 AND 45),
    brix REAL CHECK (brix BETWEEN -1 AND 45),
    gravity_at_c REAL CHECK (gravity_at_c BETWEEN 0 AND 100),
    gravity_instrument TEXT REFERENCES instrument (name),
    mash INTEGER CHECK (mash BETWEEN 1 AND 9),
    mill_gap_mm REAL CHECK (mill_gap_mm BETWEEN 0.1 AND 5),
    bitterness_ibu REAL CHECK (bitterness_ibu BETWEEN 0 AND 500)
) STRICT;
CREATE INDEX reading_brew ON reading (brew_id, id);

-- The newest live row says whether a reading is set aside: a reason, or NULL once it counts again.
CREATE TABLE reading_status (
    reading_status_id INTEGER PRIMARY KEY CHECK (reading_status_id > 0),
    reading_id INTEGER NOT NULL REFERENCES reading,
    entry_id INTEGER NOT NULL REFERENCES entry,
    set_aside TEXT CHECK (set_aside <> '')
) STRICT;
CREATE INDEX reading_status_reading ON reading_status (reading_id);

---------------------------------------------------------------------------------------------- movements

-- change: whole milligrams, microlitres or pieces by the lot's measure; what is added is positive. Words are compared one by
-- one: for a list after IN, SQLite builds a table at every row, a fifth of the cost of a movement.
CREATE TABLE movement (
    movement_id INTEGER PRIMARY KEY CHECK (movement_id > 0),
    entry_id INTEGER NOT NULL REFERENCES entry,
    lot_id INTEGER NOT NULL REFERENCES lot,
    on_date TEXT NOT NULL CHECK (on_date IS date(on_date, '+0 days') AND on_date BETWEEN '1900-01-01' AND '2199-12-31'),
    kind TEXT NOT NULL CHECK (kind = 'receipt' OR kind = 'brew' OR kind = 'count' OR kind = 'discard' OR kind = 'reversal'
        OR kind = 'return' OR kind = 'move' OR kind = 'unused'),
    change INTEGER NOT NULL CHECK (change BETWEEN -1000000000000 AND 1000000000000),
    reason TEXT,
    brew_id INTEGER REFERENCES brew,
    stage TEXT CHECK (stage = 'mash' OR stage = 'kettle' OR stage = 'boil' OR stage = 'stand' OR stage = 'fermenter'
        OR stage = 'dry'),
    minutes REAL CHECK (minutes BETWEEN 0 AND 100000),
    mass_instrument TEXT REFERENCES instrument (name),
    reverses_movement_id INTEGER REFERENCES movement DEFERRABLE INITIALLY DEFERRED,
    -- which of several mashes, from 1
    mash INTEGER CHECK (mash BETWEEN 1 AND 9),
    instead_of TEXT REFERENCES item (name) CHECK (instead_of IS NULL OR kind = 'brew'),
    CHECK (kind <> 'receipt' OR change > 0),
    CHECK (change <= 0 OR (kind <> 'brew' AND kind <> 'discard' AND kind <> 'return' AND kind <> 'move')),
    CHECK (change >= 0 OR kind <> 'unused'),
    CHECK (kind = 'brew' OR (stage IS NULL AND minutes IS NULL AND mass_instrument IS NULL)),
    CHECK (kind = 'brew' OR kind = 'unused' OR brew_id IS NULL),
    CHECK ((kind = 'reversal') = (reverses_movement_id IS NOT NULL))
) STRICT;
CREATE INDEX movement_lot ON movement (lot_id, on_date, change);
CREATE INDEX movement_entry ON movement (entry_id);
CREATE INDEX movement_brew ON movement (brew_id) WHERE brew_id IS NOT NULL;
CREATE UNIQUE INDEX movement_reverses ON movement (reverses_movement_id) WHERE reverses_movement_id IS NOT NULL;

-- The sum of each lot's movements, its newest day, and the last movement that is in the sum. Kept by the
-- triggers on movement; it takes no change that a movement does not account for.
CREATE TABLE lot_balance (
    lot_id INTEGER PRIMARY KEY REFERENCES lot,
    balance INTEGER NOT NULL CONSTRAINT lot_below_nothing CHECK (balance >= 0),
    newest_on TEXT NOT NULL,
    movement_id INTEGER NOT NULL
) STRICT;
CREATE TRIGGER lot_opens_balance AFTER INSERT ON lot BEGIN
    INSERT INTO lot_balance VALUES (new.lot_id, 0, '', 0);
END;
CREATE TRIGGER movement_append BEFORE INSERT ON movement BEGIN
    SELECT RAISE(ABORT, 'movement: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'movement is append-only')
        WHERE new.movement_id > 0 AND new.movement_id <= (SELECT max(movement_id) FROM movement);
    SELECT RAISE(ABORT, 'movement: taken back twice') WHERE new.reverses_movement_id IS NOT NULL
        AND EXISTS (SELECT 1 FROM movement WHERE reverses_movement_id = new.reverses_movement_id);
END;

-- The end of each day counts. Where the movement is the newest in date of its lot, the balance itself is the
-- least; else the balances at the ends of the days from it on are what is there now less what came after.
CREATE TRIGGER movement_booked AFTER INSERT ON movement BEGIN
    UPDATE lot_balance SET balance = balance + new.change, newest_on = max(newest_on, new.on_date),
        movement_id = new.movement_id WHERE lot_id = new.lot_id;
    SELECT RAISE(ABORT, 'movement: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot_balance WHERE lot_id = new.lot_id);
    SELECT RAISE(ABORT, 'movement: a reversal is equal, opposite and of the same day')
        WHERE EXISTS (SELECT 1 FROM movement AS other
            WHERE (other.movement_id = new.reverses_movement_id OR other.reverses_movement_id = new.movement_id)
            AND (other.lot_id <> new.lot_id OR other.on_date <> new.on_date OR other.change <> -new.change
                OR (other.kind = 'reversal') = (new.kind = 'reversal')));
END;
CREATE TRIGGER lot_balance_follows BEFORE UPDATE ON lot_balance BEGIN
    SELECT RAISE(ABORT, 'lot_balance follows the movements') WHERE new.lot_id <> old.lot_id
        OR new.movement_id <= old.movement_id
        OR NOT EXISTS (SELECT 1 FROM movement WHERE movement_id = new.movement_id AND lot_id = new.lot_id
            AND change = new.balance - old.balance AND max(on_date, old.newest_on) = new.newest_on);
    SELECT RAISE(ABORT, 'lot_below_nothing') WHERE new.balance < 0;
END;

-- A trigger of its own, whose WHEN keeps its sums from being prepared for the many movements that are not back-dated.
CREATE TRIGGER lot_balance_back_dated AFTER UPDATE ON lot_balance
WHEN new.balance < old.balance
    AND (SELECT on_date FROM movement WHERE movement_id = new.movement_id) < new.newest_on BEGIN
    SELECT RAISE(ABORT, 'lot_below_nothing') WHERE new.balance < (
        SELECT max(came_after) FROM (
            SELECT sum(sum(change)) OVER (ORDER BY on_date DESC) AS came_after FROM movement
            WHERE lot_id = new.lot_id
                AND on_date > (SELECT on_date FROM movement WHERE movement_id = new.movement_id) GROUP BY on_date));
END;
CREATE TRIGGER lot_balance_append BEFORE INSERT ON lot_balance BEGIN
    SELECT RAISE(ABORT, 'lot_balance follows the movements') WHERE new.balance <> 0 OR new.newest_on <> ''
        OR new.movement_id <> 0 OR EXISTS (SELECT 1 FROM lot_balance WHERE lot_id = new.lot_id);
END;
CREATE TRIGGER lot_balance_no_delete BEFORE DELETE ON lot_balance BEGIN
    SELECT RAISE(ABORT, 'lot_balance is append-only');
END;

------------------------------------------------------------------------------------ what holds today

-- The newest live version of each definition.
CREATE VIEW item_now AS
SELECT item.name, version.* FROM item JOIN item_version AS version ON version.item_version_id = (
    SELECT max(item_version_id) FROM item_version WHERE item_id = item.item_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = item_version.entry_id));

CREATE VIEW instrument_now AS
SELECT instrument.name, version.* FROM instrument
JOIN instrument_version AS version ON version.instrument_version_id = (
    SELECT max(instrument_version_id) FROM instrument_version WHERE instrument_id = instrument.instrument_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = instrument_version.entry_id));

CREATE VIEW brewhouse_now AS
SELECT brewhouse.name, version.* FROM brewhouse
JOIN brewhouse_version AS version ON version.brewhouse_version_id = (
    SELECT max(brewhouse_version_id) FROM brewhouse_version WHERE brewhouse_id = brewhouse.brewhouse_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = brewhouse_version.entry_id));

CREATE VIEW recipe_now AS
SELECT recipe.name, version.* FROM recipe JOIN recipe_version AS version ON version.recipe_version_id = (
    SELECT max(recipe_version_id) FROM recipe_version WHERE recipe_id = recipe.recipe_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = recipe_version.entry_id));

CREATE VIEW supplier_now AS
SELECT supplier.name, version.* FROM supplier JOIN supplier_version AS version ON version.supplier_version_id = (
    SELECT max(supplier_version_id) FROM supplier_version WHERE supplier_id = supplier.supplier_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = supplier_version.entry_id));

CREATE VIEW offer_now AS
SELECT offer.supplier, offer.item, offer.pack_kg, offer.pack_l, offer.pack_count, version.* FROM offer
JOIN offer_version AS version ON version.offer_version_id = (
    SELECT max(offer_version_id) FROM offer_version WHERE offer_id = offer.offer_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = offer_version.entry_id));

CREATE VIEW purchase_order_now AS
SELECT purchase_order.code, version.* FROM purchase_order
JOIN purchase_order_version AS version ON version.purchase_order_version_id = (
    SELECT max(purchase_order_version_id) FROM purchase_order_version
    WHERE purchase_order_id = purchase_order.purchase_order_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = purchase_order_version.entry_id));

CREATE VIEW plan_now AS
SELECT plan.code, version.* FROM plan JOIN plan_version AS version ON version.plan_version_id = (
    SELECT max(plan_version_id) FROM plan_version WHERE plan_id = plan.plan_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = plan_version.entry_id));

CREATE VIEW brew_now AS
SELECT brew.code, head.*, (SELECT abandoned FROM brew_end WHERE brew_end.brew_id = brew.brew_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = brew_end.entry_id)
        ORDER BY brew_end_id DESC LIMIT 1) AS abandoned
FROM brew JOIN brew_head AS head USING (brew_id)
WHERE NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = head.entry_id);

-- A plan is open until a live brew names it.
CREATE VIEW plan_open AS
SELECT * FROM plan_now WHERE cancelled IS NULL AND NOT EXISTS (SELECT 1 FROM brew_head
    WHERE brew_head.plan = plan_now.code
    AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = brew_head.entry_id));

CREATE VIEW lot_promise AS
SELECT lot, sum(coalesce(mass_mg, volume_ul, pieces)) AS promised
FROM plan_open JOIN reservation USING (plan_version_id) GROUP BY lot;

CREATE VIEW lot_now AS
SELECT lot.code, lot.measure, detail.*,
    (SELECT held FROM lot_hold WHERE lot_hold.lot_id = lot.lot_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = lot_hold.entry_id)
        ORDER BY lot_hold_id DESC LIMIT 1) AS held,
    (SELECT opened FROM lot_opening WHERE lot_opening.lot_id = lot.lot_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = lot_opening.entry_id)
        ORDER BY lot_opening_id DESC LIMIT 1) AS opened
FROM lot JOIN lot_detail AS detail USING (lot_id)
WHERE NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = detail.entry_id);

CREATE VIEW stock_now AS
SELECT item, lot_now.code, measure, balance, promised, coalesce(mass_mg, volume_ul, pieces) AS received_amount,
    price_minor, received, best_before, held
FROM lot_now JOIN lot_balance USING (lot_id) LEFT JOIN lot_promise ON lot_promise.lot = lot_now.code;

CREATE VIEW reading_now AS
SELECT reading.*, (SELECT set_aside FROM reading_status WHERE reading_status.reading_id = reading.reading_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = reading_status.entry_id)
        ORDER BY reading_status_id DESC LIMIT 1) AS set_aside
FROM reading WHERE NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = reading.entry_id);

------------------------------------------------------------------------------- what an entry touches

-- For each name, the entries that state it (role 'states') and those that use it (role 'uses').
CREATE VIEW item_touch AS
SELECT name AS item, entry_id, 'states' AS role FROM item JOIN item_version USING (item_id)
UNION ALL SELECT item, entry_id, 'uses' FROM stand_in JOIN item_version USING (item_version_id)
UNION ALL SELECT item, entry_id, 'uses' FROM lot_detail
UNION ALL SELECT item, entry_id, 'uses' FROM recipe_grist JOIN recipe_version USING (recipe_version_id)
UNION ALL SELECT item, entry_id, 'uses' FROM recipe_hop JOIN recipe_version USING (recipe_version_id)
UNION ALL SELECT item, entry_id, 'uses' FROM recipe_other JOIN recipe_version USING (recipe_version_id)
UNION ALL SELECT item, entry_id, 'uses' FROM offer JOIN offer_version USING (offer_id)
UNION ALL SELECT item, entry_id, 'uses' FROM order_line JOIN purchase_order_version USING (purchase_order_version_id)
UNION ALL SELECT instead_of, entry_id, 'uses' FROM reservation JOIN plan_version USING (plan_version_id)
    WHERE instead_of IS NOT NULL
UNION ALL SELECT instead_of, entry_id, 'uses' FROM movement WHERE instead_of IS NOT NULL;

CREATE VIEW instrument_touch AS
SELECT name AS instrument, entry_id, 'states' AS role FROM instrument JOIN instrument_version USING (instrument_id)
UNION ALL SELECT volume_instrument, entry_id, 'uses' FROM vessel JOIN brewhouse_version USING (brewhouse_version_id)
UNION ALL SELECT gravity_instrument, entry_id, 'uses' FROM vessel JOIN brewhouse_version USING (brewhouse_version_id)
UNION ALL SELECT volume_instrument, entry_id, 'uses' FROM reading
UNION ALL SELECT gravity_instrument, entry_id, 'uses' FROM reading
UNION ALL SELECT mass_instrument, entry_id, 'uses' FROM movement;

CREATE VIEW brewhouse_touch AS
SELECT name AS brewhouse, entry_id, 'states' AS role FROM brewhouse JOIN brewhouse_version USING (brewhouse_id)
UNION ALL SELECT brewhouse, entry_id, 'uses' FROM plan_version
UNION ALL SELECT brewhouse, entry_id, 'uses' FROM brew_head;

CREATE VIEW recipe_touch AS
SELECT name AS recipe, entry_id, 'states' AS role FROM recipe JOIN recipe_version USING (recipe_id)
UNION ALL SELECT recipe, entry_id, 'uses' FROM plan_version
UNION ALL SELECT recipe, entry_id, 'uses' FROM brew_head;

CREATE VIEW plan_touch AS
SELECT code AS plan, entry_id, 'states' AS role FROM plan JOIN plan_version USING (plan_id)
UNION ALL SELECT plan, entry_id, 'uses' FROM brew_head;

CREATE VIEW lot_touch AS
SELECT code AS lot, entry_id, 'states' AS role FROM lot JOIN lot_detail USING (lot_id)
UNION ALL SELECT code, entry_id, 'uses' FROM lot JOIN retest USING (lot_id)
UNION ALL SELECT code, entry_id, 'uses' FROM lot JOIN lot_hold USING (lot_id)
UNION ALL SELECT code, entry_id, 'uses' FROM lot JOIN lot_opening USING (lot_id)
UNION ALL SELECT code, entry_id, 'uses' FROM lot JOIN movement USING (lot_id)
UNION ALL SELECT lot, entry_id, 'uses' FROM reservation JOIN plan_version USING (plan_version_id)
UNION ALL SELECT lot, entry_id, 'uses' FROM order_receipt JOIN purchase_order_version USING (purchase_order_version_id);

CREATE VIEW brew_touch AS
SELECT code AS brew, entry_id, 'states' AS role FROM brew JOIN brew_head USING (brew_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN reading USING (brew_id)
UNION ALL SELECT code, reading_status.entry_id, 'uses' FROM brew JOIN reading USING (brew_id)
    JOIN reading_status USING (reading_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN movement USING (brew_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN brew_end USING (brew_id)
UNION ALL SELECT harvested_from, entry_id, 'uses' FROM lot_detail WHERE harvested_from IS NOT NULL
UNION ALL SELECT fermented_with, entry_id, 'uses' FROM brew_head WHERE fermented_with IS NOT NULL;

------------------------------------------------------------------------------------------- append-only

-- INSERT OR REPLACE deletes without asking the triggers on DELETE: an insert that meets a key that is there
-- is refused before it can. Rows are booked under the newest entry alone, so that no old one gains any.
CREATE TRIGGER migration_no_update BEFORE UPDATE ON migration BEGIN
    SELECT RAISE(ABORT, 'migration is append-only');
END;
CREATE TRIGGER migration_no_delete BEFORE DELETE ON migration BEGIN
    SELECT RAISE(ABORT, 'migration is append-only');
END;
CREATE TRIGGER ledger_no_update BEFORE UPDATE ON ledger BEGIN SELECT RAISE(ABORT, 'ledger is append-only'); END;
CREATE TRIGGER ledger_no_delete BEFORE DELETE ON ledger BEGIN SELECT RAISE(ABORT, 'ledger is append-only'); END;
CREATE TRIGGER migration_append BEFORE INSERT ON migration BEGIN
    SELECT RAISE(ABORT, 'migration is append-only')
        WHERE EXISTS (SELECT 1 FROM migration WHERE migration_id = new.migration_id OR name = new.name);
END;
CREATE TRIGGER ledger_append BEFORE INSERT ON ledger BEGIN
    SELECT RAISE(ABORT, 'ledger is append-only') WHERE EXISTS (SELECT 1 FROM ledger WHERE ledger_id = new.ledger_id);
END;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entry is append-only'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entry is append-only'); END;
CREATE TRIGGER entry_append BEFORE INSERT ON entry BEGIN
    SELECT RAISE(ABORT, 'entry is append-only')
        WHERE new.entry_id > 0 AND new.entry_id <= (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER entry_numbered AFTER INSERT ON entry WHEN new.entry_id > 1 BEGIN
    SELECT RAISE(ABORT, 'entry: numbers leave no gap')
        WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry_id = new.entry_id - 1);
END;
CREATE TRIGGER reversal_no_update BEFORE UPDATE ON reversal BEGIN SELECT RAISE(ABORT, 'reversal is append-only'); END;
CREATE TRIGGER reversal_no_delete BEFORE DELETE ON reversal BEGIN SELECT RAISE(ABORT, 'reversal is append-only'); END;
CREATE TRIGGER reversal_append BEFORE INSERT ON reversal BEGIN
    SELECT RAISE(ABORT, 'reversal: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'reversal is append-only')
        WHERE EXISTS (SELECT 1 FROM reversal
            WHERE entry_id = new.entry_id OR reverses_entry_id = new.reverses_entry_id);
    SELECT RAISE(ABORT, 'reversal: only an entry of kind reverse takes one back, and not another reversal or the first')
        WHERE new.reverses_entry_id = 1
        OR (SELECT kind FROM entry WHERE entry_id = new.entry_id) IS NOT 'reverse'
        OR (SELECT kind FROM entry WHERE entry_id = new.reverses_entry_id) IS 'reverse';
END;
CREATE TRIGGER item_no_update BEFORE UPDATE ON item BEGIN SELECT RAISE(ABORT, 'item is append-only'); END;
CREATE TRIGGER item_no_delete BEFORE DELETE ON item BEGIN SELECT RAISE(ABORT, 'item is append-only'); END;
CREATE TRIGGER item_append BEFORE INSERT ON item BEGIN
    SELECT RAISE(ABORT, 'item is append-only')
        WHERE EXISTS (SELECT 1 FROM item WHERE item_id = new.item_id OR name = new.name);
END;
CREATE TRIGGER instrument_no_update BEFORE UPDATE ON instrument BEGIN
    SELECT RAISE(ABORT, 'instrument is append-only');
END;
CREATE TRIGGER instrument_no_delete BEFORE DELETE ON instrument BEGIN
    SELECT RAISE(ABORT, 'instrument is append-only');
END;
CREATE TRIGGER instrument_append BEFORE INSERT ON instrument BEGIN
    SELECT RAISE(ABORT, 'instrument is append-only')
        WHERE EXISTS (SELECT 1 FROM instrument WHERE instrument_id = new.instrument_id OR name = new.name);
END;
CREATE TRIGGER brewhouse_no_update BEFORE UPDATE ON brewhouse BEGIN
    SELECT RAISE(ABORT, 'brewhouse is append-only');
END;
CREATE TRIGGER brewhouse_no_delete BEFORE DELETE ON brewhouse BEGIN
    SELECT RAISE(ABORT, 'brewhouse is append-only');
END;
CREATE TRIGGER brewhouse_append BEFORE INSERT ON brewhouse BEGIN
    SELECT RAISE(ABORT, 'brewhouse is append-only')
        WHERE EXISTS (SELECT 1 FROM brewhouse WHERE brewhouse_id = new.brewhouse_id OR name = new.name);
END;
CREATE TRIGGER recipe_no_update BEFORE UPDATE ON recipe BEGIN SELECT RAISE(ABORT, 'recipe is append-only'); END;
CREATE TRIGGER recipe_no_delete BEFORE DELETE ON recipe BEGIN SELECT RAISE(ABORT, 'recipe is append-only'); END;
CREATE TRIGGER recipe_append BEFORE INSERT ON recipe BEGIN
    SELECT RAISE(ABORT, 'recipe is append-only')
        WHERE EXISTS (SELECT 1 FROM recipe WHERE recipe_id = new.recipe_id OR name = new.name);
END;
CREATE TRIGGER supplier_no_update BEFORE UPDATE ON supplier BEGIN SELECT RAISE(ABORT, 'supplier is append-only'); END;
CREATE TRIGGER supplier_no_delete BEFORE DELETE ON supplier BEGIN SELECT RAISE(ABORT, 'supplier is append-only'); END;
CREATE TRIGGER supplier_append BEFORE INSERT ON supplier BEGIN
    SELECT RAISE(ABORT, 'supplier is append-only')
        WHERE EXISTS (SELECT 1 FROM supplier WHERE supplier_id = new.supplier_id OR name = new.name);
END;
CREATE TRIGGER lot_no_update BEFORE UPDATE ON lot BEGIN SELECT RAISE(ABORT, 'lot is append-only'); END;
CREATE TRIGGER lot_no_delete BEFORE DELETE ON lot BEGIN SELECT RAISE(ABORT, 'lot is append-only'); END;
CREATE TRIGGER lot_append BEFORE INSERT ON lot BEGIN
    SELECT RAISE(ABORT, 'lot is append-only')
        WHERE EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id OR code = new.code);
END;
CREATE TRIGGER purchase_order_no_update BEFORE UPDATE ON purchase_order BEGIN
    SELECT RAISE(ABORT, 'purchase_order is append-only');
END;
CREATE TRIGGER purchase_order_no_delete BEFORE DELETE ON purchase_order BEGIN
    SELECT RAISE(ABORT, 'purchase_order is append-only');
END;
CREATE TRIGGER purchase_order_append BEFORE INSERT ON purchase_order BEGIN
    SELECT RAISE(ABORT, 'purchase_order is append-only')
        WHERE EXISTS (SELECT 1 FROM purchase_order
            WHERE purchase_order_id = new.purchase_order_id OR code = new.code);
END;
CREATE TRIGGER plan_no_update BEFORE UPDATE ON plan BEGIN SELECT RAISE(ABORT, 'plan is append-only'); END;
CREATE TRIGGER plan_no_delete BEFORE DELETE ON plan BEGIN SELECT RAISE(ABORT, 'plan is append-only'); END;
CREATE TRIGGER plan_append BEFORE INSERT ON plan BEGIN
    SELECT RAISE(ABORT, 'plan is append-only')
        WHERE EXISTS (SELECT 1 FROM plan WHERE plan_id = new.plan_id OR code = new.code);
END;
CREATE TRIGGER brew_no_update BEFORE UPDATE ON brew BEGIN SELECT RAISE(ABORT, 'brew is append-only'); END;
CREATE TRIGGER brew_no_delete BEFORE DELETE ON brew BEGIN SELECT RAISE(ABORT, 'brew is append-only'); END;
CREATE TRIGGER brew_append BEFORE INSERT ON brew BEGIN
    SELECT RAISE(ABORT, 'brew is append-only')
        WHERE EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id OR code = new.code);
END;
CREATE TRIGGER offer_no_update BEFORE UPDATE ON offer BEGIN SELECT RAISE(ABORT, 'offer is append-only'); END;
CREATE TRIGGER offer_no_delete BEFORE DELETE ON offer BEGIN SELECT RAISE(ABORT, 'offer is append-only'); END;
CREATE TRIGGER offer_append BEFORE INSERT ON offer BEGIN
    SELECT RAISE(ABORT, 'offer is append-only')
        WHERE EXISTS (SELECT 1 FROM offer
            WHERE offer_id = new.offer_id OR (supplier = new.supplier AND item = new.item
        AND pack_kg IS new.pack_kg AND pack_l IS new.pack_l AND pack_count IS new.pack_count));
END;
CREATE TRIGGER item_version_no_update BEFORE UPDATE ON item_version BEGIN
    SELECT RAISE(ABORT, 'item_version is append-only');
END;
CREATE TRIGGER item_version_no_delete BEFORE DELETE ON item_version BEGIN
    SELECT RAISE(ABORT, 'item_version is append-only');
END;
CREATE TRIGGER item_version_append BEFORE INSERT ON item_version BEGIN
    SELECT RAISE(ABORT, 'item_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'item_version is append-only')
        WHERE EXISTS (SELECT 1 FROM item_version WHERE item_version_id = new.item_version_id);
END;
CREATE TRIGGER instrument_version_no_update BEFORE UPDATE ON instrument_version BEGIN
    SELECT RAISE(ABORT, 'instrument_version is append-only');
END;
CREATE TRIGGER instrument_version_no_delete BEFORE DELETE ON instrument_version BEGIN
    SELECT RAISE(ABORT, 'instrument_version is append-only');
END;
CREATE TRIGGER instrument_version_append BEFORE INSERT ON instrument_version BEGIN
    SELECT RAISE(ABORT, 'instrument_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'instrument_version is append-only')
        WHERE EXISTS (SELECT 1 FROM instrument_version WHERE instrument_version_id = new.instrument_version_id);
END;
CREATE TRIGGER brewhouse_version_no_update BEFORE UPDATE ON brewhouse_version BEGIN
    SELECT RAISE(ABORT, 'brewhouse_version is append-only');
END;
CREATE TRIGGER brewhouse_version_no_delete BEFORE DELETE ON brewhouse_version BEGIN
    SELECT RAISE(ABORT, 'brewhouse_version is append-only');
END;
CREATE TRIGGER brewhouse_version_append BEFORE INSERT ON brewhouse_version BEGIN
    SELECT RAISE(ABORT, 'brewhouse_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'brewhouse_version is append-only')
        WHERE EXISTS (SELECT 1 FROM brewhouse_version WHERE brewhouse_version_id = new.brewhouse_version_id);
END;
CREATE TRIGGER recipe_version_no_update BEFORE UPDATE ON recipe_version BEGIN
    SELECT RAISE(ABORT, 'recipe_version is append-only');
END;
CREATE TRIGGER recipe_version_no_delete BEFORE DELETE ON recipe_version BEGIN
    SELECT RAISE(ABORT, 'recipe_version is append-only');
END;
CREATE TRIGGER recipe_version_append BEFORE INSERT ON recipe_version BEGIN
    SELECT RAISE(ABORT, 'recipe_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'recipe_version is append-only')
        WHERE EXISTS (SELECT 1 FROM recipe_version WHERE recipe_version_id = new.recipe_version_id);
END;
CREATE TRIGGER supplier_version_no_update BEFORE UPDATE ON supplier_version BEGIN
    SELECT RAISE(ABORT, 'supplier_version is append-only');
END;
CREATE TRIGGER supplier_version_no_delete BEFORE DELETE ON supplier_version BEGIN
    SELECT RAISE(ABORT, 'supplier_version is append-only');
END;
CREATE TRIGGER supplier_version_append BEFORE INSERT ON supplier_version BEGIN
    SELECT RAISE(ABORT, 'supplier_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'supplier_version is append-only')
        WHERE EXISTS (SELECT 1 FROM supplier_version WHERE supplier_version_id = new.supplier_version_id);
END;
CREATE TRIGGER offer_version_no_update BEFORE UPDATE ON offer_version BEGIN
    SELECT RAISE(ABORT, 'offer_version is append-only');
END;
CREATE TRIGGER offer_version_no_delete BEFORE DELETE ON offer_version BEGIN
    SELECT RAISE(ABORT, 'offer_version is append-only');
END;
CREATE TRIGGER offer_version_append BEFORE INSERT ON offer_version BEGIN
    SELECT RAISE(ABORT, 'offer_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'offer_version is append-only')
        WHERE EXISTS (SELECT 1 FROM offer_version WHERE offer_version_id = new.offer_version_id);
END;
CREATE TRIGGER lot_detail_no_update BEFORE UPDATE ON lot_detail BEGIN
    SELECT RAISE(ABORT, 'lot_detail is append-only');
END;
CREATE TRIGGER lot_detail_no_delete BEFORE DELETE ON lot_detail BEGIN
    SELECT RAISE(ABORT, 'lot_detail is append-only');
END;
CREATE TRIGGER lot_detail_append BEFORE INSERT ON lot_detail BEGIN
    SELECT RAISE(ABORT, 'lot_detail: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'lot_detail is append-only')
        WHERE EXISTS (SELECT 1 FROM lot_detail WHERE lot_detail_id = new.lot_detail_id);
    SELECT RAISE(ABORT, 'lot_detail: the lot is there already')
        WHERE EXISTS (SELECT 1 FROM lot_now WHERE lot_id = new.lot_id);
    SELECT RAISE(ABORT, 'lot_detail: the lot is of another measure')
        WHERE (SELECT measure FROM lot WHERE lot_id = new.lot_id)
        IS NOT iif(new.mass_mg IS NOT NULL, 'mass', iif(new.volume_ul IS NOT NULL, 'volume', 'count'));
END;
CREATE TRIGGER retest_no_update BEFORE UPDATE ON retest BEGIN SELECT RAISE(ABORT, 'retest is append-only'); END;
CREATE TRIGGER retest_no_delete BEFORE DELETE ON retest BEGIN SELECT RAISE(ABORT, 'retest is append-only'); END;
CREATE TRIGGER retest_append BEFORE INSERT ON retest BEGIN
    SELECT RAISE(ABORT, 'retest: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'retest is append-only') WHERE EXISTS (SELECT 1 FROM retest WHERE retest_id = new.retest_id);
END;
CREATE TRIGGER lot_hold_no_update BEFORE UPDATE ON lot_hold BEGIN SELECT RAISE(ABORT, 'lot_hold is append-only'); END;
CREATE TRIGGER lot_hold_no_delete BEFORE DELETE ON lot_hold BEGIN SELECT RAISE(ABORT, 'lot_hold is append-only'); END;
CREATE TRIGGER lot_hold_append BEFORE INSERT ON lot_hold BEGIN
    SELECT RAISE(ABORT, 'lot_hold: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'lot_hold is append-only')
        WHERE EXISTS (SELECT 1 FROM lot_hold WHERE lot_hold_id = new.lot_hold_id);
END;
CREATE TRIGGER purchase_order_version_no_update BEFORE UPDATE ON purchase_order_version BEGIN
    SELECT RAISE(ABORT, 'purchase_order_version is append-only');
END;
CREATE TRIGGER purchase_order_version_no_delete BEFORE DELETE ON purchase_order_version BEGIN
    SELECT RAISE(ABORT, 'purchase_order_version is append-only');
END;
CREATE TRIGGER purchase_order_version_append BEFORE INSERT ON purchase_order_version BEGIN
    SELECT RAISE(ABORT, 'purchase_order_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'purchase_order_version is append-only')
        WHERE EXISTS (SELECT 1 FROM purchase_order_version
            WHERE purchase_order_version_id = new.purchase_order_version_id);
END;
CREATE TRIGGER plan_version_no_update BEFORE UPDATE ON plan_version BEGIN
    SELECT RAISE(ABORT, 'plan_version is append-only');
END;
CREATE TRIGGER plan_version_no_delete BEFORE DELETE ON plan_version BEGIN
    SELECT RAISE(ABORT, 'plan_version is append-only');
END;
CREATE TRIGGER plan_version_append BEFORE INSERT ON plan_version BEGIN
    SELECT RAISE(ABORT, 'plan_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'plan_version is append-only')
        WHERE EXISTS (SELECT 1 FROM plan_version WHERE plan_version_id = new.plan_version_id);
END;
CREATE TRIGGER brew_head_no_update BEFORE UPDATE ON brew_head BEGIN
    SELECT RAISE(ABORT, 'brew_head is append-only');
END;
CREATE TRIGGER brew_head_no_delete BEFORE DELETE ON brew_head BEGIN
    SELECT RAISE(ABORT, 'brew_head is append-only');
END;
CREATE TRIGGER brew_head_append BEFORE INSERT ON brew_head BEGIN
    SELECT RAISE(ABORT, 'brew_head: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'brew_head is append-only')
        WHERE EXISTS (SELECT 1 FROM brew_head WHERE brew_head_id = new.brew_head_id);
    SELECT RAISE(ABORT, 'brew_head: the brew is there already')
        WHERE EXISTS (SELECT 1 FROM brew_now WHERE brew_id = new.brew_id);
    SELECT RAISE(ABORT, 'brew_head: the plan has been brewed already')
        WHERE EXISTS (SELECT 1 FROM brew_now WHERE plan = new.plan);
END;
CREATE TRIGGER reading_no_update BEFORE UPDATE ON reading BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE TRIGGER reading_no_delete BEFORE DELETE ON reading BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE TRIGGER reading_append BEFORE INSERT ON reading BEGIN
    SELECT RAISE(ABORT, 'reading: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'reading is append-only')
        WHERE EXISTS (SELECT 1 FROM reading WHERE reading_id = new.reading_id);
    SELECT RAISE(ABORT, 'reading: the brew has one of this id') WHERE EXISTS (SELECT 1 FROM reading_now
        WHERE brew_id = new.brew_id AND id = new.id);
END;
CREATE TRIGGER reading_status_no_update BEFORE UPDATE ON reading_status BEGIN
    SELECT RAISE(ABORT, 'reading_status is append-only');
END;
CREATE TRIGGER reading_status_no_delete BEFORE DELETE ON reading_status BEGIN
    SELECT RAISE(ABORT, 'reading_status is append-only');
END;
CREATE TRIGGER reading_status_append BEFORE INSERT ON reading_status BEGIN
    SELECT RAISE(ABORT, 'reading_status: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'reading_status is append-only')
        WHERE EXISTS (SELECT 1 FROM reading_status WHERE reading_status_id = new.reading_status_id);
END;
CREATE TRIGGER stand_in_no_update BEFORE UPDATE ON stand_in BEGIN SELECT RAISE(ABORT, 'stand_in is append-only'); END;
CREATE TRIGGER stand_in_no_delete BEFORE DELETE ON stand_in BEGIN SELECT RAISE(ABORT, 'stand_in is append-only'); END;
CREATE TRIGGER stand_in_append BEFORE INSERT ON stand_in BEGIN
    SELECT RAISE(ABORT, 'stand_in is append-only')
        WHERE EXISTS (SELECT 1 FROM stand_in WHERE item_version_id = new.item_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'stand_in: rows are booked under the newest entry') WHERE (SELECT entry_id FROM item_version
        WHERE item_version_id = new.item_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER vessel_no_update BEFORE UPDATE ON vessel BEGIN SELECT RAISE(ABORT, 'vessel is append-only'); END;
CREATE TRIGGER vessel_no_delete BEFORE DELETE ON vessel BEGIN SELECT RAISE(ABORT, 'vessel is append-only'); END;
CREATE TRIGGER vessel_append BEFORE INSERT ON vessel BEGIN
    SELECT RAISE(ABORT, 'vessel is append-only') WHERE EXISTS (SELECT 1 FROM vessel WHERE vessel_id = new.vessel_id);
    SELECT RAISE(ABORT, 'vessel: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM brewhouse_version
        WHERE brewhouse_version_id = new.brewhouse_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER recipe_grist_no_update BEFORE UPDATE ON recipe_grist BEGIN
    SELECT RAISE(ABORT, 'recipe_grist is append-only');
END;
CREATE TRIGGER recipe_grist_no_delete BEFORE DELETE ON recipe_grist BEGIN
    SELECT RAISE(ABORT, 'recipe_grist is append-only');
END;
CREATE TRIGGER recipe_grist_append BEFORE INSERT ON recipe_grist BEGIN
    SELECT RAISE(ABORT, 'recipe_grist is append-only')
        WHERE EXISTS (SELECT 1 FROM recipe_grist
            WHERE recipe_version_id = new.recipe_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'recipe_grist: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM recipe_version
        WHERE recipe_version_id = new.recipe_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER recipe_hop_no_update BEFORE UPDATE ON recipe_hop BEGIN
    SELECT RAISE(ABORT, 'recipe_hop is append-only');
END;
CREATE TRIGGER recipe_hop_no_delete BEFORE DELETE ON recipe_hop BEGIN
    SELECT RAISE(ABORT, 'recipe_hop is append-only');
END;
CREATE TRIGGER recipe_hop_append BEFORE INSERT ON recipe_hop BEGIN
    SELECT RAISE(ABORT, 'recipe_hop is append-only')
        WHERE EXISTS (SELECT 1 FROM recipe_hop
            WHERE recipe_version_id = new.recipe_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'recipe_hop: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM recipe_version
        WHERE recipe_version_id = new.recipe_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER recipe_other_no_update BEFORE UPDATE ON recipe_other BEGIN
    SELECT RAISE(ABORT, 'recipe_other is append-only');
END;
CREATE TRIGGER recipe_other_no_delete BEFORE DELETE ON recipe_other BEGIN
    SELECT RAISE(ABORT, 'recipe_other is append-only');
END;
CREATE TRIGGER recipe_other_append BEFORE INSERT ON recipe_other BEGIN
    SELECT RAISE(ABORT, 'recipe_other is append-only')
        WHERE EXISTS (SELECT 1 FROM recipe_other
            WHERE recipe_version_id = new.recipe_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'recipe_other: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM recipe_version
        WHERE recipe_version_id = new.recipe_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER closed_weekday_no_update BEFORE UPDATE ON closed_weekday BEGIN
    SELECT RAISE(ABORT, 'closed_weekday is append-only');
END;
CREATE TRIGGER closed_weekday_no_delete BEFORE DELETE ON closed_weekday BEGIN
    SELECT RAISE(ABORT, 'closed_weekday is append-only');
END;
CREATE TRIGGER closed_weekday_append BEFORE INSERT ON closed_weekday BEGIN
    SELECT RAISE(ABORT, 'closed_weekday is append-only')
        WHERE EXISTS (SELECT 1 FROM closed_weekday
            WHERE supplier_version_id = new.supplier_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'closed_weekday: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM supplier_version
        WHERE supplier_version_id = new.supplier_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER price_step_no_update BEFORE UPDATE ON price_step BEGIN
    SELECT RAISE(ABORT, 'price_step is append-only');
END;
CREATE TRIGGER price_step_no_delete BEFORE DELETE ON price_step BEGIN
    SELECT RAISE(ABORT, 'price_step is append-only');
END;
CREATE TRIGGER price_step_append BEFORE INSERT ON price_step BEGIN
    SELECT RAISE(ABORT, 'price_step is append-only')
        WHERE EXISTS (SELECT 1 FROM price_step
            WHERE offer_version_id = new.offer_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'price_step: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM offer_version
        WHERE offer_version_id = new.offer_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER order_line_no_update BEFORE UPDATE ON order_line BEGIN
    SELECT RAISE(ABORT, 'order_line is append-only');
END;
CREATE TRIGGER order_line_no_delete BEFORE DELETE ON order_line BEGIN
    SELECT RAISE(ABORT, 'order_line is append-only');
END;
CREATE TRIGGER order_line_append BEFORE INSERT ON order_line BEGIN
    SELECT RAISE(ABORT, 'order_line is append-only')
        WHERE EXISTS (SELECT 1 FROM order_line
            WHERE purchase_order_version_id = new.purchase_order_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'order_line: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM purchase_order_version
        WHERE purchase_order_version_id = new.purchase_order_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER order_receipt_no_update BEFORE UPDATE ON order_receipt BEGIN
    SELECT RAISE(ABORT, 'order_receipt is append-only');
END;
CREATE TRIGGER order_receipt_no_delete BEFORE DELETE ON order_receipt BEGIN
    SELECT RAISE(ABORT, 'order_receipt is append-only');
END;
CREATE TRIGGER order_receipt_append BEFORE INSERT ON order_receipt BEGIN
    SELECT RAISE(ABORT, 'order_receipt is append-only')
        WHERE EXISTS (SELECT 1 FROM order_receipt
            WHERE purchase_order_version_id = new.purchase_order_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'order_receipt: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM purchase_order_version
        WHERE purchase_order_version_id = new.purchase_order_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER reservation_no_update BEFORE UPDATE ON reservation BEGIN
    SELECT RAISE(ABORT, 'reservation is append-only');
END;
CREATE TRIGGER reservation_no_delete BEFORE DELETE ON reservation BEGIN
    SELECT RAISE(ABORT, 'reservation is append-only');
END;
CREATE TRIGGER reservation_append BEFORE INSERT ON reservation BEGIN
    SELECT RAISE(ABORT, 'reservation is append-only')
        WHERE EXISTS (SELECT 1 FROM reservation
            WHERE plan_version_id = new.plan_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'reservation: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM plan_version
        WHERE plan_version_id = new.plan_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER certificate_no_update BEFORE UPDATE ON certificate BEGIN
    SELECT RAISE(ABORT, 'certificate is append-only');
END;
CREATE TRIGGER certificate_no_delete BEFORE DELETE ON certificate BEGIN
    SELECT RAISE(ABORT, 'certificate is append-only');
END;
CREATE TRIGGER certificate_append BEFORE INSERT ON certificate BEGIN
    SELECT RAISE(ABORT, 'certificate is append-only')
        WHERE EXISTS (SELECT 1 FROM certificate WHERE lot_detail_id = new.lot_detail_id);
    SELECT RAISE(ABORT, 'certificate: rows are booked under the newest entry') WHERE (SELECT entry_id FROM lot_detail
        WHERE lot_detail_id = new.lot_detail_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER dip_mark_no_update BEFORE UPDATE ON dip_mark BEGIN SELECT RAISE(ABORT, 'dip_mark is append-only'); END;
CREATE TRIGGER dip_mark_no_delete BEFORE DELETE ON dip_mark BEGIN SELECT RAISE(ABORT, 'dip_mark is append-only'); END;
CREATE TRIGGER dip_mark_append BEFORE INSERT ON dip_mark BEGIN
    SELECT RAISE(ABORT, 'dip_mark is append-only')
        WHERE EXISTS (SELECT 1 FROM dip_mark WHERE vessel_id = new.vessel_id AND position = new.position);
    SELECT RAISE(ABORT, 'dip_mark: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM brewhouse_version
        JOIN vessel USING (brewhouse_version_id)
        WHERE vessel_id = new.vessel_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER movement_no_update BEFORE UPDATE ON movement BEGIN SELECT RAISE(ABORT, 'movement is append-only'); END;
CREATE TRIGGER movement_no_delete BEFORE DELETE ON movement BEGIN SELECT RAISE(ABORT, 'movement is append-only'); END;

-- The chain of seals: each entry carries a SHA-256 over all that was booked under it and the seal of the entry
-- before, so that a change made behind the program's back is found, and the entry it was made in is named.
--
-- A seal is made by the program when it books. An entry without one was booked by another program. What is hashed, and
-- in which order, stands in docs/ledger.md.
CREATE TABLE seal (
    entry_id INTEGER PRIMARY KEY REFERENCES entry,
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*')
) STRICT;
CREATE TRIGGER seal_no_update BEFORE UPDATE ON seal BEGIN SELECT RAISE(ABORT, 'seal is append-only'); END;
CREATE TRIGGER seal_no_delete BEFORE DELETE ON seal BEGIN SELECT RAISE(ABORT, 'seal is append-only'); END;
CREATE TRIGGER seal_append BEFORE INSERT ON seal BEGIN
    SELECT RAISE(ABORT, 'seal is append-only') WHERE new.entry_id <= (SELECT max(entry_id) FROM seal);
END;

-- The lots that a lot was made of, by sharing one out or putting several together, and how much of each.
CREATE TABLE lot_source (
    lot_detail_id INTEGER NOT NULL REFERENCES lot_detail,
    position INTEGER NOT NULL CHECK (position >= 0),
    lot TEXT NOT NULL REFERENCES lot (code),
    mass_mg INTEGER CHECK (mass_mg BETWEEN 0 AND 1000000000000),
    volume_ul INTEGER CHECK (volume_ul BETWEEN 0 AND 1000000000000),
    pieces INTEGER CHECK (pieces BETWEEN 0 AND 1000000),
    PRIMARY KEY (lot_detail_id, position),
    CHECK ((mass_mg IS NOT NULL) + (volume_ul IS NOT NULL) + (pieces IS NOT NULL) = 1)
) STRICT, WITHOUT ROWID;
CREATE INDEX lot_source_lot ON lot_source (lot);
CREATE TRIGGER lot_source_no_update BEFORE UPDATE ON lot_source BEGIN
    SELECT RAISE(ABORT, 'lot_source is append-only');
END;
CREATE TRIGGER lot_source_no_delete BEFORE DELETE ON lot_source BEGIN
    SELECT RAISE(ABORT, 'lot_source is append-only');
END;
CREATE TRIGGER lot_source_append BEFORE INSERT ON lot_source BEGIN
    SELECT RAISE(ABORT, 'lot_source is append-only')
        WHERE EXISTS (SELECT 1 FROM lot_source WHERE lot_detail_id = new.lot_detail_id AND position = new.position);
    SELECT RAISE(ABORT, 'lot_source: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM lot_detail
        WHERE lot_detail_id = new.lot_detail_id) IS NOT (SELECT max(entry_id) FROM entry);
END;

-- The newest live row says when a lot's pack was opened: a day, or NULL where it is closed after all.
CREATE TABLE lot_opening (
    lot_opening_id INTEGER PRIMARY KEY CHECK (lot_opening_id > 0),
    lot_id INTEGER NOT NULL REFERENCES lot,
    entry_id INTEGER NOT NULL REFERENCES entry,
    opened TEXT CHECK (opened IS NULL OR opened IS date(opened, '+0 days'))
) STRICT;
CREATE INDEX lot_opening_lot ON lot_opening (lot_id);
CREATE TRIGGER lot_opening_no_update BEFORE UPDATE ON lot_opening BEGIN
    SELECT RAISE(ABORT, 'lot_opening is append-only');
END;
CREATE TRIGGER lot_opening_no_delete BEFORE DELETE ON lot_opening BEGIN
    SELECT RAISE(ABORT, 'lot_opening is append-only');
END;
CREATE TRIGGER lot_opening_append BEFORE INSERT ON lot_opening BEGIN
    SELECT RAISE(ABORT, 'lot_opening: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'lot_opening is append-only')
        WHERE EXISTS (SELECT 1 FROM lot_opening WHERE lot_opening_id = new.lot_opening_id);
END;

-- The newest live row says that a brew was begun and given up: a reason, or NULL where it goes on after all.
CREATE TABLE brew_end (
    brew_end_id INTEGER PRIMARY KEY CHECK (brew_end_id > 0),
    brew_id INTEGER NOT NULL REFERENCES brew,
    entry_id INTEGER NOT NULL REFERENCES entry,
    abandoned TEXT CHECK (abandoned <> '')
) STRICT;
CREATE INDEX brew_end_brew ON brew_end (brew_id);
CREATE TRIGGER brew_end_no_update BEFORE UPDATE ON brew_end BEGIN SELECT RAISE(ABORT, 'brew_end is append-only'); END;
CREATE TRIGGER brew_end_no_delete BEFORE DELETE ON brew_end BEGIN SELECT RAISE(ABORT, 'brew_end is append-only'); END;
CREATE TRIGGER brew_end_append BEFORE INSERT ON brew_end BEGIN
    SELECT RAISE(ABORT, 'brew_end: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'brew_end is append-only')
        WHERE EXISTS (SELECT 1 FROM brew_end WHERE brew_end_id = new.brew_end_id);
END;
CREATE INDEX brew_head_fermenter ON brew_head (fermented_with) WHERE fermented_with IS NOT NULL;

-- No row without what it refers to, whoever writes. Foreign keys say so already, but a connection looks at them only
-- where it has asked for that, and the sqlite3 shell does not ask.
--
-- What is missing here is refused already: a row's entry, the row it is a part of, a movement's lot. Under an import
-- alone may a reversal come before what it takes back, since both are booked at once.
CREATE TRIGGER reversal_refers BEFORE INSERT ON reversal BEGIN
    SELECT RAISE(ABORT, 'reversal: there is no such entry')
        WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry_id = new.reverses_entry_id);
END;
CREATE TRIGGER item_version_refers BEFORE INSERT ON item_version BEGIN
    SELECT RAISE(ABORT, 'item_version: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE item_id = new.item_id);
END;
CREATE TRIGGER stand_in_refers BEFORE INSERT ON stand_in BEGIN
    SELECT RAISE(ABORT, 'stand_in: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER instrument_version_refers BEFORE INSERT ON instrument_version BEGIN
    SELECT RAISE(ABORT, 'instrument_version: there is no such instrument')
        WHERE NOT EXISTS (SELECT 1 FROM instrument WHERE instrument_id = new.instrument_id);
END;
CREATE TRIGGER brewhouse_version_refers BEFORE INSERT ON brewhouse_version BEGIN
    SELECT RAISE(ABORT, 'brewhouse_version: there is no such brewhouse')
        WHERE NOT EXISTS (SELECT 1 FROM brewhouse WHERE brewhouse_id = new.brewhouse_id);
END;
CREATE TRIGGER vessel_refers BEFORE INSERT ON vessel BEGIN
    SELECT RAISE(ABORT, 'vessel: there is no such instrument')
        WHERE new.volume_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.volume_instrument);
    SELECT RAISE(ABORT, 'vessel: there is no such instrument')
        WHERE new.gravity_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.gravity_instrument);
END;
CREATE TRIGGER recipe_version_refers BEFORE INSERT ON recipe_version BEGIN
    SELECT RAISE(ABORT, 'recipe_version: there is no such recipe')
        WHERE NOT EXISTS (SELECT 1 FROM recipe WHERE recipe_id = new.recipe_id);
END;
CREATE TRIGGER recipe_grist_refers BEFORE INSERT ON recipe_grist BEGIN
    SELECT RAISE(ABORT, 'recipe_grist: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER recipe_hop_refers BEFORE INSERT ON recipe_hop BEGIN
    SELECT RAISE(ABORT, 'recipe_hop: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER recipe_other_refers BEFORE INSERT ON recipe_other BEGIN
    SELECT RAISE(ABORT, 'recipe_other: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER supplier_version_refers BEFORE INSERT ON supplier_version BEGIN
    SELECT RAISE(ABORT, 'supplier_version: there is no such supplier')
        WHERE NOT EXISTS (SELECT 1 FROM supplier WHERE supplier_id = new.supplier_id);
END;
CREATE TRIGGER offer_refers BEFORE INSERT ON offer BEGIN
    SELECT RAISE(ABORT, 'offer: there is no such supplier')
        WHERE NOT EXISTS (SELECT 1 FROM supplier WHERE name = new.supplier);
    SELECT RAISE(ABORT, 'offer: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER offer_version_refers BEFORE INSERT ON offer_version BEGIN
    SELECT RAISE(ABORT, 'offer_version: there is no such offer')
        WHERE NOT EXISTS (SELECT 1 FROM offer WHERE offer_id = new.offer_id);
END;
CREATE TRIGGER lot_detail_refers BEFORE INSERT ON lot_detail BEGIN
    SELECT RAISE(ABORT, 'lot_detail: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id);
    SELECT RAISE(ABORT, 'lot_detail: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
    SELECT RAISE(ABORT, 'lot_detail: there is no such supplier')
        WHERE new.supplier IS NOT NULL AND NOT EXISTS (SELECT 1 FROM supplier WHERE name = new.supplier);
    SELECT RAISE(ABORT, 'lot_detail: there is no such brew')
        WHERE new.harvested_from IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM brew WHERE code = new.harvested_from);
END;
CREATE TRIGGER retest_refers BEFORE INSERT ON retest BEGIN
    SELECT RAISE(ABORT, 'retest: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id);
END;
CREATE TRIGGER lot_hold_refers BEFORE INSERT ON lot_hold BEGIN
    SELECT RAISE(ABORT, 'lot_hold: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id);
END;
CREATE TRIGGER purchase_order_version_refers BEFORE INSERT ON purchase_order_version BEGIN
    SELECT RAISE(ABORT, 'purchase_order_version: there is no such purchase order')
        WHERE NOT EXISTS (SELECT 1 FROM purchase_order WHERE purchase_order_id = new.purchase_order_id);
    SELECT RAISE(ABORT, 'purchase_order_version: there is no such supplier')
        WHERE NOT EXISTS (SELECT 1 FROM supplier WHERE name = new.supplier);
END;
CREATE TRIGGER order_line_refers BEFORE INSERT ON order_line BEGIN
    SELECT RAISE(ABORT, 'order_line: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER order_receipt_refers BEFORE INSERT ON order_receipt BEGIN
    SELECT RAISE(ABORT, 'order_receipt: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE code = new.lot);
END;
CREATE TRIGGER plan_version_refers BEFORE INSERT ON plan_version BEGIN
    SELECT RAISE(ABORT, 'plan_version: there is no such plan')
        WHERE NOT EXISTS (SELECT 1 FROM plan WHERE plan_id = new.plan_id);
    SELECT RAISE(ABORT, 'plan_version: there is no such recipe')
        WHERE NOT EXISTS (SELECT 1 FROM recipe WHERE name = new.recipe);
    SELECT RAISE(ABORT, 'plan_version: there is no such brewhouse')
        WHERE new.brewhouse IS NOT NULL AND NOT EXISTS (SELECT 1 FROM brewhouse WHERE name = new.brewhouse);
END;
CREATE TRIGGER reservation_refers BEFORE INSERT ON reservation BEGIN
    SELECT RAISE(ABORT, 'reservation: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE code = new.lot);
END;
CREATE TRIGGER brew_head_refers BEFORE INSERT ON brew_head BEGIN
    SELECT RAISE(ABORT, 'brew_head: there is no such brew')
        WHERE NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
    SELECT RAISE(ABORT, 'brew_head: there is no such plan')
        WHERE new.plan IS NOT NULL AND NOT EXISTS (SELECT 1 FROM plan WHERE code = new.plan);
    SELECT RAISE(ABORT, 'brew_head: there is no such recipe')
        WHERE new.recipe IS NOT NULL AND NOT EXISTS (SELECT 1 FROM recipe WHERE name = new.recipe);
    SELECT RAISE(ABORT, 'brew_head: there is no such brewhouse')
        WHERE NOT EXISTS (SELECT 1 FROM brewhouse WHERE name = new.brewhouse);
    SELECT RAISE(ABORT, 'brew_head: there is no such brew')
        WHERE new.fermented_with IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM brew WHERE code = new.fermented_with);
END;
CREATE TRIGGER reading_refers BEFORE INSERT ON reading BEGIN
    SELECT RAISE(ABORT, 'reading: there is no such brew')
        WHERE NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
    SELECT RAISE(ABORT, 'reading: there is no such instrument')
        WHERE new.volume_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.volume_instrument);
    SELECT RAISE(ABORT, 'reading: there is no such instrument')
        WHERE new.gravity_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.gravity_instrument);
END;
CREATE TRIGGER reading_status_refers BEFORE INSERT ON reading_status BEGIN
    SELECT RAISE(ABORT, 'reading_status: there is no such reading')
        WHERE NOT EXISTS (SELECT 1 FROM reading WHERE reading_id = new.reading_id);
END;
CREATE TRIGGER seal_refers BEFORE INSERT ON seal BEGIN
    SELECT RAISE(ABORT, 'seal: there is no such entry')
        WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry_id = new.entry_id);
END;
CREATE TRIGGER movement_refers BEFORE INSERT ON movement BEGIN
    SELECT RAISE(ABORT, 'movement: there is no such brew')
        WHERE new.brew_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
    SELECT RAISE(ABORT, 'movement: there is no such instrument')
        WHERE new.mass_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.mass_instrument);
    SELECT RAISE(ABORT, 'movement: what it takes back is not there')
        WHERE new.reverses_movement_id IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM movement WHERE movement_id = new.reverses_movement_id);
END;
CREATE TRIGGER lot_source_refers BEFORE INSERT ON lot_source BEGIN
    SELECT RAISE(ABORT, 'lot_source: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE code = new.lot);
END;
CREATE TRIGGER lot_opening_refers BEFORE INSERT ON lot_opening BEGIN
    SELECT RAISE(ABORT, 'lot_opening: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id);
END;
CREATE TRIGGER brew_end_refers BEFORE INSERT ON brew_end BEGIN
    SELECT RAISE(ABORT, 'brew_end: there is no such brew')
        WHERE NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
END;
CREATE TRIGGER reservation_replaces BEFORE INSERT ON reservation WHEN new.instead_of IS NOT NULL BEGIN
    SELECT RAISE(ABORT, 'reservation: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.instead_of);
END;
CREATE TRIGGER movement_replaces BEFORE INSERT ON movement WHEN new.instead_of IS NOT NULL BEGIN
    SELECT RAISE(ABORT, 'movement: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.instead_of);
END;
CREATE TRIGGER brew_head_of_open_plan BEFORE INSERT ON brew_head WHEN new.plan IS NOT NULL BEGIN
    SELECT RAISE(ABORT, 'brew_head: the plan was called off')
        WHERE (SELECT cancelled FROM plan_now WHERE code = new.plan) IS NOT NULL;
END;
CREATE TRIGGER plan_version_of_open_plan BEFORE INSERT ON plan_version BEGIN
    SELECT RAISE(ABORT, 'plan_version: the plan has been brewed already')
        WHERE EXISTS (SELECT 1 FROM brew_now JOIN plan ON plan.code = brew_now.plan WHERE plan_id = new.plan_id);
END;
