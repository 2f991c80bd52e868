-- What an order's packs hold where they are not weighed (yeast by the piece, acid by the litre), as an offer has it; and
-- the orders of which nothing more will come, with the reason.
ALTER TABLE order_line ADD COLUMN pack_l REAL CHECK (pack_l BETWEEN 0 AND 100000);
ALTER TABLE order_line ADD COLUMN pack_count INTEGER CHECK (pack_count BETWEEN 1 AND 1000000);
ALTER TABLE purchase_order_version ADD COLUMN closed TEXT CHECK (closed <> '');
