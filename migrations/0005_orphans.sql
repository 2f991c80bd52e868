-- No row without what it refers to, whoever writes. Foreign keys say so already, but a connection looks at them only
-- where it has asked for that, and the sqlite3 shell does not ask.
--
-- What is missing here is refused already: a row's entry, the row it is a part of, a movement's lot. Under an import
-- alone may a reversal come before what it takes back, since both are booked at once.

CREATE TRIGGER reversal_refers BEFORE INSERT ON reversal BEGIN
    SELECT RAISE(ABORT, 'reversal: there is no such entry')
        WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry_id = new.reverses_entry_id);
END;
CREATE TRIGGER item_version_refers BEFORE INSERT ON item_version BEGIN
    SELECT RAISE(ABORT, 'item_version: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE item_id = new.item_id);
END;
CREATE TRIGGER stand_in_refers BEFORE INSERT ON stand_in BEGIN
    SELECT RAISE(ABORT, 'stand_in: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER instrument_version_refers BEFORE INSERT ON instrument_version BEGIN
    SELECT RAISE(ABORT, 'instrument_version: there is no such instrument')
        WHERE NOT EXISTS (SELECT 1 FROM instrument WHERE instrument_id = new.instrument_id);
END;
CREATE TRIGGER brewhouse_version_refers BEFORE INSERT ON brewhouse_version BEGIN
    SELECT RAISE(ABORT, 'brewhouse_version: there is no such brewhouse')
        WHERE NOT EXISTS (SELECT 1 FROM brewhouse WHERE brewhouse_id = new.brewhouse_id);
END;
CREATE TRIGGER vessel_refers BEFORE INSERT ON vessel BEGIN
    SELECT RAISE(ABORT, 'vessel: there is no such instrument')
        WHERE new.volume_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.volume_instrument);
    SELECT RAISE(ABORT, 'vessel: there is no such instrument')
        WHERE new.gravity_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.gravity_instrument);
END;
CREATE TRIGGER recipe_version_refers BEFORE INSERT ON recipe_version BEGIN
    SELECT RAISE(ABORT, 'recipe_version: there is no such recipe')
        WHERE NOT EXISTS (SELECT 1 FROM recipe WHERE recipe_id = new.recipe_id);
END;
CREATE TRIGGER recipe_grist_refers BEFORE INSERT ON recipe_grist BEGIN
    SELECT RAISE(ABORT, 'recipe_grist: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER recipe_hop_refers BEFORE INSERT ON recipe_hop BEGIN
    SELECT RAISE(ABORT, 'recipe_hop: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER recipe_other_refers BEFORE INSERT ON recipe_other BEGIN
    SELECT RAISE(ABORT, 'recipe_other: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER supplier_version_refers BEFORE INSERT ON supplier_version BEGIN
    SELECT RAISE(ABORT, 'supplier_version: there is no such supplier')
        WHERE NOT EXISTS (SELECT 1 FROM supplier WHERE supplier_id = new.supplier_id);
END;
CREATE TRIGGER offer_refers BEFORE INSERT ON offer BEGIN
    SELECT RAISE(ABORT, 'offer: there is no such supplier')
        WHERE NOT EXISTS (SELECT 1 FROM supplier WHERE name = new.supplier);
    SELECT RAISE(ABORT, 'offer: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER offer_version_refers BEFORE INSERT ON offer_version BEGIN
    SELECT RAISE(ABORT, 'offer_version: there is no such offer')
        WHERE NOT EXISTS (SELECT 1 FROM offer WHERE offer_id = new.offer_id);
END;
CREATE TRIGGER lot_detail_refers BEFORE INSERT ON lot_detail BEGIN
    SELECT RAISE(ABORT, 'lot_detail: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id);
    SELECT RAISE(ABORT, 'lot_detail: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
    SELECT RAISE(ABORT, 'lot_detail: there is no such supplier')
        WHERE new.supplier IS NOT NULL AND NOT EXISTS (SELECT 1 FROM supplier WHERE name = new.supplier);
    SELECT RAISE(ABORT, 'lot_detail: there is no such brew')
        WHERE new.harvested_from IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM brew WHERE code = new.harvested_from);
END;
CREATE TRIGGER retest_refers BEFORE INSERT ON retest BEGIN
    SELECT RAISE(ABORT, 'retest: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id);
END;
CREATE TRIGGER lot_hold_refers BEFORE INSERT ON lot_hold BEGIN
    SELECT RAISE(ABORT, 'lot_hold: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id);
END;
CREATE TRIGGER purchase_order_version_refers BEFORE INSERT ON purchase_order_version BEGIN
    SELECT RAISE(ABORT, 'purchase_order_version: there is no such purchase order')
        WHERE NOT EXISTS (SELECT 1 FROM purchase_order WHERE purchase_order_id = new.purchase_order_id);
    SELECT RAISE(ABORT, 'purchase_order_version: there is no such supplier')
        WHERE NOT EXISTS (SELECT 1 FROM supplier WHERE name = new.supplier);
END;
CREATE TRIGGER order_line_refers BEFORE INSERT ON order_line BEGIN
    SELECT RAISE(ABORT, 'order_line: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.item);
END;
CREATE TRIGGER order_receipt_refers BEFORE INSERT ON order_receipt BEGIN
    SELECT RAISE(ABORT, 'order_receipt: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE code = new.lot);
END;
CREATE TRIGGER plan_version_refers BEFORE INSERT ON plan_version BEGIN
    SELECT RAISE(ABORT, 'plan_version: there is no such plan')
        WHERE NOT EXISTS (SELECT 1 FROM plan WHERE plan_id = new.plan_id);
    SELECT RAISE(ABORT, 'plan_version: there is no such recipe')
        WHERE NOT EXISTS (SELECT 1 FROM recipe WHERE name = new.recipe);
    SELECT RAISE(ABORT, 'plan_version: there is no such brewhouse')
        WHERE new.brewhouse IS NOT NULL AND NOT EXISTS (SELECT 1 FROM brewhouse WHERE name = new.brewhouse);
END;
CREATE TRIGGER reservation_refers BEFORE INSERT ON reservation BEGIN
    SELECT RAISE(ABORT, 'reservation: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE code = new.lot);
END;
CREATE TRIGGER brew_head_refers BEFORE INSERT ON brew_head BEGIN
    SELECT RAISE(ABORT, 'brew_head: there is no such brew')
        WHERE NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
    SELECT RAISE(ABORT, 'brew_head: there is no such plan')
        WHERE new.plan IS NOT NULL AND NOT EXISTS (SELECT 1 FROM plan WHERE code = new.plan);
    SELECT RAISE(ABORT, 'brew_head: there is no such recipe')
        WHERE new.recipe IS NOT NULL AND NOT EXISTS (SELECT 1 FROM recipe WHERE name = new.recipe);
    SELECT RAISE(ABORT, 'brew_head: there is no such brewhouse')
        WHERE NOT EXISTS (SELECT 1 FROM brewhouse WHERE name = new.brewhouse);
    SELECT RAISE(ABORT, 'brew_head: there is no such brew')
        WHERE new.fermented_with IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM brew WHERE code = new.fermented_with);
END;
CREATE TRIGGER reading_refers BEFORE INSERT ON reading BEGIN
    SELECT RAISE(ABORT, 'reading: there is no such brew')
        WHERE NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
    SELECT RAISE(ABORT, 'reading: there is no such instrument')
        WHERE new.volume_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.volume_instrument);
    SELECT RAISE(ABORT, 'reading: there is no such instrument')
        WHERE new.gravity_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.gravity_instrument);
END;
CREATE TRIGGER reading_status_refers BEFORE INSERT ON reading_status BEGIN
    SELECT RAISE(ABORT, 'reading_status: there is no such reading')
        WHERE NOT EXISTS (SELECT 1 FROM reading WHERE reading_id = new.reading_id);
END;
CREATE TRIGGER seal_refers BEFORE INSERT ON seal BEGIN
    SELECT RAISE(ABORT, 'seal: there is no such entry')
        WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry_id = new.entry_id);
END;
CREATE TRIGGER movement_refers BEFORE INSERT ON movement BEGIN
    SELECT RAISE(ABORT, 'movement: there is no such brew')
        WHERE new.brew_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
    SELECT RAISE(ABORT, 'movement: there is no such instrument')
        WHERE new.mass_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.mass_instrument);
    SELECT RAISE(ABORT, 'movement: what it takes back is not there')
        WHERE new.reverses_movement_id IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM movement WHERE movement_id = new.reverses_movement_id)
        AND NOT (new.reverses_movement_id > new.movement_id
            AND EXISTS (SELECT 1 FROM entry WHERE entry_id = new.entry_id AND kind = 'import'));
END;
CREATE TRIGGER lot_source_refers BEFORE INSERT ON lot_source BEGIN
    SELECT RAISE(ABORT, 'lot_source: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE code = new.lot);
END;
CREATE TRIGGER lot_opening_refers BEFORE INSERT ON lot_opening BEGIN
    SELECT RAISE(ABORT, 'lot_opening: there is no such lot')
        WHERE NOT EXISTS (SELECT 1 FROM lot WHERE lot_id = new.lot_id);
END;
CREATE TRIGGER brew_end_refers BEFORE INSERT ON brew_end BEGIN
    SELECT RAISE(ABORT, 'brew_end: there is no such brew')
        WHERE NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
END;
