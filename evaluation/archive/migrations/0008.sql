-- Version 8: sessions travel between archives in bundles, and come together again by the names of what is in them.

CREATE TABLE bundle (  -- one row: this file is a bundle; none: an archive
  one            INTEGER PRIMARY KEY CHECK (one = 1),
  made           TEXT NOT NULL,
  origin         TEXT NOT NULL CHECK (length(origin) = 32),  -- of the archive it was made in
  drydown        TEXT NOT NULL,
  with_names     INTEGER NOT NULL CHECK (with_names IN (0, 1)),
  with_pictures  INTEGER NOT NULL CHECK (with_pictures IN (0, 1)),
  seal           TEXT NOT NULL CHECK (length(seal) = 64)  -- sha256 over the list of digests and this row
) STRICT;
CREATE TABLE bundle_digest (
  what    TEXT NOT NULL CHECK (what IN ('session', 'rounds', 'document')),
  name    TEXT NOT NULL,
  digest  TEXT NOT NULL CHECK (length(digest) = 64),
  PRIMARY KEY (what, name)
) STRICT, WITHOUT ROWID;

CREATE TABLE merging (  -- every merge that brought something
  id        INTEGER PRIMARY KEY,
  at        TEXT NOT NULL,
  files     TEXT NOT NULL CHECK (json_valid(files)),
  kept      TEXT NOT NULL,  -- name of the copy beside the archive, as it was before
  standing  TEXT NOT NULL  -- of the archive after it: while it is that, nothing was entered since
) STRICT;

CREATE TABLE elsewhere (  -- origins that came by a merge, perhaps not with all of their sequence
  origin  TEXT PRIMARY KEY CHECK (length(origin) = 32)
) STRICT, WITHOUT ROWID;

-- What an entry was made in sight of: the newest of each other origin on its subject. Those of its own origin are
-- known by their sequence. Two entries on one subject of which neither was made in sight of the other stand side by
-- side until a person has chosen.

CREATE TABLE sight (
  entry  INTEGER NOT NULL REFERENCES entry (id),
  saw    INTEGER NOT NULL REFERENCES entry (id),
  PRIMARY KEY (entry, saw)
) STRICT, WITHOUT ROWID;
CREATE INDEX sight_saw ON sight (saw);
INSERT INTO sight
SELECT entry, saw FROM (
  SELECT e.id AS entry, o.id AS saw, max(p.sequence)
  FROM entry AS e JOIN birth AS b ON b.what = 'entry' AND b.number = e.id
  JOIN entry AS o ON o.session = e.session AND o.kind = e.kind AND o.subject = e.subject AND o.viewing IS e.viewing
    AND o.id < e.id
  JOIN birth AS p ON p.what = 'entry' AND p.number = o.id AND p.origin <> b.origin
  GROUP BY e.id, p.origin);

DROP TRIGGER entry_is_born;
CREATE TRIGGER entry_is_born AFTER INSERT ON entry
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'entry' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'entry', NEW.id
  FROM origin AS o;
  INSERT INTO sight
  SELECT NEW.id, saw FROM (
    SELECT e.id AS saw, max(b.sequence)
    FROM entry AS e JOIN birth AS b ON b.what = 'entry' AND b.number = e.id
    WHERE e.session = NEW.session AND e.kind = NEW.kind AND e.subject = NEW.subject AND e.viewing IS NEW.viewing
      AND e.id <> NEW.id AND b.origin <> (SELECT origin FROM origin)
    GROUP BY b.origin);
END;
CREATE TRIGGER sight_is_immutable BEFORE UPDATE ON sight
BEGIN SELECT RAISE(ABORT, 'what was in sight is never rewritten'); END;
CREATE TRIGGER sight_is_kept BEFORE DELETE ON sight
BEGIN SELECT RAISE(ABORT, 'what was in sight is never deleted'); END;

-- One undo may be taken back in two archives apart, and one entry undone in both.

CREATE TABLE turn_before AS SELECT * FROM turn;
DROP TABLE turn;
CREATE TABLE turn (  -- every undo and redo, only ever added to; an entry counts when each undo of it was taken back
  id          INTEGER PRIMARY KEY,
  entry       INTEGER NOT NULL REFERENCES entry (id),
  takes_back  INTEGER REFERENCES turn (id)  -- the undo that a redo takes back; NULL: an undo
) STRICT;
INSERT INTO turn SELECT id, entry, takes_back FROM turn_before ORDER BY id;
DROP TABLE turn_before;
CREATE INDEX turn_of_entry ON turn (entry);
CREATE INDEX turn_taken_back ON turn (takes_back) WHERE takes_back IS NOT NULL;
CREATE TRIGGER turn_is_immutable BEFORE UPDATE ON turn
BEGIN SELECT RAISE(ABORT, 'turns are never rewritten'); END;
CREATE TRIGGER turn_is_kept BEFORE DELETE ON turn
BEGIN SELECT RAISE(ABORT, 'turns are never deleted'); END;
CREATE TRIGGER turn_is_born AFTER INSERT ON turn
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'turn' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'turn', NEW.id
  FROM origin AS o;
END;
DROP TRIGGER entry_is_redone;
CREATE TRIGGER entry_is_redone AFTER UPDATE OF undone ON entry WHEN OLD.undone <> 0 AND NEW.undone = 0
BEGIN
  INSERT INTO turn (entry, takes_back)
  SELECT NEW.id, id FROM turn AS t
  WHERE t.entry = NEW.id AND t.takes_back IS NULL
    AND NOT EXISTS (SELECT 1 FROM turn AS r WHERE r.takes_back = t.id);
END;
