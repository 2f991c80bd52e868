-- The gap of the mill with a mash, and the bitterness a laboratory found in the beer.

ALTER TABLE reading ADD COLUMN mill_gap_mm REAL CHECK (mill_gap_mm BETWEEN 0.1 AND 5);
ALTER TABLE reading ADD COLUMN bitterness_ibu REAL CHECK (bitterness_ibu BETWEEN 0 AND 500);
