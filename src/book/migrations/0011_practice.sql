-- A practice copy stays one: what it was copied from is said once and never taken off.
CREATE TRIGGER practice_kept BEFORE DELETE ON setting WHEN OLD.key = 'practice_of' BEGIN
  SELECT RAISE(ABORT, 'a practice copy stays a practice copy');
END;
CREATE TRIGGER practice_same BEFORE UPDATE ON setting
WHEN OLD.key = 'practice_of' AND (NEW.key <> OLD.key OR NEW.value <> OLD.value) BEGIN
  SELECT RAISE(ABORT, 'a practice copy stays a practice copy');
END;
