-- Fermentation is read day by day: a point of its own, and the day of such a reading.

-- With foreign keys off (the program sees to it), tables are made anew with one word more, under their old names.
PRAGMA legacy_alter_table = ON;

CREATE TABLE new_vessel (
    vessel_id INTEGER PRIMARY KEY CHECK (vessel_id > 0),
    brewhouse_version_id INTEGER NOT NULL REFERENCES brewhouse_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    point TEXT NOT NULL CHECK (point IN ('mash', 'strike-liquor', 'sparge-liquor', 'first-wort', 'last-runnings',
        'kettle-full', 'cast-out', 'fermenter', 'top-up', 'kettle-liquor', 'fermenting', 'final')),
    volume_instrument TEXT REFERENCES instrument (name),
    gravity_instrument TEXT REFERENCES instrument (name),
    wall_expansion_per_c REAL CHECK (wall_expansion_per_c BETWEEN 0 AND 0.001)
) STRICT;
INSERT INTO new_vessel SELECT * FROM vessel;
DROP TABLE vessel;
ALTER TABLE new_vessel RENAME TO vessel;
CREATE INDEX vessel_brewhouse ON vessel (brewhouse_version_id, position);
CREATE TRIGGER vessel_no_update BEFORE UPDATE ON vessel BEGIN SELECT RAISE(ABORT, 'vessel is append-only'); END;
CREATE TRIGGER vessel_no_delete BEFORE DELETE ON vessel BEGIN SELECT RAISE(ABORT, 'vessel is append-only'); END;
CREATE TRIGGER vessel_append BEFORE INSERT ON vessel BEGIN
    SELECT RAISE(ABORT, 'vessel is append-only') WHERE EXISTS (SELECT 1 FROM vessel WHERE vessel_id = new.vessel_id);
    SELECT RAISE(ABORT, 'vessel: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM brewhouse_version
        WHERE brewhouse_version_id = new.brewhouse_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER vessel_refers BEFORE INSERT ON vessel BEGIN
    SELECT RAISE(ABORT, 'vessel: there is no such instrument')
        WHERE new.volume_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.volume_instrument);
    SELECT RAISE(ABORT, 'vessel: there is no such instrument')
        WHERE new.gravity_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.gravity_instrument);
END;

CREATE TABLE new_reading (
    reading_id INTEGER PRIMARY KEY CHECK (reading_id > 0),
    brew_id INTEGER NOT NULL REFERENCES brew,
    entry_id INTEGER NOT NULL REFERENCES entry,
    id TEXT NOT NULL CHECK (id <> '' AND id = trim(id)),
    at TEXT CHECK (at GLOB '[0-2][0-9]:[0-5][0-9]' AND at < '24:00'),
    point TEXT NOT NULL CHECK (point IN ('mash', 'strike-liquor', 'sparge-liquor', 'first-wort', 'last-runnings',
        'kettle-full', 'cast-out', 'fermenter', 'top-up', 'kettle-liquor', 'fermenting', 'final')),
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
    bitterness_ibu REAL CHECK (bitterness_ibu BETWEEN 0 AND 500),
    -- of what ferments and of the finished beer; the brew's day of all else
    "on" TEXT CHECK ("on" IS NULL OR ("on" IS date("on", '+0 days') AND point IN ('fermenting', 'final')))
) STRICT;
INSERT INTO new_reading SELECT *, NULL FROM reading;
DROP TABLE reading;
ALTER TABLE new_reading RENAME TO reading;
CREATE INDEX reading_brew ON reading (brew_id, id);
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

PRAGMA legacy_alter_table = OFF;
