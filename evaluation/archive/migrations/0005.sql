-- Version 5: every entry, viewing, run and undo has a name of its own, for ever, whatever archive it is read in.

CREATE TABLE origin (  -- of what is written here from now on: drawn at random, and anew for a copy of the file
  one     INTEGER PRIMARY KEY CHECK (one = 1),
  origin  TEXT NOT NULL CHECK (length(origin) = 32 AND origin NOT GLOB '*[^0-9a-f]*'),
  place   TEXT NOT NULL  -- device and number of the file it was drawn for; '' draws anew
) STRICT;
INSERT INTO origin VALUES (1, lower(hex(randomblob(16))), '');

CREATE TABLE turn (  -- every undo and redo, only ever added to; an entry counts when each undo of it was taken back
  id          INTEGER PRIMARY KEY,
  entry       INTEGER NOT NULL REFERENCES entry (id),
  takes_back  INTEGER UNIQUE REFERENCES turn (id)  -- the undo that a redo takes back; NULL: an undo
) STRICT;
CREATE INDEX turn_of_entry ON turn (entry);

CREATE TABLE birth (
  origin    TEXT NOT NULL CHECK (length(origin) = 32 AND origin NOT GLOB '*[^0-9a-f]*'),
  sequence  INTEGER NOT NULL CHECK (sequence > 0),  -- without a gap in each origin
  what      TEXT NOT NULL CHECK (what IN ('entry', 'viewing', 'readings', 'turn', 'round', 'judgement')),
  number    INTEGER NOT NULL,  -- id in that table, in this archive alone
  PRIMARY KEY (origin, sequence),
  UNIQUE (what, number)
) STRICT, WITHOUT ROWID;

-- What was there before is named after its session, so that copies brought up to date apart agree about it.

INSERT INTO turn (entry) SELECT id FROM entry WHERE undone <> 0 ORDER BY id;

INSERT INTO birth
SELECT s.uid, row_number() OVER (PARTITION BY s.id ORDER BY b.rank, b.number), b.what, b.number
FROM (
  SELECT session, 1 AS rank, 'viewing' AS what, id AS number FROM viewing
  UNION ALL SELECT session, 2, 'readings', id FROM readings
  UNION ALL SELECT session, 3, 'entry', id FROM entry
  UNION ALL SELECT e.session, 4, 'turn', t.id FROM turn AS t JOIN entry AS e ON e.id = t.entry) AS b
JOIN session AS s ON s.id = b.session;

-- From here on by themselves. Whoever brings in rows of another archive writes their births before them.

CREATE TRIGGER entry_is_born AFTER INSERT ON entry
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'entry' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'entry', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER viewing_is_born AFTER INSERT ON viewing
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'viewing' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'viewing', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER readings_are_born AFTER INSERT ON readings
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'readings' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'readings', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER turn_is_born AFTER INSERT ON turn
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'turn' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'turn', NEW.id
  FROM origin AS o;
END;

CREATE TRIGGER entry_is_undone AFTER UPDATE OF undone ON entry WHEN OLD.undone = 0 AND NEW.undone <> 0
BEGIN INSERT INTO turn (entry) VALUES (NEW.id); END;
CREATE TRIGGER entry_is_redone AFTER UPDATE OF undone ON entry WHEN OLD.undone <> 0 AND NEW.undone = 0
BEGIN
  INSERT INTO turn (entry, takes_back)
  SELECT NEW.id, max(id) FROM turn
  WHERE entry = NEW.id AND takes_back IS NULL
    AND id NOT IN (SELECT takes_back FROM turn WHERE takes_back IS NOT NULL);
END;

CREATE TRIGGER birth_is_immutable BEFORE UPDATE ON birth
BEGIN SELECT RAISE(ABORT, 'births are never rewritten'); END;
CREATE TRIGGER birth_is_kept BEFORE DELETE ON birth
BEGIN SELECT RAISE(ABORT, 'births are never deleted'); END;
CREATE TRIGGER turn_is_immutable BEFORE UPDATE ON turn
BEGIN SELECT RAISE(ABORT, 'turns are never rewritten'); END;
CREATE TRIGGER turn_is_kept BEFORE DELETE ON turn
BEGIN SELECT RAISE(ABORT, 'turns are never deleted'); END;
