-- Version 7: loans of a printer, and what is entered about them. Undo is an entry of its own there.

CREATE TABLE loan_entry (  -- only ever added to
  id          INTEGER PRIMARY KEY,
  loan        TEXT NOT NULL CHECK (length(loan) = 32),  -- its lasting name, drawn at random
  kind        TEXT NOT NULL CHECK (kind IN (
                'about', 'paper', 'minutes', 'took', 'timer', 'session', 'done', 'lost', 'left out', 'question',
                'answer', 'undo')),
  subject     TEXT NOT NULL,  -- of an undo: ''
  value       TEXT NOT NULL CHECK (json_valid(value)),  -- null withdraws
  at          TEXT NOT NULL,
  action      INTEGER NOT NULL CHECK (action > 0),  -- of its loan; entries of one key press share it
  takes_back  INTEGER CHECK (takes_back > 0 AND takes_back < action),  -- an action, which may be an undo itself
  CHECK ((kind = 'undo') = (takes_back IS NOT NULL))
) STRICT;
CREATE INDEX loan_entry_of_loan ON loan_entry (loan, id);

-- What has a name for ever is said by the tables that give it, no longer by a list here.

CREATE TABLE birth_before AS SELECT * FROM birth;
DROP TABLE birth;
CREATE TABLE birth (
  origin    TEXT NOT NULL CHECK (length(origin) = 32 AND origin NOT GLOB '*[^0-9a-f]*'),
  sequence  INTEGER NOT NULL CHECK (sequence > 0),  -- without a gap in each origin
  what      TEXT NOT NULL CHECK (what <> ''),  -- name of the table
  number    INTEGER NOT NULL,  -- id in that table, in this archive alone
  PRIMARY KEY (origin, sequence),
  UNIQUE (what, number)
) STRICT, WITHOUT ROWID;
INSERT INTO birth SELECT origin, sequence, what, number FROM birth_before;
DROP TABLE birth_before;
CREATE TRIGGER birth_is_immutable BEFORE UPDATE ON birth
BEGIN SELECT RAISE(ABORT, 'births are never rewritten'); END;
CREATE TRIGGER birth_is_kept BEFORE DELETE ON birth
BEGIN SELECT RAISE(ABORT, 'births are never deleted'); END;

CREATE TRIGGER loan_entry_is_born AFTER INSERT ON loan_entry
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'loan_entry' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'loan_entry', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER loan_entry_is_immutable BEFORE UPDATE ON loan_entry
BEGIN SELECT RAISE(ABORT, 'entries of a loan are never rewritten'); END;
CREATE TRIGGER loan_entry_is_kept BEFORE DELETE ON loan_entry
BEGIN SELECT RAISE(ABORT, 'entries of a loan are never deleted'); END;
