-- A line of a recipe may state the figures of the malt or hop that it means.
ALTER TABLE recipe_grist ADD COLUMN extract_pct REAL CHECK (extract_pct BETWEEN 1 AND 105);
ALTER TABLE recipe_grist ADD COLUMN colour_ebc REAL CHECK (colour_ebc BETWEEN 0.1 AND 3000);
ALTER TABLE recipe_hop ADD COLUMN alpha_pct REAL CHECK (alpha_pct BETWEEN 0.1 AND 30);
