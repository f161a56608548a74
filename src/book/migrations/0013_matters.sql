-- The steps of what begins on one day and ends on another: vouchers, deposits, invoices, disputes, loans, fair days.
-- A step goes with the entry it posted, or stands by itself where it posted none. Pieces are `CODE:3;OTHER:1`, answers a
-- JSON object of what was answered when it was told.

CREATE TABLE matter_step (
  id      INTEGER PRIMARY KEY,
  entry   INTEGER REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  on_day  TEXT NOT NULL CHECK (length(on_day) = 10 AND on_day IS date(on_day)),
  matter  TEXT NOT NULL CHECK (matter <> ''),
  key     TEXT NOT NULL COLLATE NOCASE CHECK (trim(key) <> ''),
  step    TEXT NOT NULL CHECK (step <> ''),
  amount  INTEGER NOT NULL CHECK (amount BETWEEN -10000000000000 AND 10000000000000),
  due     TEXT CHECK (due IS date(due)),
  party   TEXT NOT NULL,
  about   TEXT NOT NULL,
  pieces  TEXT NOT NULL,
  answers TEXT NOT NULL CHECK (json_valid(answers))
) STRICT;
CREATE INDEX matter_step_entry ON matter_step (entry) WHERE entry IS NOT NULL;
CREATE INDEX matter_step_key ON matter_step (matter, key);
