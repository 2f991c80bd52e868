-- A plan that follows a substitution keeps what it leaves to be got: what an order brings, or what nothing stands in for.
CREATE TABLE awaited (
    plan_version_id INTEGER NOT NULL REFERENCES plan_version,
    position INTEGER NOT NULL CHECK (position >= 0),
    line INTEGER NOT NULL CHECK (line BETWEEN 0 AND 1000),
    mass_mg INTEGER CHECK (mass_mg BETWEEN 0 AND 1000000000000),
    volume_ul INTEGER CHECK (volume_ul BETWEEN 0 AND 1000000000000),
    pieces INTEGER CHECK (pieces BETWEEN 0 AND 1000000),
    PRIMARY KEY (plan_version_id, position),
    CHECK ((mass_mg IS NOT NULL) + (volume_ul IS NOT NULL) + (pieces IS NOT NULL) = 1)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER awaited_no_update BEFORE UPDATE ON awaited BEGIN
    SELECT RAISE(ABORT, 'awaited is append-only');
END;
CREATE TRIGGER awaited_no_delete BEFORE DELETE ON awaited BEGIN
    SELECT RAISE(ABORT, 'awaited is append-only');
END;
CREATE TRIGGER awaited_append BEFORE INSERT ON awaited BEGIN
    SELECT RAISE(ABORT, 'awaited is append-only')
        WHERE EXISTS (SELECT 1 FROM awaited
            WHERE plan_version_id = new.plan_version_id AND position = new.position);
    SELECT RAISE(ABORT, 'awaited: rows are booked under the newest entry')
        WHERE (SELECT entry_id FROM plan_version
        WHERE plan_version_id = new.plan_version_id) IS NOT (SELECT max(entry_id) FROM entry);
END;
