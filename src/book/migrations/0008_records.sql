-- What banks and shops wrote down themselves: statement files and their lines, what became of each line, the rules
-- and choices that lines are sorted by, reconciliations, and what of a shop's files became which entry.

-- How a kind of file is read, by a name the owner gave it. The content is JSON whose meaning is above this file.
CREATE TABLE file_layout (
  id      INTEGER PRIMARY KEY,
  name    TEXT NOT NULL COLLATE NOCASE CHECK (trim(name) <> ''),
  purpose TEXT NOT NULL CHECK (purpose IN ('bank', 'orders', 'payouts', 'bridge')),
  content TEXT NOT NULL CHECK (content <> ''),
  UNIQUE (purpose, name)
) STRICT;

CREATE TABLE statement_file (
  id              INTEGER PRIMARY KEY,
  account         INTEGER NOT NULL REFERENCES account (id),
  name            TEXT NOT NULL,
  hash            TEXT NOT NULL CHECK (length(hash) = 64),
  format          TEXT NOT NULL CHECK (format <> ''),
  bank_account    TEXT NOT NULL,
  at              TEXT NOT NULL,
  first_day       TEXT CHECK (first_day IS date(first_day)),
  last_day        TEXT CHECK (last_day IS date(last_day)),
  n_lines         INTEGER NOT NULL CHECK (n_lines >= 0),
  closing_day     TEXT CHECK (closing_day IS date(closing_day)),
  closing_balance INTEGER,
  CHECK ((closing_day IS NULL) = (closing_balance IS NULL))
) STRICT;
CREATE INDEX statement_file_hash ON statement_file (hash);

-- The lines stay when their file is undone, so that it can be done again; a line whose file is not there counts for
-- nothing and goes before the next file comes. Hence no reference to the file.
CREATE TABLE bank_line (
  id      INTEGER PRIMARY KEY,
  file    INTEGER NOT NULL,
  row     INTEGER NOT NULL CHECK (row >= 0),
  account INTEGER NOT NULL,
  date    TEXT NOT NULL CHECK (length(date) = 10),
  amount  INTEGER NOT NULL CHECK (amount <> 0 AND amount BETWEEN -10000000000000 AND 10000000000000),
  text    TEXT NOT NULL,
  bank_id TEXT,
  balance INTEGER
) STRICT;
CREATE INDEX bank_line_day ON bank_line (account, date, amount);
CREATE INDEX bank_line_file ON bank_line (file);

-- What became of a line: an entry posted from it, entries that were there already, or left out with a reason.
CREATE TABLE bank_match (
  id    INTEGER PRIMARY KEY,
  line  INTEGER NOT NULL,
  entry INTEGER REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  how   TEXT NOT NULL CHECK (how IN ('posted', 'matched', 'left-out')),
  why   TEXT NOT NULL,
  CHECK ((entry IS NULL) = (how = 'left-out')),
  UNIQUE (line, entry)
) STRICT;
CREATE INDEX bank_match_entry ON bank_match (entry) WHERE entry IS NOT NULL;

-- The owner's rules, in the order in which they are asked.
CREATE TABLE sorting_rule (
  id          INTEGER PRIMARY KEY,
  position    INTEGER NOT NULL,
  account     INTEGER REFERENCES account (id),
  words       TEXT NOT NULL CHECK (trim(words) <> ''),
  direction   TEXT NOT NULL CHECK (direction IN ('in', 'out', 'either')),
  at_least    INTEGER CHECK (at_least >= 0),
  at_most     INTEGER CHECK (at_most >= 0),
  meaning     TEXT NOT NULL CHECK (meaning <> ''),
  to_account  INTEGER REFERENCES account (id),
  party       TEXT NOT NULL,
  share       TEXT NOT NULL,
  is_active   INTEGER NOT NULL CHECK (is_active IN (0, 1))
) STRICT;

-- How often the owner made a payee's lines into what.
CREATE TABLE sorted_choice (
  id         INTEGER PRIMARY KEY,
  payee      TEXT NOT NULL CHECK (payee <> ''),
  direction  TEXT NOT NULL CHECK (direction IN ('in', 'out')),
  meaning    TEXT NOT NULL CHECK (meaning <> ''),
  to_account INTEGER REFERENCES account (id),
  party      TEXT NOT NULL,
  share      TEXT NOT NULL,
  times      INTEGER NOT NULL CHECK (times > 0),
  last_day   TEXT NOT NULL CHECK (last_day IS date(last_day))
) STRICT;
CREATE INDEX sorted_choice_payee ON sorted_choice (payee, direction);

-- An account brought into agreement with its statement: open while the owner works on it, then finished and kept.
CREATE TABLE reconciliation (
  id          INTEGER PRIMARY KEY,
  account     INTEGER NOT NULL REFERENCES account (id),
  day         TEXT NOT NULL CHECK (day IS date(day)),
  balance     INTEGER NOT NULL,
  opening     INTEGER NOT NULL,
  finished_at TEXT,
  note        TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX reconciliation_open ON reconciliation (account) WHERE finished_at IS NULL;

-- The movements that were ticked and, once finished, those that were outstanding, as they were then.
CREATE TABLE reconciled_entry (
  id             INTEGER PRIMARY KEY,
  reconciliation INTEGER NOT NULL REFERENCES reconciliation (id) DEFERRABLE INITIALLY DEFERRED,
  entry          INTEGER NOT NULL CHECK (entry > 0),
  date           TEXT NOT NULL CHECK (date IS date(date)),
  amount         INTEGER NOT NULL,
  is_ticked      INTEGER NOT NULL CHECK (is_ticked IN (0, 1)),
  UNIQUE (reconciliation, entry)
) STRICT;
CREATE INDEX reconciled_entry_entry ON reconciled_entry (entry);
-- What may have broken a finished sheet, without looking at every entry.
CREATE INDEX entry_amended ON entry (number) WHERE version > 1;

-- What of a shop's file became which entry, by a key that the shop's own numbers make.
CREATE TABLE shop_record (
  id      INTEGER PRIMARY KEY,
  channel INTEGER NOT NULL REFERENCES account (id),
  key     TEXT NOT NULL CHECK (key <> ''),
  entry   INTEGER REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  UNIQUE (channel, key)
) STRICT;
CREATE INDEX shop_record_entry ON shop_record (entry) WHERE entry IS NOT NULL;

-- Which words of a shop's file mean which product; an empty item says that they mean none.
CREATE TABLE shop_item (
  id      INTEGER PRIMARY KEY,
  channel INTEGER NOT NULL REFERENCES account (id),
  words   TEXT NOT NULL COLLATE NOCASE CHECK (trim(words) <> ''),
  item    TEXT NOT NULL,
  UNIQUE (channel, words)
) STRICT;
