-- The rows of a small ledger of schema 1, written by hand, entry by entry: every later program must read it.
INSERT INTO ledger VALUES (1, 'EUR');
INSERT INTO entry VALUES (1, 'init', '2026-01-01', '2026-01-01T08:00:00Z', 'Ada', 'the ledger was made', '');

INSERT INTO entry VALUES (2, 'import', '2026-01-05', '2026-01-05T09:30:00Z', 'Ada', 'first-brewery.json', '');
INSERT INTO item (item_id, name) VALUES (1, 'pale malt'), (2, 'ale yeast'), (3, 'amber malt');
INSERT INTO item_version (item_version_id, item_id, entry_id, kind, class, extract_pct, extract_basis, moisture_pct)
    VALUES (1, 1, 2, 'malt', 'base', 81.0, 'fine-dry', 4.25), (3, 3, 2, 'malt', 'high-kilned', NULL, NULL, NULL);
INSERT INTO item_version (item_version_id, item_id, entry_id, kind) VALUES (2, 2, 2, 'yeast');
INSERT INTO stand_in VALUES (1, 0, 'amber malt', 4.0);
INSERT INTO instrument VALUES (1, 'kettle marks');
INSERT INTO instrument_version (instrument_id, entry_id, kind, bias_sd_pct) VALUES (1, 2, 'volume-marks', 1.0);
INSERT INTO brewhouse VALUES (1, 'main');
INSERT INTO brewhouse_version (brewhouse_version_id, brewhouse_id, entry_id, volume_l, sparge) VALUES (1, 1, 2, 23.0, 'batch');
INSERT INTO vessel VALUES (1, 1, 0, 'kettle-full', 'kettle marks', NULL, NULL);
INSERT INTO dip_mark VALUES (1, 0, 0.0, 1.5), (1, 1, 10.0, 12.25);
INSERT INTO recipe VALUES (1, 'ordinary pale');
INSERT INTO recipe_version (recipe_version_id, recipe_id, entry_id, volume_l, original_gravity_sg) VALUES (1, 1, 2, 23.0, 1.047);
INSERT INTO recipe_grist VALUES (1, 0, 'pale malt', 100.0, NULL);
INSERT INTO supplier VALUES (1, 'hill maltings');
INSERT INTO lot VALUES (1, 'P-1', 'mass'), (2, 'Y-1', 'count');
INSERT INTO lot_detail (lot_detail_id, lot_id, entry_id, item, supplier, received, mass_mg, price_minor, best_before)
    VALUES (1, 1, 2, 'pale malt', 'hill maltings', '2026-01-05', 25000000, 3250, '2027-06-01');
INSERT INTO lot_detail (lot_detail_id, lot_id, entry_id, item, received, pieces) VALUES (2, 2, 2, 'ale yeast', '2026-01-05', 10);
INSERT INTO certificate (lot_detail_id, extract_pct, extract_basis, analysed) VALUES (1, 80.6, 'fine-dry', '2025-12-20');
INSERT INTO plan VALUES (1, 'PL-1');
INSERT INTO plan_version VALUES (1, 1, 2, '2026-03-01', 'ordinary pale', 'main', NULL);
INSERT INTO reservation VALUES (1, 0, 0, 'P-1', 4500000, NULL, NULL);
INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change)
    VALUES (1, 2, 1, '2026-01-05', 'receipt', 25000000), (2, 2, 2, '2026-01-05', 'receipt', 10);

INSERT INTO entry VALUES (3, 'brew', '2026-02-01', '2026-02-01T18:00:00Z', '', 'B1', '');
INSERT INTO brew VALUES (1, 'B1');
INSERT INTO brew_head VALUES (1, 1, 3, '2026-02-01', NULL, 'ordinary pale', 'main', 60.0);
INSERT INTO reading (reading_id, brew_id, entry_id, id, at, point, volume_l, volume_at_c, volume_instrument)
    VALUES (1, 1, 3, 'r1', '13:45', 'kettle-full', 28.5, 75.0, 'kettle marks');
INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change, brew_id, stage)
    VALUES (3, 3, 1, '2026-02-01', 'brew', -4200000, 1, 'mash');
INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change, brew_id, stage)
    VALUES (4, 3, 2, '2026-02-02', 'brew', -1, 1, 'fermenter');

INSERT INTO entry VALUES (4, 'discard', '2026-02-03', '2026-02-03T18:00:00Z', '', 'spilt', '');
INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change, reason)
    VALUES (5, 4, 1, '2026-02-03', 'discard', -1000000, 'spilt');

INSERT INTO entry VALUES (5, 'reverse', '2026-02-04', '2026-02-04T18:00:00Z', '', 'entry 4 taken back', 'it was swept up');
INSERT INTO reversal VALUES (5, 4);
INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change, reason, reverses_movement_id)
    VALUES (6, 5, 1, '2026-02-03', 'reversal', 1000000, 'it was swept up', 5);

INSERT INTO entry VALUES (6, 'measure', '2026-02-05', '2026-02-05T18:00:00Z', '', 'r1 set aside', '');
INSERT INTO reading_status VALUES (1, 1, 6, 'foam on the wort');

INSERT INTO entry VALUES (7, 'hold', '2026-02-06', '2026-02-06T18:00:00Z', '', 'P-1 on hold', '');
INSERT INTO lot_hold VALUES (1, 1, 7, 'insects in the sack');
INSERT INTO retest (retest_id, lot_id, entry_id, on_date, moisture_pct) VALUES (1, 1, 7, '2026-02-06', 5.5);
