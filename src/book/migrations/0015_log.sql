-- What is kept for the year's end and never posted by itself: trips with the owner's car, readings of its odometer, rooms
-- of the home that the business uses, and bills of the home. Distances are hundredths of their unit.

CREATE TABLE trip (
  id         INTEGER PRIMARY KEY,
  day        TEXT NOT NULL CHECK (day IS date(day)),
  from_place TEXT NOT NULL,
  to_place   TEXT NOT NULL,
  purpose    TEXT NOT NULL CHECK (trim(purpose) <> ''),
  distance   INTEGER NOT NULL CHECK (distance > 0),
  unit       TEXT NOT NULL CHECK (unit IN ('mi', 'km')),
  fair       TEXT NOT NULL COLLATE NOCASE,
  entered_on TEXT NOT NULL CHECK (entered_on IS date(entered_on)),
  CHECK (entered_on >= day)
) STRICT;
CREATE INDEX trip_day ON trip (day);

CREATE TABLE odometer (
  id    INTEGER PRIMARY KEY,
  day   TEXT NOT NULL UNIQUE CHECK (day IS date(day)),
  shows INTEGER NOT NULL CHECK (shows >= 0),
  unit  TEXT NOT NULL CHECK (unit IN ('mi', 'km'))
) STRICT;

-- Areas are written as they were given, in the measure of the home.
CREATE TABLE workspace (
  id           INTEGER PRIMARY KEY,
  name         TEXT NOT NULL COLLATE NOCASE CHECK (trim(name) <> ''),
  area         TEXT NOT NULL,
  home_area    TEXT NOT NULL,
  used_for     TEXT NOT NULL CHECK (used_for IN ('work', 'storage')),
  is_exclusive INTEGER NOT NULL CHECK (is_exclusive IN (0, 1)),
  from_day     TEXT NOT NULL CHECK (from_day IS date(from_day)),
  until_day    TEXT CHECK (until_day IS date(until_day)),
  UNIQUE (name, from_day),
  CHECK (until_day IS NULL OR until_day >= from_day)
) STRICT;

CREATE TABLE workspace_bill (
  id               INTEGER PRIMARY KEY,
  day              TEXT NOT NULL CHECK (day IS date(day)),
  what             TEXT NOT NULL CHECK (trim(what) <> ''),
  amount           INTEGER NOT NULL CHECK (amount > 0),
  covers_from      TEXT NOT NULL CHECK (covers_from IS date(covers_from, 'start of month')),
  covers_months    INTEGER NOT NULL CHECK (covers_months BETWEEN 1 AND 120),
  paid_by_business INTEGER NOT NULL CHECK (paid_by_business IN (0, 1))
) STRICT;
