-- The board: tanks and what is in them, the tank and the yeast of a plan, a kettle's day; lots that a plan keeps, the silo
-- that a lot lies in, what an order cost beside its lines, and how early a supplier's goods are to come.

-- With foreign keys off (the program sees to it), the entries are made anew with one kind more, under the old name.
PRAGMA legacy_alter_table = ON;
CREATE TABLE new_entry (
    entry_id INTEGER PRIMARY KEY CHECK (entry_id > 0),
    kind TEXT NOT NULL CHECK (kind IN ('init', 'item', 'instrument', 'brewhouse', 'recipe', 'receive', 'plan',
        'brew', 'measure', 'count', 'discard', 'offer', 'order', 'hold', 'retest', 'import', 'reverse', 'return',
        'split', 'open', 'harvest', 'package', 'tank')),
    on_date TEXT NOT NULL CHECK (on_date IS date(on_date, '+0 days') AND on_date BETWEEN '1900-01-01' AND '2199-12-31'),
    booked_at TEXT NOT NULL CHECK (booked_at IS strftime('%Y-%m-%dT%H:%M:%SZ', booked_at, '+0 days')),
    by_name TEXT NOT NULL,
    what TEXT NOT NULL,
    why TEXT NOT NULL
) STRICT;
INSERT INTO new_entry SELECT * FROM entry;
DROP TABLE entry;
ALTER TABLE new_entry RENAME TO entry;
PRAGMA legacy_alter_table = OFF;
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

CREATE TABLE tank (
    tank_id INTEGER PRIMARY KEY CHECK (tank_id > 0),
    name TEXT NOT NULL UNIQUE CHECK (name <> '' AND name = trim(name))
) STRICT;

-- A tank that is filled, emptied or cleaned is stated anew.
CREATE TABLE tank_version (
    tank_version_id INTEGER PRIMARY KEY CHECK (tank_version_id > 0),
    tank_id INTEGER NOT NULL REFERENCES tank,
    entry_id INTEGER NOT NULL REFERENCES entry,
    kind TEXT NOT NULL CHECK (kind IN ('fermenter', 'bright')),
    volume_l REAL NOT NULL CHECK (volume_l BETWEEN 0.1 AND 1000000),
    cleaned TEXT CHECK (cleaned IS NULL OR (cleaned IS date(cleaned, '+0 days')
        AND cleaned BETWEEN '1900-01-01' AND '2199-12-31')),
    holds TEXT REFERENCES brew (code),
    since TEXT CHECK (since IS NULL OR (since IS date(since, '+0 days')
        AND since BETWEEN '1900-01-01' AND '2199-12-31')),
    till TEXT CHECK (till IS NULL OR (till IS date(till, '+0 days')
        AND till BETWEEN '1900-01-01' AND '2199-12-31')),
    used_for TEXT CHECK (used_for <> ''),
    CHECK (holds IS NULL OR used_for IS NULL)
) STRICT;
CREATE INDEX tank_version_tank ON tank_version (tank_id);
CREATE INDEX tank_version_holds ON tank_version (holds) WHERE holds IS NOT NULL;

CREATE TRIGGER tank_no_update BEFORE UPDATE ON tank BEGIN SELECT RAISE(ABORT, 'tank is append-only'); END;
CREATE TRIGGER tank_no_delete BEFORE DELETE ON tank BEGIN SELECT RAISE(ABORT, 'tank is append-only'); END;
CREATE TRIGGER tank_append BEFORE INSERT ON tank BEGIN
    SELECT RAISE(ABORT, 'tank is append-only')
        WHERE EXISTS (SELECT 1 FROM tank WHERE tank_id = new.tank_id OR name = new.name);
END;
CREATE TRIGGER tank_version_no_update BEFORE UPDATE ON tank_version BEGIN
    SELECT RAISE(ABORT, 'tank_version is append-only');
END;
CREATE TRIGGER tank_version_no_delete BEFORE DELETE ON tank_version BEGIN
    SELECT RAISE(ABORT, 'tank_version is append-only');
END;
CREATE TRIGGER tank_version_append BEFORE INSERT ON tank_version BEGIN
    SELECT RAISE(ABORT, 'tank_version is append-only')
        WHERE EXISTS (SELECT 1 FROM tank_version WHERE tank_version_id = new.tank_version_id);
    SELECT RAISE(ABORT, 'tank_version: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
END;
CREATE TRIGGER tank_version_refers BEFORE INSERT ON tank_version BEGIN
    SELECT RAISE(ABORT, 'tank_version: there is no such tank')
        WHERE NOT EXISTS (SELECT 1 FROM tank WHERE tank_id = new.tank_id);
    SELECT RAISE(ABORT, 'tank_version: there is no such brew')
        WHERE new.holds IS NOT NULL AND NOT EXISTS (SELECT 1 FROM brew WHERE code = new.holds);
END;

CREATE VIEW tank_now AS
SELECT tank.name, version.* FROM tank JOIN tank_version AS version ON version.tank_version_id = (
    SELECT max(tank_version_id) FROM tank_version WHERE tank_id = tank.tank_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = tank_version.entry_id));

ALTER TABLE plan_version ADD COLUMN tank TEXT REFERENCES tank (name);
ALTER TABLE plan_version ADD COLUMN tank_till TEXT CHECK (tank_till IS NULL OR (tank_till IS date(tank_till, '+0 days')
        AND tank_till BETWEEN '1900-01-01' AND '2199-12-31'));
ALTER TABLE plan_version ADD COLUMN yeast_of_plan TEXT REFERENCES plan (code);
ALTER TABLE plan_version ADD COLUMN yeast_of_brew TEXT REFERENCES brew (code);
ALTER TABLE reservation ADD COLUMN pinned TEXT CHECK (pinned IN ('yes'));
ALTER TABLE recipe_version ADD COLUMN tank_days INTEGER CHECK (tank_days BETWEEN 1 AND 1000);
ALTER TABLE recipe_version ADD COLUMN harvest_days INTEGER CHECK (harvest_days BETWEEN 1 AND 365);
ALTER TABLE brewhouse_version ADD COLUMN brews_per_day INTEGER CHECK (brews_per_day BETWEEN 1 AND 24);
ALTER TABLE lot_detail ADD COLUMN silo TEXT CHECK (silo <> '' AND silo = trim(silo));
ALTER TABLE supplier_version ADD COLUMN buffer_days INTEGER CHECK (buffer_days BETWEEN 0 AND 365);
ALTER TABLE purchase_order_version ADD COLUMN freight_minor INTEGER CHECK (freight_minor BETWEEN 0 AND 100000000000);
ALTER TABLE purchase_order_version ADD COLUMN discount_minor INTEGER CHECK (discount_minor BETWEEN 0 AND 100000000000);
ALTER TABLE purchase_order_version ADD COLUMN shared_by TEXT CHECK (shared_by IN ('value', 'mass'));

CREATE TRIGGER plan_version_board BEFORE INSERT ON plan_version BEGIN
    SELECT RAISE(ABORT, 'plan_version: there is no such tank')
        WHERE new.tank IS NOT NULL AND NOT EXISTS (SELECT 1 FROM tank WHERE name = new.tank);
    SELECT RAISE(ABORT, 'plan_version: there is no such plan')
        WHERE new.yeast_of_plan IS NOT NULL AND NOT EXISTS (SELECT 1 FROM plan WHERE code = new.yeast_of_plan);
    SELECT RAISE(ABORT, 'plan_version: there is no such brew')
        WHERE new.yeast_of_brew IS NOT NULL AND NOT EXISTS (SELECT 1 FROM brew WHERE code = new.yeast_of_brew);
END;

-- What a plan names counts as it stands now: it is stated anew whenever it keeps itself.
CREATE VIEW tank_touch AS
SELECT name AS tank, entry_id, 'states' AS role FROM tank JOIN tank_version USING (tank_id)
UNION ALL SELECT tank, entry_id, 'uses' FROM plan_now WHERE tank IS NOT NULL;

DROP VIEW plan_touch;
CREATE VIEW plan_touch AS
SELECT code AS plan, entry_id, 'states' AS role FROM plan JOIN plan_version USING (plan_id)
UNION ALL SELECT plan, entry_id, 'uses' FROM brew_head
UNION ALL SELECT yeast_of_plan, entry_id, 'uses' FROM plan_now WHERE yeast_of_plan IS NOT NULL;

DROP VIEW brew_touch;
CREATE VIEW brew_touch AS
SELECT code AS brew, entry_id, 'states' AS role FROM brew JOIN brew_head USING (brew_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN reading USING (brew_id)
UNION ALL SELECT code, reading_status.entry_id, 'uses' FROM brew JOIN reading USING (brew_id)
    JOIN reading_status USING (reading_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN movement USING (brew_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN brew_end USING (brew_id)
UNION ALL SELECT harvested_from, entry_id, 'uses' FROM lot_detail WHERE harvested_from IS NOT NULL
UNION ALL SELECT fermented_with, entry_id, 'uses' FROM brew_head WHERE fermented_with IS NOT NULL
UNION ALL SELECT brew, entry_id, 'uses' FROM package_run
UNION ALL SELECT holds, entry_id, 'uses' FROM tank_version WHERE holds IS NOT NULL
UNION ALL SELECT yeast_of_brew, entry_id, 'uses' FROM plan_now WHERE yeast_of_brew IS NOT NULL;
