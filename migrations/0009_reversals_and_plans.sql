-- A reversal comes after the movement that it takes back, whoever books it and under whatever entry; and a plan's
-- promises are released or consumed, never both.

DROP TRIGGER movement_refers;
CREATE TRIGGER movement_refers BEFORE INSERT ON movement BEGIN
    SELECT RAISE(ABORT, 'movement: there is no such brew')
        WHERE new.brew_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM brew WHERE brew_id = new.brew_id);
    SELECT RAISE(ABORT, 'movement: there is no such instrument')
        WHERE new.mass_instrument IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM instrument WHERE name = new.mass_instrument);
    SELECT RAISE(ABORT, 'movement: what it takes back is not there')
        WHERE new.reverses_movement_id IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM movement WHERE movement_id = new.reverses_movement_id);
END;

CREATE TRIGGER brew_head_of_open_plan BEFORE INSERT ON brew_head WHEN new.plan IS NOT NULL BEGIN
    SELECT RAISE(ABORT, 'brew_head: the plan was called off')
        WHERE (SELECT cancelled FROM plan_now WHERE code = new.plan) IS NOT NULL;
END;
CREATE TRIGGER plan_version_of_open_plan BEFORE INSERT ON plan_version BEGIN
    SELECT RAISE(ABORT, 'plan_version: the plan has been brewed already')
        WHERE EXISTS (SELECT 1 FROM brew_now JOIN plan ON plan.code = brew_now.plan WHERE plan_id = new.plan_id);
END;
