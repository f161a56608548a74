-- Items, recipes and movements. What a movement is worth is posted in entries; stock_posting says which entry posted
-- how much of which movement, so that what is computed can be held against what is posted.

CREATE TABLE item (
  id            INTEGER PRIMARY KEY,
  code          TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(code) <> ''),
  name          TEXT NOT NULL CHECK (trim(name) <> ''),
  kind          TEXT NOT NULL CHECK (kind IN ('material', 'bought-in', 'made', 'packaging')),
  unit          TEXT NOT NULL CHECK (trim(unit) <> ''),
  packs         TEXT NOT NULL,
  reorder_point TEXT,
  price         INTEGER CHECK (price >= 0),
  shelf         TEXT NOT NULL,
  is_active     INTEGER NOT NULL CHECK (is_active IN (0, 1))
) STRICT;

CREATE TABLE recipe (
  id             INTEGER PRIMARY KEY,
  item           INTEGER NOT NULL UNIQUE REFERENCES item (id),
  batch_quantity TEXT NOT NULL,
  own_minutes    TEXT NOT NULL,
  normal_waste   TEXT NOT NULL,
  outside        INTEGER NOT NULL CHECK (outside >= 0)
) STRICT;

CREATE TABLE recipe_input (
  id       INTEGER PRIMARY KEY,
  recipe   INTEGER NOT NULL REFERENCES recipe (id) DEFERRABLE INITIALLY DEFERRED,
  item     INTEGER NOT NULL REFERENCES item (id),
  quantity TEXT NOT NULL,
  UNIQUE (recipe, item)
) STRICT;

-- A movement without an entry has nothing to post: carried to another place, or issued before anything came.
CREATE TABLE movement (
  id        INTEGER PRIMARY KEY,
  entry     INTEGER REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  date      TEXT NOT NULL CHECK (date IS date(date)),
  item      INTEGER NOT NULL REFERENCES item (id),
  kind      TEXT NOT NULL CHECK (kind <> ''),
  quantity  TEXT NOT NULL,
  value     INTEGER NOT NULL CHECK (value >= 0),
  batch     TEXT CHECK (batch <> ''),
  abnormal  TEXT NOT NULL,
  place     TEXT NOT NULL,
  to_place  TEXT NOT NULL,
  of        INTEGER REFERENCES movement (id),
  reference TEXT NOT NULL,
  -- How many more are on hand after it, in millionths of the unit: what a count found is worked out, the rest follows.
  change    INTEGER NOT NULL,
  -- Taken back: it counts no more, and what it posted is posted the other way round.
  is_void   INTEGER NOT NULL CHECK (is_void IN (0, 1))
) STRICT;
CREATE INDEX movement_item ON movement (item, date, change) WHERE is_void = 0;
CREATE INDEX movement_entry ON movement (entry) WHERE entry IS NOT NULL;
CREATE INDEX movement_batch ON movement (batch) WHERE batch IS NOT NULL;

CREATE TABLE stock_posting (
  id       INTEGER PRIMARY KEY,
  movement INTEGER NOT NULL REFERENCES movement (id),
  entry    INTEGER NOT NULL REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  -- The item of the movement and the day of the entry, kept here so that worth on a day is one walk along an index.
  item     INTEGER NOT NULL REFERENCES item (id),
  date     TEXT NOT NULL CHECK (date IS date(date)),
  side     TEXT NOT NULL CHECK (side IN ('stock', 'loss')),
  amount   INTEGER NOT NULL CHECK (amount <> 0)
) STRICT;
CREATE INDEX stock_posting_movement ON stock_posting (movement);
CREATE INDEX stock_posting_item ON stock_posting (item, date, amount) WHERE side = 'stock';
CREATE INDEX stock_posting_entry ON stock_posting (entry);

-- An item keeps its kind and its unit once it has moved: its value stands on that account, in that unit.
CREATE TRIGGER item_kept BEFORE UPDATE OF kind, unit ON item
WHEN (NEW.kind <> OLD.kind OR NEW.unit <> OLD.unit) AND EXISTS (SELECT 1 FROM movement WHERE item = OLD.id) BEGIN
  SELECT RAISE(ABORT, 'an item that has moved keeps its kind and its unit');
END;
CREATE TRIGGER stock_posting_placed BEFORE INSERT ON stock_posting
WHEN NEW.item <> (SELECT item FROM movement WHERE id = NEW.movement)
  OR NEW.date <> (SELECT date FROM entry WHERE number = NEW.entry) BEGIN
  SELECT RAISE(ABORT, 'a posting of stock stands on its movement''s item and its entry''s day');
END;
CREATE TRIGGER movement_locked BEFORE INSERT ON movement
WHEN NEW.date <= ifnull((SELECT value FROM setting WHERE key = 'lock_date'), '') BEGIN
  SELECT RAISE(ABORT, 'the day lies in a locked period');
END;
