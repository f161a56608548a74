-- A Deckle book. Amounts are whole minor units of the book's one currency, days are ISO 8601 text,
-- quantities and shares are decimal text. The triggers are the last net under the program: no other program
-- can write an unbalanced entry, touch a locked period or change the history without first taking them away,
-- and the check finds what was done without them.

CREATE TABLE setting (
  id    INTEGER PRIMARY KEY,
  key   TEXT NOT NULL UNIQUE CHECK (key <> ''),
  value TEXT NOT NULL
) STRICT;

CREATE TABLE account (
  id        INTEGER PRIMARY KEY,
  number    TEXT NOT NULL UNIQUE CHECK (trim(number) <> ''),
  name      TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(name) <> ''),
  class     TEXT NOT NULL CHECK (class IN ('asset', 'liability', 'equity', 'income', 'expense')),
  heading   TEXT NOT NULL,
  is_contra INTEGER NOT NULL CHECK (is_contra IN (0, 1)),
  role      TEXT UNIQUE,
  form_line TEXT,
  is_active INTEGER NOT NULL CHECK (is_active IN (0, 1))
) STRICT;

-- Every change to the book, in the order it was made. `content` holds the earlier version of an entry that was
-- amended or withdrawn, `digest` the SHA-256 of the version written, `hash` the SHA-256 over this row and the
-- row before it.
CREATE TABLE history (
  seq     INTEGER PRIMARY KEY,
  at      TEXT NOT NULL,
  action  TEXT NOT NULL CHECK (action <> ''),
  entry   INTEGER,
  version INTEGER,
  what    TEXT NOT NULL,
  reason  TEXT NOT NULL,
  content TEXT NOT NULL,
  digest  BLOB,
  hash    BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;

-- The entries. An entry is written in this order: its row of history, its lines, then its header, and the header
-- is refused unless all of it is sound. An entry with a header is therefore posted and final.
CREATE TABLE entry (
  number         INTEGER PRIMARY KEY CHECK (number > 0),
  version        INTEGER NOT NULL CHECK (version > 0),
  date           TEXT NOT NULL CHECK (length(date) = 10 AND date IS date(date)),
  kind           TEXT NOT NULL CHECK (kind <> ''),
  party          TEXT NOT NULL,
  memo           TEXT NOT NULL,
  reference      TEXT NOT NULL,
  document       TEXT NOT NULL,
  origin         TEXT NOT NULL,
  tags           TEXT NOT NULL,
  tax_by_channel INTEGER NOT NULL,
  reverses       INTEGER REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  written        INTEGER NOT NULL REFERENCES history (seq)
) STRICT;

CREATE TABLE line (
  entry     INTEGER NOT NULL REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  position  INTEGER NOT NULL CHECK (position > 0),
  account   INTEGER NOT NULL REFERENCES account (id),
  amount    INTEGER NOT NULL CHECK (amount <> 0 AND amount BETWEEN -10000000000000 AND 10000000000000),
  memo      TEXT NOT NULL,
  equipment TEXT,
  item      TEXT,
  quantity  TEXT,
  PRIMARY KEY (entry, position)
) STRICT, WITHOUT ROWID;

-- The sums of lines by month (year * 12 + month - 1) and account, closing entries apart.
CREATE TABLE month_balance (
  month   INTEGER NOT NULL,
  account INTEGER NOT NULL REFERENCES account (id),
  closing INTEGER NOT NULL CHECK (closing IN (0, 1)),
  debit   INTEGER NOT NULL,
  credit  INTEGER NOT NULL,
  PRIMARY KEY (month, account, closing)
) STRICT, WITHOUT ROWID;

CREATE INDEX entry_date ON entry (date);
CREATE INDEX entry_party ON entry (party COLLATE NOCASE) WHERE party <> '';
CREATE INDEX entry_document ON entry (document) WHERE document <> '';
CREATE UNIQUE INDEX entry_reverses ON entry (reverses) WHERE reverses IS NOT NULL;
CREATE INDEX line_account ON line (account, entry, amount);
CREATE INDEX line_equipment ON line (equipment) WHERE equipment IS NOT NULL;
CREATE INDEX history_entry ON history (entry);

CREATE TABLE receipt (
  id         INTEGER PRIMARY KEY,
  hash       TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
  media_type TEXT NOT NULL,
  bytes      BLOB NOT NULL
) STRICT;

CREATE TABLE attachment (
  id      INTEGER PRIMARY KEY,
  entry   INTEGER NOT NULL REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  receipt TEXT NOT NULL REFERENCES receipt (hash),
  name    TEXT NOT NULL,
  UNIQUE (entry, receipt)
) STRICT;
CREATE INDEX attachment_receipt ON attachment (receipt);

CREATE TABLE proof (
  id        INTEGER PRIMARY KEY,
  entry     INTEGER NOT NULL UNIQUE REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  state     TEXT NOT NULL CHECK (state IN ('not-needed', 'complete', 'substitute', 'missing')),
  stands_in TEXT NOT NULL,
  purpose   TEXT NOT NULL
) STRICT;

CREATE TABLE equipment (
  id             INTEGER PRIMARY KEY,
  key            TEXT NOT NULL UNIQUE CHECK (trim(key) <> ''),
  name           TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(name) <> ''),
  supplier       TEXT NOT NULL,
  bought_on      TEXT NOT NULL CHECK (bought_on IS date(bought_on)),
  in_service_on  TEXT NOT NULL CHECK (in_service_on IS date(in_service_on)),
  cost           INTEGER NOT NULL CHECK (cost >= 0),
  tax_part       INTEGER NOT NULL,
  delivery_part  INTEGER NOT NULL,
  residual       INTEGER NOT NULL CHECK (residual >= 0),
  life_months    INTEGER NOT NULL CHECK (life_months > 0),
  business_share TEXT NOT NULL,
  convention     TEXT NOT NULL,
  condition      TEXT NOT NULL,
  serial         TEXT NOT NULL,
  location       TEXT NOT NULL,
  purchase_entry INTEGER REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  charged_before INTEGER NOT NULL,
  disposed_on    TEXT CHECK (disposed_on IS date(disposed_on)),
  proceeds       INTEGER,
  CHECK ((disposed_on IS NULL) = (proceeds IS NULL))
) STRICT;

CREATE TABLE equipment_change (
  id             INTEGER PRIMARY KEY,
  equipment      TEXT NOT NULL REFERENCES equipment (key) DEFERRABLE INITIALLY DEFERRED,
  from_day       TEXT NOT NULL CHECK (from_day IS date(from_day)),
  life_months    INTEGER NOT NULL CHECK (life_months > 0),
  residual       INTEGER NOT NULL CHECK (residual >= 0),
  business_share TEXT NOT NULL,
  reason         TEXT NOT NULL,
  UNIQUE (equipment, from_day)
) STRICT;

CREATE TABLE remembered_kind (
  id       INTEGER PRIMARY KEY,
  supplier TEXT NOT NULL COLLATE NOCASE,
  thing    TEXT NOT NULL COLLATE NOCASE,
  account  INTEGER NOT NULL REFERENCES account (id),
  UNIQUE (supplier, thing)
) STRICT;

CREATE TABLE recurring (
  id             INTEGER PRIMARY KEY,
  name           TEXT NOT NULL CHECK (trim(name) <> ''),
  party          TEXT NOT NULL,
  account        INTEGER NOT NULL REFERENCES account (id),
  paid_how       TEXT NOT NULL CHECK (paid_how IN ('account', 'put-in', 'owed-back', 'bill')),
  paid_account   INTEGER REFERENCES account (id),
  amount         INTEGER NOT NULL CHECK (amount > 0),
  business_share TEXT NOT NULL,
  every_months   INTEGER NOT NULL CHECK (every_months > 0),
  day            INTEGER NOT NULL CHECK (day BETWEEN 1 AND 31),
  next_due       TEXT NOT NULL CHECK (next_due IS date(next_due)),
  note           TEXT NOT NULL,
  is_active      INTEGER NOT NULL CHECK (is_active IN (0, 1)),
  CHECK ((paid_how = 'account') = (paid_account IS NOT NULL))
) STRICT;

-- Forms that were kept for later, as the form wrote them down.
CREATE TABLE draft (
  id      INTEGER PRIMARY KEY,
  form    TEXT NOT NULL CHECK (form <> ''),
  content TEXT NOT NULL,
  at      TEXT NOT NULL
) STRICT;

CREATE TABLE hold (
  id       INTEGER PRIMARY KEY,
  channel  INTEGER NOT NULL REFERENCES account (id),
  amount   INTEGER NOT NULL CHECK (amount > 0),
  since    TEXT NOT NULL CHECK (since IS date(since)),
  until    TEXT CHECK (until IS date(until)),
  released TEXT CHECK (released IS date(released)),
  memo     TEXT NOT NULL
) STRICT;

CREATE TABLE reported_gross (
  id      INTEGER PRIMARY KEY,
  channel INTEGER NOT NULL REFERENCES account (id),
  year    INTEGER NOT NULL,
  amount  INTEGER NOT NULL,
  UNIQUE (channel, year)
) STRICT;

CREATE TABLE brought_file (
  id   INTEGER PRIMARY KEY,
  hash TEXT NOT NULL,
  name TEXT NOT NULL,
  kind TEXT NOT NULL,
  at   TEXT NOT NULL
) STRICT;
CREATE INDEX brought_file_hash ON brought_file (hash);

-- History is append-only and without gaps.
CREATE TRIGGER history_next BEFORE INSERT ON history
WHEN NEW.seq <> (SELECT ifnull(max(seq), 0) + 1 FROM history) BEGIN
  SELECT RAISE(ABORT, 'a row of history can only follow the last one');
END;
CREATE TRIGGER history_kept BEFORE DELETE ON history BEGIN
  SELECT RAISE(ABORT, 'history is never removed');
END;
CREATE TRIGGER history_final BEFORE UPDATE ON history BEGIN
  SELECT RAISE(ABORT, 'history is never changed');
END;

-- The header comes last and seals the entry. The first condition is the whole rule, arranged to be quick;
-- what follows only finds the words for what is wrong.
CREATE TRIGGER entry_sealed BEFORE INSERT ON entry
WHEN NOT ifnull(
  (SELECT h.entry = NEW.number AND h.version = NEW.version
     AND (h.action = 'amend' OR (h.action = 'record' AND NOT EXISTS (SELECT 1 FROM entry WHERE number >= NEW.number)
       AND (NEW.number = 1 OR EXISTS (SELECT 1 FROM entry WHERE number = NEW.number - 1))))
   FROM history h WHERE h.seq = NEW.written)
  AND NOT EXISTS (SELECT 1 FROM history WHERE seq > NEW.written)
  AND (SELECT count(*) > 1 AND sum(amount) = 0 FROM line WHERE entry = NEW.number)
  AND NEW.date >= (SELECT value FROM setting WHERE key = 'first_day')
  AND NEW.date > ifnull((SELECT value FROM setting WHERE key = 'lock_date'), ''), 0) BEGIN
  SELECT CASE
    WHEN NOT EXISTS (
      SELECT 1 FROM history
      WHERE seq = NEW.written AND entry = NEW.number AND version = NEW.version
        AND action IN ('record', 'amend') AND seq = (SELECT max(seq) FROM history))
      THEN RAISE(ABORT, 'an entry is written to history first')
    WHEN NEW.number <> (SELECT ifnull(max(number), 0) + 1 FROM entry)
      AND (SELECT action FROM history WHERE seq = NEW.written) <> 'amend'
      THEN RAISE(ABORT, 'entry numbers run without gaps')
    WHEN (SELECT count(*) < 2 FROM line WHERE entry = NEW.number)
      THEN RAISE(ABORT, 'an entry needs at least two lines')
    WHEN (SELECT sum(amount) <> 0 FROM line WHERE entry = NEW.number)
      THEN RAISE(ABORT, 'the entry does not balance')
    WHEN NEW.date <= (SELECT value FROM setting WHERE key = 'lock_date')
      THEN RAISE(ABORT, 'the day lies in a locked period')
    WHEN NEW.date < (SELECT value FROM setting WHERE key = 'first_day')
      THEN RAISE(ABORT, 'the day lies before the first day of the book')
    ELSE RAISE(ABORT, 'the entry is not sound')
  END;
END;
CREATE TRIGGER entry_summed AFTER INSERT ON entry BEGIN
  INSERT INTO month_balance (month, account, closing, debit, credit)
  SELECT CAST(substr(NEW.date, 1, 4) AS INTEGER) * 12 + CAST(substr(NEW.date, 6, 2) AS INTEGER) - 1,
         account, NEW.kind = 'closing', max(amount, 0), max(-amount, 0)
  FROM line WHERE entry = NEW.number
  ON CONFLICT (month, account, closing)
  DO UPDATE SET debit = debit + excluded.debit, credit = credit + excluded.credit;
END;
CREATE TRIGGER entry_final BEFORE UPDATE ON entry BEGIN
  SELECT RAISE(ABORT, 'a posted entry is final');
END;

-- A posted entry goes only after its content has gone to history: to make room for its next version, or,
-- for the newest one, to be withdrawn.
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN
  SELECT CASE
    WHEN NOT EXISTS (
      SELECT 1 FROM history
      WHERE seq = (SELECT max(seq) FROM history) AND entry = OLD.number AND content <> ''
        AND ((action = 'amend' AND version = OLD.version + 1)
          OR (action = 'withdraw' AND version = OLD.version AND OLD.number = (SELECT max(number) FROM entry))))
      THEN RAISE(ABORT, 'a posted entry is final')
    WHEN OLD.date <= (SELECT value FROM setting WHERE key = 'lock_date')
      THEN RAISE(ABORT, 'the day lies in a locked period')
  END;
END;
CREATE TRIGGER entry_unsummed AFTER DELETE ON entry BEGIN
  INSERT INTO month_balance (month, account, closing, debit, credit)
  SELECT CAST(substr(OLD.date, 1, 4) AS INTEGER) * 12 + CAST(substr(OLD.date, 6, 2) AS INTEGER) - 1,
         account, OLD.kind = 'closing', -max(amount, 0), -max(-amount, 0)
  FROM line WHERE entry = OLD.number
  ON CONFLICT (month, account, closing)
  DO UPDATE SET debit = debit + excluded.debit, credit = credit + excluded.credit;
  DELETE FROM month_balance
  WHERE month = CAST(substr(OLD.date, 1, 4) AS INTEGER) * 12 + CAST(substr(OLD.date, 6, 2) AS INTEGER) - 1
    AND debit = 0 AND credit = 0;
END;

-- Lines of a posted entry are final.
CREATE TRIGGER line_added BEFORE INSERT ON line
WHEN EXISTS (SELECT 1 FROM entry WHERE number = NEW.entry) BEGIN
  SELECT RAISE(ABORT, 'a posted entry is final');
END;
CREATE TRIGGER line_final BEFORE UPDATE ON line BEGIN
  SELECT RAISE(ABORT, 'a posted entry is final');
END;
CREATE TRIGGER line_kept BEFORE DELETE ON line
WHEN EXISTS (SELECT 1 FROM entry WHERE number = OLD.entry) BEGIN
  SELECT RAISE(ABORT, 'a posted entry is final');
END;

-- The lock moves back only after its reason has gone to history.
CREATE TRIGGER lock_lowered BEFORE UPDATE ON setting
WHEN OLD.key = 'lock_date' AND (NEW.key <> OLD.key OR NEW.value < OLD.value)
  AND (SELECT action FROM history ORDER BY seq DESC LIMIT 1) NOT IN ('unlock', 'undo', 'redo') BEGIN
  SELECT RAISE(ABORT, 'the lock is opened with a reason only');
END;
CREATE TRIGGER lock_removed BEFORE DELETE ON setting
WHEN OLD.key = 'lock_date'
  AND (SELECT action FROM history ORDER BY seq DESC LIMIT 1) NOT IN ('unlock', 'undo', 'redo') BEGIN
  SELECT RAISE(ABORT, 'the lock is opened with a reason only');
END;
CREATE TRIGGER first_day_moved BEFORE UPDATE ON setting
WHEN OLD.key = 'first_day' AND (NEW.key <> OLD.key OR NEW.value > (SELECT min(date) FROM entry)) BEGIN
  SELECT RAISE(ABORT, 'entries lie before that first day');
END;
CREATE TRIGGER currency_kept BEFORE UPDATE ON setting
WHEN OLD.key = 'currency' AND NEW.value <> OLD.value AND EXISTS (SELECT 1 FROM entry) BEGIN
  SELECT RAISE(ABORT, 'the currency of a book with entries is final');
END;
CREATE TRIGGER setting_added BEFORE INSERT ON setting
WHEN EXISTS (SELECT 1 FROM setting WHERE key = NEW.key OR id = NEW.id) BEGIN
  SELECT RAISE(ABORT, 'a setting is changed in place, not replaced');
END;
CREATE TRIGGER setting_kept BEFORE DELETE ON setting WHEN OLD.key IN ('currency', 'first_day') BEGIN
  SELECT RAISE(ABORT, 'a book keeps its currency and its first day');
END;

-- An account in use keeps its class; a piece of equipment keeps its key.
CREATE TRIGGER account_class_kept BEFORE UPDATE OF class ON account
WHEN NEW.class <> OLD.class AND EXISTS (SELECT 1 FROM line WHERE account = OLD.id) BEGIN
  SELECT RAISE(ABORT, 'an account with entries keeps its class');
END;
CREATE TRIGGER account_added BEFORE INSERT ON account
WHEN EXISTS (SELECT 1 FROM account WHERE id = NEW.id OR number = NEW.number OR name = NEW.name) BEGIN
  SELECT RAISE(ABORT, 'an account with this number or name is there already');
END;
CREATE TRIGGER account_id_kept BEFORE UPDATE OF id ON account WHEN NEW.id <> OLD.id BEGIN
  SELECT RAISE(ABORT, 'an account keeps its identity');
END;
CREATE TRIGGER equipment_key_kept BEFORE UPDATE OF key ON equipment WHEN NEW.key <> OLD.key BEGIN
  SELECT RAISE(ABORT, 'a piece of equipment keeps its key');
END;

-- A receipt's content is final; it goes only when nothing refers to it any more.
CREATE TRIGGER receipt_added BEFORE INSERT ON receipt
WHEN EXISTS (SELECT 1 FROM receipt WHERE hash = NEW.hash OR id = NEW.id) BEGIN
  SELECT RAISE(ABORT, 'this receipt is kept already');
END;
CREATE TRIGGER receipt_final BEFORE UPDATE ON receipt BEGIN
  SELECT RAISE(ABORT, 'a receipt is never changed');
END;
