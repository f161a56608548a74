-- What is kept at the desk and never posted: questions for the accountant, duties with their days, papers of the
-- company, decisions, and hours.

-- A question goes from asked to answered to applied; each step has its day. The entry is what it is about.
CREATE TABLE question (
  id            INTEGER PRIMARY KEY,
  entry         INTEGER REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  words         TEXT NOT NULL CHECK (trim(words) <> ''),
  asked_by      TEXT NOT NULL,
  asked_on      TEXT NOT NULL CHECK (asked_on IS date(asked_on)),
  answer        TEXT NOT NULL,
  answered_by   TEXT NOT NULL,
  answered_on   TEXT CHECK (answered_on IS date(answered_on)),
  applied       TEXT NOT NULL,
  applied_entry INTEGER REFERENCES entry (number) DEFERRABLE INITIALLY DEFERRED,
  applied_on    TEXT CHECK (applied_on IS date(applied_on)),
  CHECK ((answer = '') = (answered_on IS NULL)),
  CHECK ((applied = '') = (applied_on IS NULL)),
  CHECK (applied_on IS NULL OR answered_on IS NOT NULL),
  CHECK (applied_entry IS NULL OR applied_on IS NOT NULL)
) STRICT;
CREATE INDEX question_entry ON question (entry) WHERE entry IS NOT NULL;

-- Something with a day that comes once or again and again. Without a next day nothing more is to come. A return of
-- sales tax says through which day its next period goes.
CREATE TABLE duty (
  id           INTEGER PRIMARY KEY,
  name         TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(name) <> ''),
  kind         TEXT NOT NULL CHECK (kind <> ''),
  next_day     TEXT CHECK (next_day IS date(next_day)),
  day          INTEGER NOT NULL CHECK (day BETWEEN 1 AND 31),
  every_months INTEGER NOT NULL CHECK (every_months BETWEEN 0 AND 120),
  remind_days  INTEGER NOT NULL CHECK (remind_days BETWEEN 0 AND 366),
  period_to    TEXT CHECK (period_to IS date(period_to)),
  note         TEXT NOT NULL,
  CHECK ((kind = 'sales-tax') = (period_to IS NOT NULL))
) STRICT;

CREATE TABLE duty_done (
  id           INTEGER PRIMARY KEY,
  duty         INTEGER NOT NULL REFERENCES duty (id) DEFERRABLE INITIALLY DEFERRED,
  due          TEXT NOT NULL CHECK (due IS date(due)),
  done_on      TEXT NOT NULL CHECK (done_on IS date(done_on)),
  amount       INTEGER,
  period_from  TEXT CHECK (period_from IS date(period_from)),
  period_to    TEXT CHECK (period_to IS date(period_to)),
  note         TEXT NOT NULL,
  receipt      TEXT REFERENCES receipt (hash),
  receipt_name TEXT NOT NULL,
  UNIQUE (duty, due),
  CHECK ((period_from IS NULL) = (period_to IS NULL)),
  CHECK ((receipt IS NULL) = (receipt_name = ''))
) STRICT;

-- Papers that show the company to be one. Numbers on them are never kept here.
CREATE TABLE company_paper (
  id           INTEGER PRIMARY KEY,
  name         TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (trim(name) <> ''),
  kind         TEXT NOT NULL CHECK (kind <> ''),
  is_there     INTEGER NOT NULL CHECK (is_there IN (0, 1)),
  day          TEXT CHECK (day IS date(day)),
  kept_at      TEXT NOT NULL,
  note         TEXT NOT NULL,
  receipt      TEXT REFERENCES receipt (hash),
  receipt_name TEXT NOT NULL,
  CHECK ((receipt IS NULL) = (receipt_name = ''))
) STRICT;

-- What was decided and why. A line is never changed: a correction is a line of its own.
CREATE TABLE decision (
  id       INTEGER PRIMARY KEY,
  day      TEXT NOT NULL CHECK (day IS date(day)),
  what     TEXT NOT NULL CHECK (trim(what) <> ''),
  why      TEXT NOT NULL,
  corrects INTEGER REFERENCES decision (id) DEFERRABLE INITIALLY DEFERRED
) STRICT;
CREATE TRIGGER decision_stays BEFORE UPDATE ON decision BEGIN
  SELECT RAISE(ABORT, 'a decision is never changed; a correction is a new line');
END;

-- The owner's own time, never posted. Starts and ends are minutes of the day.
CREATE TABLE work_time (
  id       INTEGER PRIMARY KEY,
  day      TEXT NOT NULL CHECK (day IS date(day)),
  activity TEXT NOT NULL CHECK (trim(activity) <> ''),
  minutes  INTEGER NOT NULL CHECK (minutes BETWEEN 1 AND 1440),
  starts   INTEGER CHECK (starts BETWEEN 0 AND 1439),
  ends     INTEGER CHECK (ends BETWEEN 1 AND 1440),
  item     INTEGER REFERENCES item (id),
  fair     TEXT NOT NULL,
  note     TEXT NOT NULL,
  CHECK ((starts IS NULL) = (ends IS NULL)),
  CHECK (starts IS NULL OR ends - starts = minutes)
) STRICT;
CREATE INDEX work_time_day ON work_time (day);

-- The timer that runs, if one does: it goes on while the program is closed.
CREATE TABLE running_timer (
  id       INTEGER PRIMARY KEY CHECK (id = 1),
  since    TEXT NOT NULL CHECK (since IS strftime('%Y-%m-%dT%H:%M', since)),
  activity TEXT NOT NULL CHECK (trim(activity) <> ''),
  item     INTEGER REFERENCES item (id),
  fair     TEXT NOT NULL,
  note     TEXT NOT NULL
) STRICT;
