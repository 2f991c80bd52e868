-- What an instrument showed of something known, in its unit: a sugar solution, weighed water, melting ice.
CREATE TABLE instrument_check (
    instrument_version_id INTEGER NOT NULL REFERENCES instrument_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    "on" TEXT CHECK ("on" IS NULL OR ("on" IS date("on", '+0 days') AND "on" BETWEEN '1900-01-01' AND '2199-12-31')),
    known REAL NOT NULL CHECK (known BETWEEN -100000 AND 100000),
    known_sd REAL CHECK (known_sd BETWEEN 0 AND 10000),
    read REAL NOT NULL CHECK (read BETWEEN -100000 AND 100000),
    PRIMARY KEY (instrument_version_id, position)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER instrument_check_no_update BEFORE UPDATE ON instrument_check BEGIN
    SELECT RAISE(ABORT, 'instrument_check is append-only');
END;
CREATE TRIGGER instrument_check_no_delete BEFORE DELETE ON instrument_check BEGIN
    SELECT RAISE(ABORT, 'instrument_check is append-only');
END;
CREATE TRIGGER instrument_check_append BEFORE INSERT ON instrument_check BEGIN
    SELECT RAISE(ABORT, 'instrument_check is append-only')
        WHERE EXISTS (SELECT 1 FROM instrument_check
            WHERE instrument_version_id = new.instrument_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'instrument_check: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM instrument_version
        WHERE instrument_version_id = new.instrument_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
