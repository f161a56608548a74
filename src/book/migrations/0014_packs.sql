-- The year-end packs that were handed out: of which year, of which state of the book, and how they are sealed.
-- `head_seq` and `head_hash` are the row of the history that the pack joins on to; `figures` are its main sums as a JSON
-- object, so that the next pack can say what became of them. Rows are only ever added.

CREATE TABLE pack (
  id        INTEGER PRIMARY KEY,
  year_from TEXT NOT NULL CHECK (length(year_from) = 10 AND year_from IS date(year_from)),
  year_to   TEXT NOT NULL CHECK (length(year_to) = 10 AND year_to IS date(year_to)),
  made_on   TEXT NOT NULL CHECK (length(made_on) = 10 AND made_on IS date(made_on)),
  head_seq  INTEGER NOT NULL CHECK (head_seq > 0),
  head_hash BLOB NOT NULL CHECK (length(head_hash) = 32),
  seal      TEXT NOT NULL CHECK (length(seal) = 64),
  figures   TEXT NOT NULL CHECK (json_valid(figures))
) STRICT;
CREATE INDEX pack_year ON pack (year_to);
CREATE TRIGGER pack_kept BEFORE DELETE ON pack BEGIN
  SELECT RAISE(ABORT, 'the list of packs is only ever added to');
END;
CREATE TRIGGER pack_same BEFORE UPDATE ON pack BEGIN
  SELECT RAISE(ABORT, 'the list of packs is only ever added to');
END;
