-- The start-up plan: what is wanted, the money there is for it, and which purchases became of it.
-- A line with `alternative_of` is another way of that line; of several ways exactly one is chosen.
CREATE TABLE plan_line (
  id             INTEGER PRIMARY KEY,
  name           TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(name) <> ''),
  kind           TEXT NOT NULL CHECK (kind IN ('equipment', 'materials', 'stock', 'packaging', 'fees', 'other')),
  how            TEXT CHECK (how IN ('new', 'second-hand', 'owned', 'outside')),
  low            INTEGER NOT NULL CHECK (low >= 0),
  likely         INTEGER NOT NULL CHECK (likely >= low),
  high           INTEGER NOT NULL CHECK (high >= likely),
  need           TEXT NOT NULL CHECK (need IN ('must', 'later')),
  month          TEXT CHECK (length(month) = 7 AND month || '-01' IS date(month || '-01')),
  alternative_of INTEGER REFERENCES plan_line (id) DEFERRABLE INITIALLY DEFERRED CHECK (alternative_of <> id),
  is_chosen      INTEGER NOT NULL CHECK (is_chosen IN (0, 1)),
  note           TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX plan_line_chosen ON plan_line (ifnull(alternative_of, id)) WHERE is_chosen = 1;

-- Money for starting; without a month it is there from the beginning.
CREATE TABLE plan_money (
  id     INTEGER PRIMARY KEY,
  month  TEXT CHECK (length(month) = 7 AND month || '-01' IS date(month || '-01')),
  amount INTEGER NOT NULL CHECK (amount > 0),
  note   TEXT NOT NULL
) STRICT;

-- A purchase, or a thing brought in, that belongs to a line of the plan; `what` names the entry's lines, all when empty.
CREATE TABLE plan_purchase (
  id    INTEGER PRIMARY KEY,
  line  INTEGER NOT NULL REFERENCES plan_line (id) DEFERRABLE INITIALLY DEFERRED,
  entry INTEGER NOT NULL REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  what  TEXT NOT NULL COLLATE NOCASE,
  UNIQUE (entry, what)
) STRICT;
CREATE INDEX plan_purchase_line ON plan_purchase (line);

-- Accounts that count under another group of the cost to start than their own.
CREATE TABLE start_up_mark (
  id      INTEGER PRIMARY KEY,
  account INTEGER NOT NULL UNIQUE REFERENCES account (id) DEFERRABLE INITIALLY DEFERRED,
  counts  TEXT NOT NULL CHECK (counts IN ('equipment', 'materials-and-stock', 'packaging', 'start-up-costs',
                                          'company-forming'))
) STRICT;
