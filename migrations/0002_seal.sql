-- The chain of seals: each entry carries a SHA-256 over all that was booked under it and the seal of the entry
-- before, so that a change made behind the program's back is found, and the entry it was made in is named.
--
-- A seal is made by the program when it books, and by it for every entry of an older ledger when this migration
-- runs. An entry without one was booked by another program. What is hashed, and in which order, stands in
-- docs/ledger.md.

CREATE TABLE seal (
    entry_id INTEGER PRIMARY KEY REFERENCES entry,
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*')
) STRICT;

CREATE TRIGGER seal_no_update BEFORE UPDATE ON seal BEGIN SELECT RAISE(ABORT, 'seal is append-only'); END;
CREATE TRIGGER seal_no_delete BEFORE DELETE ON seal BEGIN SELECT RAISE(ABORT, 'seal is append-only'); END;
CREATE TRIGGER seal_append BEFORE INSERT ON seal BEGIN
    SELECT RAISE(ABORT, 'seal is append-only') WHERE new.entry_id <= (SELECT max(entry_id) FROM seal);
END;
