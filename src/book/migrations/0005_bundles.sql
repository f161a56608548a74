-- Sets sold under one name, whose parts lie in stock each by itself.

CREATE TABLE bundle (
  id        INTEGER PRIMARY KEY,
  code      TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(code) <> ''),
  name      TEXT NOT NULL CHECK (trim(name) <> ''),
  price     INTEGER CHECK (price >= 0),
  is_active INTEGER NOT NULL CHECK (is_active IN (0, 1))
) STRICT;

CREATE TABLE bundle_part (
  id       INTEGER PRIMARY KEY,
  bundle   INTEGER NOT NULL REFERENCES bundle (id) DEFERRABLE INITIALLY DEFERRED,
  item     INTEGER NOT NULL REFERENCES item (id),
  quantity TEXT NOT NULL,
  UNIQUE (bundle, item)
) STRICT;

-- A sale names a set or an item by one code.
CREATE TRIGGER bundle_is_no_item BEFORE INSERT ON bundle
WHEN EXISTS (SELECT 1 FROM item WHERE code = NEW.code) BEGIN
  SELECT RAISE(ABORT, 'an item has this code');
END;
CREATE TRIGGER item_is_no_bundle BEFORE INSERT ON item
WHEN EXISTS (SELECT 1 FROM bundle WHERE code = NEW.code) BEGIN
  SELECT RAISE(ABORT, 'a set has this code');
END;
