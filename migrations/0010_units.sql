-- The units that a house works in, and is answered in.
ALTER TABLE brewhouse_version ADD COLUMN works_in TEXT CHECK (works_in IN ('metric', 'us'));
