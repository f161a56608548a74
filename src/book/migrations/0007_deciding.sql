-- What is told beside a batch and never posted, and comparisons of making a thing with having it made.

CREATE TABLE batch_note (
  id          INTEGER PRIMARY KEY,
  movement    INTEGER NOT NULL UNIQUE REFERENCES movement (id) DEFERRABLE INITIALLY DEFERRED,
  own_minutes TEXT,
  spoiled     TEXT,
  spoiled_why TEXT NOT NULL
) STRICT;

-- The house's prices stand as `from:price;…`, prices in minor units with up to six decimals, as `each_cost` does.
CREATE TABLE comparison (
  id          INTEGER PRIMARY KEY,
  item        INTEGER NOT NULL REFERENCES item (id) DEFERRABLE INITIALLY DEFERRED,
  name        TEXT NOT NULL COLLATE NOCASE CHECK (trim(name) <> ''),
  wanted      INTEGER NOT NULL CHECK (wanted > 0),
  tiers       TEXT NOT NULL CHECK (tiers <> ''),
  minimum     INTEGER NOT NULL CHECK (minimum > 0),
  out_design  INTEGER NOT NULL CHECK (out_design >= 0),
  out_run     INTEGER NOT NULL CHECK (out_run >= 0),
  carriage    INTEGER NOT NULL CHECK (carriage >= 0),
  each_cost   TEXT NOT NULL,
  batch       INTEGER CHECK (batch > 0),
  loss        TEXT NOT NULL,
  minutes     TEXT NOT NULL,
  own_rate    INTEGER NOT NULL CHECK (own_rate >= 0),
  equipment   INTEGER NOT NULL CHECK (equipment >= 0),
  own_time    INTEGER NOT NULL CHECK (own_time IN (0, 1)),
  made_again  INTEGER NOT NULL CHECK (made_again IN (0, 1)),
  UNIQUE (item, name)
) STRICT;
