-- Bills and things used privately too: the business's share of each in per cent, what it rests on, the days that were looked
-- at, and from which day it holds; a later share stands beside the earlier one. And, of what a shop reported for a year,
-- whether name and tax number on the report are the business's own; nothing while nobody has looked.

CREATE TABLE shared_bill (
  id           INTEGER PRIMARY KEY,
  what         TEXT NOT NULL COLLATE NOCASE CHECK (trim(what) <> ''),
  party        TEXT NOT NULL COLLATE NOCASE,
  share        TEXT NOT NULL,
  basis        TEXT NOT NULL CHECK (trim(basis) <> ''),
  sampled_from TEXT CHECK (sampled_from IS date(sampled_from)),
  sampled_to   TEXT CHECK (sampled_to IS date(sampled_to)),
  since        TEXT NOT NULL CHECK (since IS date(since)),
  note         TEXT NOT NULL,
  UNIQUE (what, party, since),
  CHECK ((sampled_from IS NULL) = (sampled_to IS NULL)),
  CHECK (sampled_from IS NULL OR (sampled_to >= sampled_from AND sampled_from <= since))
) STRICT;

ALTER TABLE reported_gross ADD COLUMN name_right INTEGER CHECK (name_right IN (0, 1));
ALTER TABLE reported_gross ADD COLUMN note TEXT NOT NULL DEFAULT '';
