-- The carrier's bill that comes when goods are in the house: it is in no lot's price, and brews bear it beside their goods.
ALTER TABLE purchase_order_version ADD COLUMN
    freight_after_minor INTEGER CHECK (freight_after_minor BETWEEN 0 AND 100000000000);
