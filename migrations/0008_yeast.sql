-- Yeast is counted by its cells: what an item holds of them and loses, when a lot was packed, how many a recipe wants.
ALTER TABLE item_version ADD COLUMN cells_billion REAL CHECK (cells_billion BETWEEN 0.001 AND 1000000);
ALTER TABLE item_version ADD COLUMN cells_per TEXT CHECK (cells_per IN ('pack', 'g', 'ml'));
ALTER TABLE item_version ADD COLUMN cells_loss_pct_per_month REAL CHECK (cells_loss_pct_per_month BETWEEN 0 AND 99);
ALTER TABLE item_version ADD COLUMN pitch_million_per_ml_plato REAL
    CHECK (pitch_million_per_ml_plato BETWEEN 0.01 AND 20);
ALTER TABLE lot_detail ADD COLUMN packed TEXT CHECK (packed IS NULL OR packed IS date(packed, '+0 days'));
ALTER TABLE lot_detail ADD COLUMN cells_billion REAL CHECK (cells_billion BETWEEN 0.001 AND 1000000);
ALTER TABLE recipe_version ADD COLUMN pitch_million_per_ml_plato REAL
    CHECK (pitch_million_per_ml_plato BETWEEN 0.01 AND 20);
