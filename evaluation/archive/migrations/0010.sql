-- Version 10: "observer 1" of one archive is another person than "observer 1" of another; triangles are answered.

-- An archive and all copies of its file are one family: whoever has a role and no name there is one person.
ALTER TABLE origin ADD COLUMN family TEXT NOT NULL DEFAULT '';
UPDATE origin SET family = origin;
ALTER TABLE viewing ADD COLUMN family TEXT NOT NULL DEFAULT '';  -- '': made before this version
ALTER TABLE round ADD COLUMN family TEXT NOT NULL DEFAULT '';

CREATE TABLE other_family (  -- that something came from by a merge, in the order they came
  number  INTEGER PRIMARY KEY,
  family  TEXT NOT NULL UNIQUE
) STRICT;

DROP VIEW report_grades;
CREATE VIEW report_grades AS
SELECT
  session, viewing, viewing_kind, observer,
  substr(subject, 1, instr(subject, '/') - 1) AS region,
  substr(subject, instr(subject, '/') + 1) AS question,
  json_extract(value, '$.grade') AS grade, at, after_reveal
FROM (
  SELECT
    e.session, g.ordinal AS viewing, g.kind AS viewing_kind,
    CASE WHEN f.number IS NULL OR g.observer NOT GLOB 'observer [0-9]*' THEN g.observer
         WHEN f.number = 1 THEN g.observer || ' (elsewhere)'
         ELSE g.observer || ' (elsewhere ' || f.number || ')' END AS observer,
    e.subject, e.value, e.at, e.after_reveal,
    row_number() OVER (PARTITION BY e.viewing, e.subject ORDER BY e.id DESC) AS place
  FROM entry AS e
  JOIN viewing AS g ON g.id = e.viewing
  JOIN session AS s ON s.id = e.session
  LEFT JOIN other_family AS f ON f.family = g.family
  WHERE e.kind = 'answer' AND e.undone = 0 AND s.removed IS NULL)
WHERE place = 1 AND json_extract(value, '$.grade') IS NOT NULL;

-- Which of three sheets is the odd one is answered with the middle one as well.
CREATE TABLE judgement_before AS SELECT * FROM judgement;
DROP TABLE judgement;
CREATE TABLE judgement (  -- only ever added to: the last one of a place counts
  id     INTEGER PRIMARY KEY,
  round  INTEGER NOT NULL REFERENCES round (id),
  place  INTEGER CHECK (place >= 0),  -- in what is answered; NULL: the letters were opened
  named  TEXT CHECK (named IN ('left', 'middle', 'right', 'none')),  -- NULL: taken back
  at     TEXT NOT NULL,
  CHECK (place IS NOT NULL OR named IS NULL)
) STRICT;
INSERT INTO judgement SELECT * FROM judgement_before ORDER BY id;
DROP TABLE judgement_before;
CREATE INDEX judgement_of_round ON judgement (round, id);
CREATE TRIGGER judgement_is_born AFTER INSERT ON judgement
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'judgement' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'judgement', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER judgement_is_immutable BEFORE UPDATE ON judgement
BEGIN SELECT RAISE(ABORT, 'judgements are never rewritten'); END;
CREATE TRIGGER judgement_is_kept BEFORE DELETE ON judgement
BEGIN SELECT RAISE(ABORT, 'judgements are never deleted'); END;
