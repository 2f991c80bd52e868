-- The one-time number of the form that an entry was sent by: sent again after a dead spot, it books nothing more.
ALTER TABLE entry ADD COLUMN form TEXT CHECK (length(form) BETWEEN 16 AND 64 AND form NOT GLOB '*[^0-9a-z-]*');
CREATE UNIQUE INDEX entry_form ON entry (form) WHERE form IS NOT NULL;
CREATE TRIGGER entry_form_once BEFORE INSERT ON entry WHEN new.form IS NOT NULL BEGIN
    SELECT RAISE(ABORT, 'entry: this form is booked') WHERE EXISTS (SELECT 1 FROM entry WHERE form = new.form);
END;
