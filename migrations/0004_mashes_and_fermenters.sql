-- Several mashes into one kettle, several brews into one fermenter, and the correction of an instrument.

-- true = read + correction, in the instrument's unit
ALTER TABLE instrument_version ADD COLUMN correction REAL CHECK (correction BETWEEN -10000 AND 10000);

-- which of several mashes, from 1
ALTER TABLE movement ADD COLUMN mash INTEGER CHECK (mash BETWEEN 1 AND 9);
ALTER TABLE reading ADD COLUMN mash INTEGER CHECK (mash BETWEEN 1 AND 9);

-- the brew whose fermenter this one was run into
ALTER TABLE brew_head ADD COLUMN fermented_with TEXT REFERENCES brew (code);
CREATE INDEX brew_head_fermenter ON brew_head (fermented_with) WHERE fermented_with IS NOT NULL;

DROP VIEW brew_touch;
CREATE VIEW brew_touch AS
SELECT code AS brew, entry_id, 'states' AS role FROM brew JOIN brew_head USING (brew_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN reading USING (brew_id)
UNION ALL SELECT code, reading_status.entry_id, 'uses' FROM brew JOIN reading USING (brew_id)
    JOIN reading_status USING (reading_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN movement USING (brew_id)
UNION ALL SELECT code, entry_id, 'uses' FROM brew JOIN brew_end USING (brew_id)
UNION ALL SELECT harvested_from, entry_id, 'uses' FROM lot_detail WHERE harvested_from IS NOT NULL
UNION ALL SELECT fermented_with, entry_id, 'uses' FROM brew_head WHERE fermented_with IS NOT NULL;
