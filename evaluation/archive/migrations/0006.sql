-- Version 6: prints laid beside each other under letters, two at a time, and which of them was named.

CREATE TABLE round (  -- one observer, one region; drawn once, kept
  id        INTEGER PRIMARY KEY,
  started   TEXT NOT NULL,
  observer  TEXT NOT NULL,
  region    TEXT NOT NULL,
  ask       TEXT NOT NULL,
  prints    TEXT NOT NULL CHECK (json_valid(prints)),  -- [[letter, session]]
  shown     TEXT NOT NULL CHECK (json_valid(shown))  -- [[letter on the left, letter on the right]], in order
) STRICT;

CREATE TABLE judgement (  -- only ever added to: the last one of a place counts
  id     INTEGER PRIMARY KEY,
  round  INTEGER NOT NULL REFERENCES round (id),
  place  INTEGER CHECK (place >= 0),  -- in `shown`; NULL: the letters were opened
  named  TEXT CHECK (named IN ('left', 'right', 'none')),  -- NULL: taken back
  at     TEXT NOT NULL,
  CHECK (place IS NOT NULL OR named IS NULL)
) STRICT;
CREATE INDEX judgement_of_round ON judgement (round, id);

CREATE TRIGGER round_is_born AFTER INSERT ON round
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'round' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'round', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER judgement_is_born AFTER INSERT ON judgement
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'judgement' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'judgement', NEW.id
  FROM origin AS o;
END;

CREATE TRIGGER round_is_immutable BEFORE UPDATE ON round
BEGIN SELECT RAISE(ABORT, 'rounds are never rewritten'); END;
CREATE TRIGGER round_is_kept BEFORE DELETE ON round
BEGIN SELECT RAISE(ABORT, 'rounds are never deleted'); END;
CREATE TRIGGER judgement_is_immutable BEFORE UPDATE ON judgement
BEGIN SELECT RAISE(ABORT, 'judgements are never rewritten'); END;
CREATE TRIGGER judgement_is_kept BEFORE DELETE ON judgement
BEGIN SELECT RAISE(ABORT, 'judgements are never deleted'); END;
