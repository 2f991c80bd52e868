-- More of what happens to lots, brews and plans: lots shared out and put together, returned to a supplier, opened;
-- yeast harvested from a brew; a brew abandoned, and what of it came back; a plan called off.

-- With foreign keys off (the program sees to it), a table is made anew with wider rules under its old name.
PRAGMA legacy_alter_table = ON;

------------------------------------------------------------------------------------------------ entries

CREATE TABLE new_entry (
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
INSERT INTO new_entry SELECT * FROM entry;
DROP TABLE entry;
ALTER TABLE new_entry RENAME TO entry;

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

---------------------------------------------------------------------------------------------- movements

-- return: sent back to the supplier. move: into another lot that was made of it (lot_source). unused: weighed for a
-- brew that was abandoned, and back in stock.
CREATE TABLE new_movement (
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
    CHECK (kind <> 'receipt' OR change > 0),
    CHECK (change <= 0 OR (kind <> 'brew' AND kind <> 'discard' AND kind <> 'return' AND kind <> 'move')),
    CHECK (change >= 0 OR kind <> 'unused'),
    CHECK (kind = 'brew' OR (stage IS NULL AND minutes IS NULL AND mass_instrument IS NULL)),
    CHECK (kind = 'brew' OR kind = 'unused' OR brew_id IS NULL),
    CHECK ((kind = 'reversal') = (reverses_movement_id IS NOT NULL))
) STRICT;
INSERT INTO new_movement SELECT * FROM movement;
DROP TABLE movement;
ALTER TABLE new_movement RENAME TO movement;
CREATE INDEX movement_lot ON movement (lot_id, on_date, change);
CREATE INDEX movement_entry ON movement (entry_id);
CREATE INDEX movement_brew ON movement (brew_id) WHERE brew_id IS NOT NULL;
CREATE UNIQUE INDEX movement_reverses ON movement (reverses_movement_id) WHERE reverses_movement_id IS NOT NULL;

CREATE TRIGGER movement_append BEFORE INSERT ON movement BEGIN
    SELECT RAISE(ABORT, 'movement: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'movement is append-only')
        WHERE new.movement_id > 0 AND new.movement_id <= (SELECT max(movement_id) FROM movement);
    SELECT RAISE(ABORT, 'movement: taken back twice') WHERE new.reverses_movement_id IS NOT NULL
        AND EXISTS (SELECT 1 FROM movement WHERE reverses_movement_id = new.reverses_movement_id);
END;
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
CREATE TRIGGER movement_no_update BEFORE UPDATE ON movement BEGIN SELECT RAISE(ABORT, 'movement is append-only'); END;
CREATE TRIGGER movement_no_delete BEFORE DELETE ON movement BEGIN SELECT RAISE(ABORT, 'movement is append-only'); END;

PRAGMA legacy_alter_table = OFF;

--------------------------------------------------------------------------------------------------- lots

ALTER TABLE lot_detail ADD COLUMN harvested_from TEXT REFERENCES brew (code);
ALTER TABLE lot_detail ADD COLUMN generation INTEGER CHECK (generation BETWEEN 1 AND 100);

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

-------------------------------------------------------------------------------------- plans and brews

ALTER TABLE plan_version ADD COLUMN cancelled TEXT CHECK (cancelled <> '');

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

------------------------------------------------------------------------------------ what holds today

DROP VIEW brew_now;
CREATE VIEW brew_now AS
SELECT brew.code, head.*, (SELECT abandoned FROM brew_end WHERE brew_end.brew_id = brew.brew_id
        AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = brew_end.entry_id)
        ORDER BY brew_end_id DESC LIMIT 1) AS abandoned
FROM brew JOIN brew_head AS head USING (brew_id)
WHERE NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = head.entry_id);

-- A plan is open until a live brew names it, or it is called off.
DROP VIEW plan_open;
CREATE VIEW plan_open AS
SELECT * FROM plan_now WHERE cancelled IS NULL AND NOT EXISTS (SELECT 1 FROM brew_head
    WHERE brew_head.plan = plan_now.code
    AND NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = brew_head.entry_id));

DROP VIEW lot_now;
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

DROP VIEW lot_touch;
CREATE VIEW lot_touch AS
SELECT code AS lot, entry_id, 'states' AS role FROM lot JOIN lot_detail USING (lot_id)
UNION ALL SELECT code, entry_id, 'uses' FROM lot JOIN retest USING (lot_id)
UNION ALL SELECT code, entry_id, 'uses' FROM lot JOIN lot_hold USING (lot_id)
UNION ALL SELECT code, entry_id, 'uses' FROM lot JOIN lot_opening USING (lot_id)
UNION ALL SELECT code, entry_id, 'uses' FROM lot JOIN movement USING (lot_id)
UNION ALL SELECT lot, entry_id, 'uses' FROM reservation JOIN plan_version USING (plan_version_id)
UNION ALL SELECT lot, entry_id, 'uses' FROM order_receipt JOIN purchase_order_version USING (purchase_order_version_id);

DROP VIEW brew_touch;
CREATE VIEW brew_touch AS
SELECT code AS brew, entry_id, 'states' AS role FROM brew JOIN brew_head USING (brew_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN reading USING (brew_id)
UNION ALL SELECT code, reading_status.entry_id, 'uses' FROM brew JOIN reading USING (brew_id)
    JOIN reading_status USING (reading_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN movement USING (brew_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN brew_end USING (brew_id)
UNION ALL SELECT harvested_from, entry_id, 'uses' FROM lot_detail WHERE harvested_from IS NOT NULL;
