-- What a house's brews come to, as its brewer tells it; and the efficiency that a recipe's masses were written for.
ALTER TABLE brewhouse_version ADD COLUMN efficiency_fermenter_pct REAL CHECK (efficiency_fermenter_pct BETWEEN 20 AND 100);
ALTER TABLE brewhouse_version ADD COLUMN efficiency_kettle_pct REAL CHECK (efficiency_kettle_pct BETWEEN 20 AND 100);
ALTER TABLE brewhouse_version ADD COLUMN efficiency_sd_pct REAL CHECK (efficiency_sd_pct BETWEEN 0.1 AND 30);
ALTER TABLE recipe_version ADD COLUMN efficiency_fermenter_pct REAL CHECK (efficiency_fermenter_pct BETWEEN 20 AND 100);
ALTER TABLE recipe_version ADD COLUMN efficiency_kettle_pct REAL CHECK (efficiency_kettle_pct BETWEEN 20 AND 100);
