-- What was taken in place of what: an item that must never stand in for another, a plan that follows a substitution,
-- and the recipe's item beside what was reserved or weighed in its place.

ALTER TABLE stand_in ADD COLUMN allowed TEXT CHECK (allowed IN ('yes', 'never'));
ALTER TABLE plan_version ADD COLUMN adopted TEXT CHECK (adopted <> '');
ALTER TABLE reservation ADD COLUMN instead_of TEXT REFERENCES item (name);
ALTER TABLE movement ADD COLUMN instead_of TEXT REFERENCES item (name) CHECK (instead_of IS NULL OR kind = 'brew');

CREATE TRIGGER reservation_replaces BEFORE INSERT ON reservation WHEN new.instead_of IS NOT NULL BEGIN
    SELECT RAISE(ABORT, 'reservation: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.instead_of);
END;
CREATE TRIGGER movement_replaces BEFORE INSERT ON movement WHEN new.instead_of IS NOT NULL BEGIN
    SELECT RAISE(ABORT, 'movement: there is no such item')
        WHERE NOT EXISTS (SELECT 1 FROM item WHERE name = new.instead_of);
END;

DROP VIEW item_touch;
CREATE VIEW item_touch AS
SELECT name AS item, entry_id, 'states' AS role FROM item JOIN item_version USING (item_id)
UNION ALL SELECT item, entry_id, 'uses' FROM stand_in JOIN item_version USING (item_version_id)
UNION ALL SELECT item, entry_id, 'uses' FROM lot_detail
UNION ALL SELECT item, entry_id, 'uses' FROM recipe_grist JOIN recipe_version USING (recipe_version_id)
UNION ALL SELECT item, entry_id, 'uses' FROM recipe_hop JOIN recipe_version USING (recipe_version_id)
UNION ALL SELECT item, entry_id, 'uses' FROM recipe_other JOIN recipe_version USING (recipe_version_id)
UNION ALL SELECT item, entry_id, 'uses' FROM offer JOIN offer_version USING (offer_id)
UNION ALL SELECT item, entry_id, 'uses' FROM order_line JOIN purchase_order_version USING (purchase_order_version_id)
UNION ALL SELECT instead_of, entry_id, 'uses' FROM reservation JOIN plan_version USING (plan_version_id)
    WHERE instead_of IS NOT NULL
UNION ALL SELECT instead_of, entry_id, 'uses' FROM movement WHERE instead_of IS NOT NULL;
