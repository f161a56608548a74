-- Orders to suppliers, what came of them, and claims. The money of an arrival is its purchase, the credit of a claim its
-- refund; nothing here says an amount that an entry says too.

CREATE TABLE supplier_order (
  id          INTEGER PRIMARY KEY,
  key         TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(key) <> ''),
  supplier    TEXT NOT NULL CHECK (trim(supplier) <> ''),
  ordered_on  TEXT NOT NULL CHECK (ordered_on IS date(ordered_on)),
  -- Deals as `10% pieces;500 set-up`, amounts in minor units.
  deals       TEXT NOT NULL,
  carriage    INTEGER NOT NULL CHECK (carriage >= 0),
  lead_days   INTEGER CHECK (lead_days >= 0),
  wanted_on   TEXT CHECK (wanted_on IS date(wanted_on)),
  over_share  TEXT NOT NULL,
  under_share TEXT NOT NULL,
  no_unders   INTEGER NOT NULL CHECK (no_unders IN (0, 1)),
  billing     TEXT NOT NULL CHECK (billing IN ('by-arrival', 'one-bill')),
  reference   TEXT NOT NULL,
  note        TEXT NOT NULL,
  closed_on   TEXT CHECK (closed_on IS date(closed_on))
) STRICT;

CREATE TABLE supplier_order_line (
  id              INTEGER PRIMARY KEY,
  of_order        INTEGER NOT NULL REFERENCES supplier_order (id) DEFERRABLE INITIALLY DEFERRED,
  item            INTEGER NOT NULL REFERENCES item (id),
  quantity        INTEGER NOT NULL CHECK (quantity > 0),
  -- Tiers as `50:58;250:42.5`, prices in minor units.
  tiers           TEXT NOT NULL CHECK (tiers <> ''),
  minimum         INTEGER NOT NULL CHECK (minimum > 0),
  once_per_design INTEGER NOT NULL CHECK (once_per_design >= 0),
  once_per_run    INTEGER NOT NULL CHECK (once_per_run >= 0),
  is_first_run    INTEGER NOT NULL CHECK (is_first_run IN (0, 1)),
  UNIQUE (of_order, item)
) STRICT;

-- Without lines it is a bill with which nothing came; without an entry, pieces for which nothing was billed.
CREATE TABLE supplier_arrival (
  id       INTEGER PRIMARY KEY,
  of_order INTEGER NOT NULL REFERENCES supplier_order (id) DEFERRABLE INITIALLY DEFERRED,
  key      TEXT NOT NULL COLLATE NOCASE CHECK (trim(key) <> ''),
  date     TEXT NOT NULL CHECK (date IS date(date)),
  entry    INTEGER UNIQUE REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  UNIQUE (of_order, key)
) STRICT;

CREATE TABLE supplier_arrival_line (
  id       INTEGER PRIMARY KEY,
  arrival  INTEGER NOT NULL REFERENCES supplier_arrival (id) DEFERRABLE INITIALLY DEFERRED,
  item     INTEGER NOT NULL REFERENCES item (id),
  good     INTEGER NOT NULL CHECK (good >= 0),
  spoiled  INTEGER NOT NULL CHECK (spoiled >= 0),
  movement INTEGER UNIQUE REFERENCES movement (id) DEFERRABLE INITIALLY DEFERRED,
  CHECK (good + spoiled > 0),
  UNIQUE (arrival, item)
) STRICT;

CREATE TABLE supplier_claim (
  id         INTEGER PRIMARY KEY,
  key        TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(key) <> ''),
  arrival    INTEGER NOT NULL REFERENCES supplier_arrival (id) DEFERRABLE INITIALLY DEFERRED,
  item       INTEGER REFERENCES item (id),
  opened_on  TEXT NOT NULL CHECK (opened_on IS date(opened_on)),
  pieces     INTEGER NOT NULL CHECK (pieces >= 0),
  amount     INTEGER NOT NULL CHECK (amount > 0),
  what       TEXT NOT NULL CHECK (what IN ('spoiled', 'missing')),
  state      TEXT NOT NULL CHECK (state IN ('open', 'credited', 'refused')),
  settled_on TEXT CHECK (settled_on IS date(settled_on)),
  entry      INTEGER UNIQUE REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  note       TEXT NOT NULL
) STRICT;
CREATE INDEX supplier_claim_arrival ON supplier_claim (arrival);
