-- Beer in packages: runs of bottles, kegs, cans or casks out of a brew, what primed them, and where they went.

-- With foreign keys off (the program sees to it), the entries are made anew with one kind more, under the old name.
PRAGMA legacy_alter_table = ON;
CREATE TABLE new_entry (
    entry_id INTEGER PRIMARY KEY CHECK (entry_id > 0),
    kind TEXT NOT NULL CHECK (kind IN ('init', 'item', 'instrument', 'brewhouse', 'recipe', 'receive', 'plan',
        'brew', 'measure', 'count', 'discard', 'offer', 'order', 'hold', 'retest', 'import', 'reverse', 'return',
        'split', 'open', 'harvest', 'package')),
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

CREATE TABLE package (
    package_id INTEGER PRIMARY KEY CHECK (package_id > 0),
    code TEXT NOT NULL UNIQUE CHECK (code <> '' AND code = trim(code))
) STRICT;

-- One live run a code: how it was filled.
CREATE TABLE package_run (
    package_run_id INTEGER PRIMARY KEY CHECK (package_run_id > 0),
    package_id INTEGER NOT NULL REFERENCES package,
    entry_id INTEGER NOT NULL REFERENCES entry,
    brew TEXT NOT NULL REFERENCES brew (code),
    packaged TEXT NOT NULL CHECK (packaged IS date(packaged, '+0 days')
        AND packaged BETWEEN '1900-01-01' AND '2199-12-31'),
    container TEXT,
    count INTEGER NOT NULL CHECK (count BETWEEN 1 AND 1000000),
    each_l REAL NOT NULL CHECK (each_l BETWEEN 0.01 AND 100000),
    lost_l REAL CHECK (lost_l BETWEEN 0 AND 1000000),
    carbon_dioxide_g_per_l REAL CHECK (carbon_dioxide_g_per_l BETWEEN 0 AND 20),
    warmest_c REAL CHECK (warmest_c BETWEEN -2 AND 40),
    best_before TEXT CHECK (best_before IS NULL OR best_before IS date(best_before, '+0 days'))
) STRICT;
CREATE INDEX package_run_package ON package_run (package_id);
CREATE INDEX package_run_brew ON package_run (brew);

-- Where they went, and what came back (a negative count).
CREATE TABLE package_sent (
    package_sent_id INTEGER PRIMARY KEY CHECK (package_sent_id > 0),
    package_id INTEGER NOT NULL REFERENCES package,
    entry_id INTEGER NOT NULL REFERENCES entry,
    sent_on TEXT NOT NULL CHECK (sent_on IS date(sent_on, '+0 days')
        AND sent_on BETWEEN '1900-01-01' AND '2199-12-31'),
    to_whom TEXT NOT NULL CHECK (to_whom <> '' AND to_whom = trim(to_whom)),
    count INTEGER NOT NULL CHECK (count BETWEEN -1000000 AND 1000000)
) STRICT;
CREATE INDEX package_sent_package ON package_sent (package_id);

ALTER TABLE movement ADD COLUMN package TEXT REFERENCES package (code) CHECK (package IS NULL OR kind = 'brew');

CREATE VIEW package_now AS
SELECT package.code, run.* FROM package JOIN package_run AS run USING (package_id)
WHERE NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = run.entry_id);

CREATE VIEW package_sent_now AS
SELECT * FROM package_sent WHERE NOT EXISTS (SELECT 1 FROM reversal WHERE reverses_entry_id = package_sent.entry_id);

CREATE VIEW package_touch AS
SELECT code AS package, entry_id, 'states' AS role FROM package JOIN package_run USING (package_id)
UNION ALL SELECT code, entry_id, 'uses' FROM package JOIN package_sent USING (package_id)
UNION ALL SELECT package, entry_id, 'uses' FROM movement WHERE package IS NOT NULL;

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
UNION ALL SELECT brew, entry_id, 'uses' FROM package_run;

CREATE TRIGGER package_no_update BEFORE UPDATE ON package BEGIN SELECT RAISE(ABORT, 'package is append-only'); END;
CREATE TRIGGER package_no_delete BEFORE DELETE ON package BEGIN SELECT RAISE(ABORT, 'package is append-only'); END;
CREATE TRIGGER package_append BEFORE INSERT ON package BEGIN
    SELECT RAISE(ABORT, 'package is append-only')
        WHERE EXISTS (SELECT 1 FROM package WHERE package_id = new.package_id OR code = new.code);
END;
CREATE TRIGGER package_run_no_update BEFORE UPDATE ON package_run BEGIN
    SELECT RAISE(ABORT, 'package_run is append-only');
END;
CREATE TRIGGER package_run_no_delete BEFORE DELETE ON package_run BEGIN
    SELECT RAISE(ABORT, 'package_run is append-only');
END;
CREATE TRIGGER package_run_append BEFORE INSERT ON package_run BEGIN
    SELECT RAISE(ABORT, 'package_run: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'package_run is append-only')
        WHERE EXISTS (SELECT 1 FROM package_run WHERE package_run_id = new.package_run_id);
    SELECT RAISE(ABORT, 'package_run: the run is there already')
        WHERE EXISTS (SELECT 1 FROM package_now WHERE package_id = new.package_id);
END;
CREATE TRIGGER package_run_refers BEFORE INSERT ON package_run BEGIN
    SELECT RAISE(ABORT, 'package_run: there is no such run')
        WHERE NOT EXISTS (SELECT 1 FROM package WHERE package_id = new.package_id);
    SELECT RAISE(ABORT, 'package_run: there is no such brew')
        WHERE NOT EXISTS (SELECT 1 FROM brew WHERE code = new.brew);
END;
CREATE TRIGGER package_sent_no_update BEFORE UPDATE ON package_sent BEGIN
    SELECT RAISE(ABORT, 'package_sent is append-only');
END;
CREATE TRIGGER package_sent_no_delete BEFORE DELETE ON package_sent BEGIN
    SELECT RAISE(ABORT, 'package_sent is append-only');
END;
CREATE TRIGGER package_sent_append BEFORE INSERT ON package_sent BEGIN
    SELECT RAISE(ABORT, 'package_sent: rows are booked under the newest entry')
        WHERE new.entry_id IS NOT (SELECT max(entry_id) FROM entry);
    SELECT RAISE(ABORT, 'package_sent is append-only')
        WHERE EXISTS (SELECT 1 FROM package_sent WHERE package_sent_id = new.package_sent_id);
    SELECT RAISE(ABORT, 'package_sent: there is no such run')
        WHERE NOT EXISTS (SELECT 1 FROM package_now WHERE package_id = new.package_id);
END;

-- No more goes out than was filled, and no more comes back from anybody than went there; an entry taken back included.
CREATE TRIGGER package_sent_counted AFTER INSERT ON package_sent BEGIN
    SELECT RAISE(ABORT, 'package_sent: more than the run has')
        WHERE (SELECT sum(count) FROM package_sent_now WHERE package_id = new.package_id)
        > (SELECT count FROM package_now WHERE package_id = new.package_id);
    SELECT RAISE(ABORT, 'package_sent: more came back than went there')
        WHERE (SELECT sum(count) FROM package_sent_now
            WHERE package_id = new.package_id AND to_whom = new.to_whom) < 0;
END;
CREATE TRIGGER reversal_counts_packages AFTER INSERT ON reversal BEGIN
    SELECT RAISE(ABORT, 'package_sent: more came back than went there')
        WHERE EXISTS (SELECT 1 FROM package_sent_now WHERE package_id IN
            (SELECT package_id FROM package_sent WHERE entry_id = new.reverses_entry_id)
            GROUP BY package_id, to_whom HAVING sum(count) < 0);
    SELECT RAISE(ABORT, 'package_sent: more than the run has')
        WHERE EXISTS (SELECT 1 FROM package_sent_now JOIN package_now USING (package_id) WHERE package_id IN
            (SELECT package_id FROM package_sent WHERE entry_id = new.reverses_entry_id)
            GROUP BY package_id HAVING sum(package_sent_now.count) > package_now.count);
END;
CREATE TRIGGER movement_primes BEFORE INSERT ON movement WHEN new.package IS NOT NULL BEGIN
    SELECT RAISE(ABORT, 'movement: there is no such run of packages')
        WHERE NOT EXISTS (SELECT 1 FROM package WHERE code = new.package);
END;
